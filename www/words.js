// All words on the screen, one file per section under words/: sentences are functions of their data, so that a
// translation can order them as its language wants.

export { shell } from "./words/shell.js";
export { clips } from "./words/clips.js";
export { marks } from "./words/marks.js";
export { numbers } from "./words/numbers.js";
export { remark } from "./words/remark.js";
export { compare } from "./words/compare.js";
export { together } from "./words/together.js";
export { hand_over } from "./words/hand-over.js";
export { guide } from "./words/guide.js";

// The faces of the comparison, in the order of the switch; the first is the usual one. A face is a view of its own:
// `mount(root, context) → {update, unmount}`, loaded when it is first shown. Its name is a word of
// `words.compare.faces` and stands in the address (`#compare?face=numbers`).

/** @typedef {(root: HTMLElement, context: any) => import("../sitting/types.js").View} Mount */

/** @type {{name: string, load: () => Promise<{mount: Mount}>}[]} */
export const FACES = [
  { name: "pictures", load: () => import("../together/view.js") },
  { name: "numbers", load: () => import("./figures.js") },
  { name: "visits", load: () => import("../visits/view.js") },
];

// Words of the frame around every view: way-finding, state of saving, notices.

/** @param {number} count @param {string} one @param {string} many */
const counted = (count, one, many) => `${count} ${count === 1 ? one : many}`;

export const shell = {
  name: "wetframe",
  skip: "Skip to the view",
  ways: {
    label: "The sitting, in order",
    clips: "Clips",
    marks: "Marks",
    numbers: "Numbers",
    compare: "Compare",
    hand_over: "Hand over",
  },
  /** @type {Record<import("../sitting/types.js").Way, string>} */
  titles: { clips: "Clips", marks: "Marks", numbers: "Numbers", compare: "Compare", "hand-over": "Hand over", guide: "Filming guide", keys: "Keys" },
  guide: "Filming guide",
  keys: "Keys",

  /** @param {number} clips */
  clipsState: (clips) => (clips === 0 ? "none yet" : counted(clips, "clip", "clips")),
  /** @param {number} clips how many of them lack their file */
  clipsWithoutFile: (clips) => counted(clips, "file to choose", "files to choose"),
  /** @param {number} cycles @param {number} questions */
  marksState: (cycles, questions) =>
    [
      cycles === 0 ? "no cycle yet" : counted(cycles, "cycle marked", "cycles marked"),
      ...(questions > 0 ? [counted(questions, "open question", "open questions")] : []),
    ].join(", "),
  /** @param {number} cycles */
  numbersState: (cycles) => (cycles === 0 ? "need a marked cycle" : `from ${counted(cycles, "cycle", "cycles")}`),
  /** @param {number} clips @param {number} marked how many of them hold a cycle @param {number} kept comparisons */
  compareState: (clips, marked, kept) => {
    if (kept > 0) return `${kept} kept`;
    if (marked > 1) return "two sets";
    return clips < 2 ? "needs two clips" : "needs cycles in two";
  },
  /** @param {boolean} ever @param {number} since changes since the file was saved */
  handOverState: (ever, since) =>
    !ever ? "no file saved yet" : since === 0 ? "file is up to date" : `${counted(since, "change", "changes")} since the file`,

  undo: "Undo",
  redo: "Redo",
  /** @param {string} what */
  undoWhat: (what) => `Undo: ${what}`,
  /** @param {string} what */
  redoWhat: (what) => `Redo: ${what}`,
  nothing: "nothing",

  saved: {
    saved: "Saved",
    saving: "Saving",
    empty: "Nothing to save",
    memory_only: "Not saved",
    read_only: "Read only",
  },
  /** @param {number} changes */
  written: (changes) => `${counted(changes, "change", "changes")} kept on this device`,
  saved_where: "on this device",
  memory_only_where: "only in this tab",
  read_only_where: "open in another tab",

  theme_to_dark: "Dark theme",
  theme_to_light: "Light theme",

  save_to_file_now: "Save to a file now",
  try_again: "Try again",
  dismiss: "Dismiss",
  read_only_title: "Read only: this session is open for marking in another tab.",
  read_only_hint: "You can look at everything. When the other tab closes the session, this one takes over by itself.",
  taken_over: "The other tab let go: you can mark here now.",
  followed: "The other tab changed the session; this view shows it.",

  /** @param {string} what */
  undone: (what) => `Undone: ${what}`,
  /** @param {string} what */
  redone: (what) => `Done again: ${what}`,
  page_missing: "The part of the page that computes could not be loaded.",
  page_missing_hint: "It needs WebAssembly and the file wasm/page_bg.wasm beside this page. Reload; if that does not help, use a current browser.",
  loading: "Opening…",
  /** @param {string} view */
  view_missing: (view) => `The view “${view}” could not be loaded.`,
  view_missing_hint: "Check the connection to the place that serves this page, then reload. Everything marked is kept on this device.",
  needs_clip_title: "No clip is open",
  needs_clip_hint: "Add a clip, or open the demo, to mark its frames.",
  to_clips: "Go to the clips",
};

// Which two sets of cycles are compared: one that the session keeps, or one that is only looked at. A kept one is
// changed by commands, so that it can be undone; the other lives as long as the page does. Not for: drawing.

/** @typedef {import("../sitting/types.js").ClipView} ClipView */
/** @typedef {import("./types.js").CycleSet} CycleSet */
/** @typedef {import("./types.js").Sets} Sets */
/** @typedef {import("./types.js").ComparisonRecord} ComparisonRecord */
/** @typedef {"before"|"after"} Which */

/**
 * What was chosen in each session; nothing of it is the session's. `kept`: id of the comparison shown, null for
 * `loose`, undefined until the coach chose. `loose` is null until something was changed in it.
 * @typedef {{kept: number|null|undefined, loose: Sets|null}} Chosen
 */
/** @type {Map<string, Chosen>} */
const CHOSEN = new Map();

/** What is usually asked; decided before anyone looks, since few questions need less to be answered. */
export const USUAL_KINDS = ["stroke_rate", "propulsive_gap", "index_of_coordination"];

/** @param {number} clip @returns {CycleSet} */
export function wholeClip(clip) {
  return { parts: [{ clip, from: null, to: null }], breathing: "all" };
}

/** Two sets without a name, asked as usual. @param {CycleSet} before @param {CycleSet} after @returns {Sets} */
export function setsOf(before, after) {
  return { label: "", before, after, paired: false, kinds: USUAL_KINDS };
}

/**
 * The clips to hold against each other as long as nobody chose: those that the coach called before and after; for one
 * that is not called so, the first other, one with marked cycles rather than one without.
 * @param {ClipView[]} clips
 * @returns {[ClipView|undefined, ClipView|undefined]}
 */
export function beforeAndAfter(clips) {
  const called = (/** @type {Which} */ which) => clips.find(({ label }) => new RegExp(`^\\s*${which}(?![a-z])`, "i").test(label));
  const inOrder = clips.toSorted((one, other) => Number(other.cycles_marked > 0) - Number(one.cycles_marked > 0));
  const after = called("after");
  const before = called("before") ?? inOrder.find((clip) => clip !== after) ?? after;
  return [before, after === before ? undefined : (after ?? inOrder.find((clip) => clip !== before))];
}

/** All cycles of the usual two clips; null while there are no two. @param {ClipView[]} clips @returns {Sets|null} */
function usualSets(clips) {
  const [before, after] = beforeAndAfter(clips);
  return before && after ? setsOf(wholeClip(before.id), wholeClip(after.id)) : null;
}

export class Choice {
  #store;

  /** @param {import("../sitting/store.js").Store} store */
  constructor(store) {
    this.#store = store;
  }

  /** @returns {Chosen} */
  get #chosen() {
    const id = this.#store.id ?? "";
    const known = CHOSEN.get(id) ?? { kept: undefined, loose: null };
    CHOSEN.set(id, known);
    return known;
  }

  /** The comparisons that the session keeps. @returns {ComparisonRecord[]} */
  get all() {
    return this.#store.session?.comparisons ?? [];
  }

  /** The kept comparison that is shown; null while the loose one is. */
  get kept() {
    const { kept } = this.#chosen;
    return this.all.find(({ id }) => id === kept) ?? (kept === undefined ? (this.all.at(-1) ?? null) : null);
  }

  /** What is compared; null while the session has no two clips and nothing was chosen. @returns {Sets|null} */
  get sets() {
    return this.kept ?? this.#loose;
  }

  /** The loose sets without the clips that are gone. @returns {Sets|null} */
  get #loose() {
    const clips = this.#store.session?.clips ?? [];
    const here = (/** @type {CycleSet} */ set) => ({ ...set, parts: set.parts.filter(({ clip }) => clips.some(({ id }) => id === clip)) });
    const { loose } = this.#chosen;
    const left = loose && { ...loose, before: here(loose.before), after: here(loose.after) };
    return left && left.before.parts.length > 0 && left.after.parts.length > 0 ? left : usualSets(clips);
  }

  /** Shows a kept comparison, or the loose one. @param {number|null} id */
  show(id) {
    this.#chosen.kept = id;
  }

  /** Changes what is compared. @param {Partial<Sets>} change */
  change(change) {
    const { kept } = this;
    if (kept) {
      this.#store.apply({ command: "edit_comparison", comparison: kept.id, change });
      return;
    }
    const { sets } = this;
    if (sets) this.#chosen.loose = { ...sets, ...change };
  }

  /** Starts from other sets, not kept. @param {Sets} sets */
  startFrom(sets) {
    this.#chosen.kept = null;
    this.#chosen.loose = sets;
  }

  /** Keeps what is compared in the session, under its name. @param {string} label */
  keep(label) {
    const { sets } = this;
    if (!sets) return;
    const { before, after, paired, kinds } = sets;
    this.#store.apply({ command: "add_comparison", comparison: { label, before, after, paired, kinds } });
    this.show(this.all.at(-1)?.id ?? null);
  }

  /** Takes the kept comparison out of the session; its sets stay as the loose ones. */
  remove() {
    const { kept } = this;
    if (!kept) return;
    const { id, ...sets } = kept;
    this.#store.apply({ command: "remove_comparison", comparison: id });
    this.startFrom(sets);
  }
}

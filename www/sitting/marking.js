// Keeps what the page knows of a clip's marking in step with the sitting, which after the first look tells only
// what has changed. A list in which nothing changed stays the same array, so that what was made of it can be kept.
// Not for: what a mark means, or drawing.

/** @typedef {import("./types.js").MarkingNews} MarkingNews */

/** @typedef {{version: number, view: any}} KnownMarking */

/**
 * @param {KnownMarking|null} known  null: nothing yet
 * @param {MarkingNews} news
 * @returns {KnownMarking}
 */
export function renewed(known, { version, whole, changes }) {
  if (!known || !changes) {
    return { version, view: whole };
  }
  const { analysis, marks } = known.view;
  const { arms, drive, breaths, kick_outs, downbeats, flags, cycles_marked, marks: changed, ...figures } = changes;
  return {
    version,
    view: {
      analysis: {
        ...figures,
        arms: analysis.arms.map((/** @type {any} */ arm, /** @type {number} */ at) => ({
          side: arm.side,
          cycles: spliced(arm.cycles, arms[at].cycles),
          phases: spliced(arm.phases, arms[at].phases),
        })),
        drive: spliced(analysis.drive, drive),
        breaths: spliced(analysis.breaths, breaths),
        kick_outs: spliced(analysis.kick_outs, kick_outs),
        downbeats: spliced(analysis.downbeats, downbeats),
        flags: spliced(analysis.flags, flags),
      },
      marks: spliced(marks, changed),
      cycles_marked,
    },
  };
}

/**
 * @template T
 * @param {T[]} list
 * @param {import("./types.js").Splice<T>|null} change
 * @returns {T[]} the same list where nothing changed
 */
function spliced(list, change) {
  return change ? list.slice(0, change.from).concat(change.added, list.slice(change.from + change.removed)) : list;
}

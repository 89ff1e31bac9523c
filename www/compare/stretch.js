// A stretch of a clip, chosen by its cycles and kept in ticks. The ends stand a quarter of a cycle outside the chosen
// ones, so that a mark can be moved by some frames and the stretch still holds the same cycles; the other arm's cycle
// at the end, half a cycle later, is never in. Not for: which measures lie inside (that is crates/stroke).

/** @typedef {{index: number, start: number, end: number}} Cycle ticks */

/**
 * The cycles that a stretch is chosen by: those of the arm that leads, or of the one that has any.
 * @param {any} analysis
 * @returns {{side: "left"|"right"|null, cycles: Cycle[]}}
 */
export function countedCycles(analysis) {
  const [first = null, second = null] = [...(analysis?.arms ?? [])].sort((one, other) => Number(other.side === analysis.leading_arm) - Number(one.side === analysis.leading_arm));
  const arm = first?.cycles.length > 0 ? first : second;
  return { side: arm?.side ?? null, cycles: arm?.cycles ?? [] };
}

/** @param {Cycle} cycle */
const quarter = ({ start, end }) => Math.round((end - start) / 4);

/** The start of a stretch from this cycle on. @param {Cycle} cycle @param {number} first the clip's first tick */
export function startFrom(cycle, first) {
  return Math.max(first, cycle.start - quarter(cycle));
}

/** The end of a stretch up to this cycle. @param {Cycle} cycle @param {number} end the clip's end */
export function endWith(cycle, end) {
  return Math.min(end, cycle.end + quarter(cycle));
}

/**
 * The first and the last cycle that lie wholly inside a stretch, as places in `cycles`; null where none does.
 * @param {Cycle[]} cycles
 * @param {{from: number|null, to: number|null}} part
 */
export function heldBy(cycles, { from, to }) {
  const inside = cycles.flatMap((cycle, place) => ((from === null || from <= cycle.start) && (to === null || cycle.end <= to) ? [place] : []));
  return inside.length === 0 ? null : { first: inside[0], last: inside[inside.length - 1] };
}

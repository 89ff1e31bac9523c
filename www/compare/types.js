// Shapes that the comparison reads, as serde writes them in crates/stroke/src/compare. No code.

/** @typedef {import("../numbers/types.js").Breathing} Breathing */
/** @typedef {import("../sitting/types.js").CycleSet} CycleSet */
/** @typedef {import("../sitting/types.js").ComparisonRecord} ComparisonRecord */
/** @typedef {{label: string, before: CycleSet, after: CycleSet, paired: boolean, kinds: string[]}} Sets what is compared and asked, kept or not */

/**
 * One cycle's value.
 * @typedef {object} CycleValue
 * @property {number} clip
 * @property {number|null} cycle
 * @property {"left"|"right"|null} side
 * @property {boolean|null} breathing
 * @property {number} value
 * @property {number} uncertainty
 * @property {{start: number, end: number}|null} span   ticks
 * @property {boolean} flagged   shown, and does not count
 */

/**
 * One set's values of a measure.
 * @typedef {object} SetValues
 * @property {number} n
 * @property {number} mean
 * @property {number|null} sd
 * @property {[number, number]|null} interval
 * @property {number} frame_uncertainty
 * @property {CycleValue[]} values
 */

/** @typedef {{passed: boolean|null, threshold: number|null, reason: string}} Gate */
/** @typedef {"frame"|"operator"|"strokes"} GateName */
/** @typedef {"changed"|"within_frame_error"|"within_operator_error"|"within_stroke_variation"|"not_comparable"} Verdict */

/**
 * One measure of both sets.
 * @typedef {object} MeasureComparison
 * @property {string} kind
 * @property {"left"|"right"|null} side
 * @property {string} unit
 * @property {SetValues|null} before
 * @property {SetValues|null} after
 * @property {{value: number, interval: [number, number]|null, frame_uncertainty: number}|null} difference
 * @property {{kind: string, message: string, hint: string}|null} absence
 * @property {{t: number, degrees_of_freedom: number, p: number, p_holm: number}|null} welch
 * @property {{p: number, p_holm: number, arrangements: number, exact: boolean}|null} permutation
 * @property {number|null} hedges_g
 * @property {Record<GateName, Gate>} gates
 * @property {Verdict} verdict
 * @property {string} sentence
 * @property {string|null} settle
 */

/** @typedef {{cycles: number, frame_rate_fps: number[], breathing: Breathing}} SetSummary */

/**
 * @typedef {object} Comparison
 * @property {SetSummary} before
 * @property {SetSummary} after
 * @property {{kind: string, message: string, hint: string}[]} confounders
 * @property {"known"|"not_known"} operator_error
 * @property {number} questions   how many are asked at once
 * @property {MeasureComparison[]} measures
 */

export {};

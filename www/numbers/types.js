// Shapes that the numbers view reads, as serde writes them in crates/stroke and crates/report. No code.

/** @typedef {"all"|"breathing"|"non_breathing"} Breathing */

/**
 * @typedef {object} Measure
 * @property {string} kind
 * @property {"left"|"right"|null} side
 * @property {number|null} cycle   null for the mean over the clip
 * @property {Breathing} breathing
 * @property {{value: number, uncertainty: number|null, unit: string}|null} quantity
 * @property {{kind: string, message: string, hint: string}|null} absence
 * @property {number} n
 * @property {number|null} sd
 * @property {[number, number]|null} interval   95 %, from stroke to stroke
 * @property {number[]} marks
 * @property {number[]} flags   places in the analysis' list of flags
 */

/** @typedef {{id: number, kind: string, side: "left"|"right"|"both"|null, time: number, proof: string, frame: number}} MarkOnFrame */

/**
 * One gap as the chart draws it.
 * @typedef {object} GapPoint
 * @property {"left"|"right"} waiting
 * @property {number} time_s
 * @property {number} at             ticks of the first of its marks
 * @property {number} gap_ms         negative: overlap
 * @property {number} uncertainty_ms
 * @property {number|null} frames
 * @property {number|null} share_percent
 * @property {boolean|null} breathing
 * @property {number} n
 * @property {number[]} marks
 */

/**
 * One cycle of one arm as the chart draws it.
 * @typedef {object} PhaseBar
 * @property {"left"|"right"} side
 * @property {number} cycle
 * @property {number} start_s
 * @property {number} at
 * @property {boolean|null} breathing
 * @property {number[]} shares_percent        in the order of the stroke; they sum to 100
 * @property {(number|null)[]} uncertainty_percent
 * @property {number[]} marks
 */

/**
 * The rate of one cycle of one arm.
 * @typedef {object} RatePoint
 * @property {"left"|"right"} side
 * @property {number} cycle
 * @property {number} time_s
 * @property {number} at
 * @property {number} strokes_per_min
 * @property {number} uncertainty_strokes_per_min
 * @property {boolean|null} breathing
 * @property {number[]} marks
 */

/** @typedef {{gaps: GapPoint[], phases: PhaseBar[], rates: RatePoint[]}} Plots */

export {};

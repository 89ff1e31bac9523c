// Shapes that the numbers view reads, as serde writes them in crates/stroke and crates/report. No code.

/** @typedef {"all"|"breathing"|"non_breathing"} Breathing */

/**
 * @typedef {object} Measure
 * @property {string} kind
 * @property {"left"|"right"|null} side
 * @property {number|null} cycle   null for the mean over the clip
 * @property {Breathing} breathing
 * @property {{value: number, uncertainty: number, unit: string}|null} quantity
 * @property {{kind: string, message: string, hint: string}|null} absence
 * @property {number} n
 * @property {number|null} sd
 * @property {[number, number]|null} interval   95 %, from stroke to stroke
 * @property {{start: number, end: number}|null} span   ticks
 * @property {number[]} marks
 * @property {number[]} flags   places in the analysis' list of flags
 */

/** @typedef {{id: number, kind: string, side: "left"|"right"|"both"|null, time: number, proof: string, frame: number}} MarkOnFrame */

/** @typedef {{value: number, uncertainty: number}} Figure with one standard deviation from frame quantisation */

/**
 * One gap as the chart draws it.
 * @typedef {object} GapPoint
 * @property {"left"|"right"} waiting
 * @property {number} time_s
 * @property {number} at            ticks
 * @property {Figure} gap_ms        negative: overlap
 * @property {Figure|null} frames
 * @property {Figure|null} share_percent
 * @property {boolean|null} breathing
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
 * @property {Figure[]} shares_percent   in the order of the stroke; they sum to 100
 * @property {number[]} marks
 */

/**
 * The rate of one cycle of one arm.
 * @typedef {object} RatePoint
 * @property {"left"|"right"} side
 * @property {number} cycle
 * @property {number} time_s
 * @property {number} at
 * @property {Figure} strokes_per_min
 * @property {Figure} cycles_per_min
 * @property {boolean|null} breathing
 * @property {number[]} marks
 */

/** @typedef {{gaps: GapPoint[], phases: PhaseBar[], rates: RatePoint[]}} Plots */

export {};

// Shapes that the visits read, as serde writes them in crates/session/src/visits. No code.

/** @typedef {"left"|"right"|null} Side */
/** @typedef {{view: string, kick: string, aids: string, speed: string}} ConditionWords empty where nothing was said */

/**
 * A session in a row of sessions.
 * @typedef {object} Visit
 * @property {string} session
 * @property {string} athlete_label
 * @property {string} date
 * @property {{clip: number, title: string, cycles_marked: number, marks: number, frame_rate_fps: number, conditions: ConditionWords}[]} clips
 */

/**
 * A mean over all cycles of a clip, or why there is none.
 * @typedef {object} HistoryValue
 * @property {Side} side
 * @property {number|null} value
 * @property {number|null} uncertainty
 * @property {[number, number]|null} interval   95 %; from n = 3
 * @property {[number, number]|null} bar        what the chart draws beside the value
 * @property {number} n
 * @property {boolean} in_doubt
 * @property {{kind: string, message: string, hint: string}|null} absence
 */

/**
 * One clip on its day.
 * @typedef {object} HistoryEntry
 * @property {string} session
 * @property {string} athlete_label
 * @property {string} date
 * @property {number} clip
 * @property {string} title
 * @property {number} of_day
 * @property {number} on_day
 * @property {number} cycles_marked
 * @property {number} frame_rate_fps
 * @property {ConditionWords} conditions
 * @property {string[]} changes
 * @property {HistoryValue[]} values
 */

/** @typedef {{kind: string, unit: string, entries: HistoryEntry[]}} MeasureHistory */

/** @typedef {{name: number, session: string, date: string, clip: number}} ClipOfVisit */

export {};

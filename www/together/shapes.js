// The shapes that the together view works with, for the type checker and the reader. No code.
// Fields are snake_case where Rust wrote them (stroke::together).

/** @typedef {"left"|"right"} Arm */
/** @typedef {"entry_and_catch"|"pull"|"push"|"recovery"} Phase */
/** @typedef {"none"|"left"|"right"|"both"} DriveArms */
/** @typedef {"first"|"second"} Which */

/**
 * A frame of one clip at a moment.
 * @typedef {object} FrameShown
 * @property {number} frame
 * @property {number} time          ticks
 * @property {number|null} cycle    index, by phase
 * @property {[Phase|null, Phase|null]} arms   left, right
 * @property {DriveArms|null} drive
 * @property {Arm|null} waiting
 * @property {boolean} held         by time: no picture for this time, its first or last frame is held
 */

/**
 * @typedef {object} Moment
 * @property {number} place         which frame of the driving clip, counted through all that is gone through
 * @property {number} position      on the common scale
 * @property {number|null} stroke
 * @property {Phase|null} phase
 * @property {[FrameShown, FrameShown]} frames
 */

/** @typedef {{from: number, to: number, arms: DriveArms}} LaneStretch */

/**
 * @typedef {object} StrokePair
 * @property {[number, number]} cycles
 * @property {[boolean, boolean]} again
 * @property {[string[], string[]]} interpolated
 * @property {[boolean|null, boolean|null]} breathing
 * @property {number} place
 */

/**
 * @typedef {object} TogetherFacts
 * @property {Which} driving
 * @property {number} places
 * @property {number} from
 * @property {number} to
 * @property {number|null} stroke_s
 * @property {StrokePair[]} strokes
 * @property {[LaneStretch[], LaneStretch[]]} drive
 */

/**
 * Two clips held together: the wasm `Together`.
 * @typedef {object} Plan
 * @property {() => TogetherFacts} facts
 * @property {(place: number) => Moment} at_place
 * @property {(position: number) => Moment} at_position
 * @property {(place: number, played_s: number, looping: boolean) => Moment|null} playing
 * @property {() => void} free
 */

/** @typedef {{index: number, start: number, end: number, interpolated: string[], breathing: boolean|null}} MappedCycle */
/** @typedef {{x: number, y: number}} Point pixels of the upright picture */
/** @typedef {[Point, Point]} TwoPoints */
/** @typedef {{along: number, across: number, right: number, down: number, scale: number, turn_deg: number}} LowerFromUpper */

export {};

// The shapes of the data that the wasm module hands to the marking view, as serde writes them.
// Types only: nothing here runs.
//
// Ticks are integers in the clip's own timescale.

/** @typedef {"left" | "right" | "both"} Side */
/** @typedef {"entry" | "catch" | "mid_pull" | "exit" | "exhale_start" | "face_turn" | "mouth_clear" | "face_return" | "kick_out_start" | "kick_out_end" | "downbeat" | "pass"} MarkKind */
/** @typedef {"decoded" | "sought" | "not_proven"} Proof */
/** @typedef {"entry_and_catch" | "pull" | "push" | "recovery"} Phase */

/** @typedef {{phase: Phase, start: number, end: number}} PhaseStretch */
/** @typedef {{index: number, start: number, end: number, phases: PhaseStretch[], breathing: boolean | null, marks: number[]}} Cycle */
/** @typedef {{side: Side, cycles: Cycle[], phases: PhaseStretch[]}} ArmTimeline */
/** @typedef {{start: number, end: number, arms: "none" | "left" | "right" | "both", length_ms: number, uncertainty_ms: number, length_frames: number, whole: boolean, waiting: Side | null, breathing: boolean | null}} DriveStretch */
/** @typedef {{side: Side, exhale_start: number | null, face_turn: number | null, mouth_clear: number | null, face_return: number | null}} Breath */
/** @typedef {{side: Side, start: number | null, end: number | null, breathing: boolean | null}} KickOut */
/** @typedef {{kind: string, marks: number[], start: number, end: number, spoils: string[], message: string, hint: string}} Flag */
/** @typedef {{frame_rate_fps: number, frame_error_ms: number, arms: ArmTimeline[], drive: DriveStretch[], breaths: Breath[], kick_outs: KickOut[], flags: Flag[]}} Analysis */

/**
 * A mark as the marking view gets it: with the frame it stands on (null when the table has no such time) and the indexes of the flags it has part in.
 * @typedef {{id: number, kind: MarkKind, side: Side | null, time: number, proof: Proof, frame: number | null, flags: number[]}} MarkShown
 */
/** @typedef {{analysis: Analysis, marks: MarkShown[], cycles_marked: number}} MarkingView */

/** @typedef {{value: number, uncertainty: number, unit: string}} Quantity */
/** @typedef {{kind: string, message: string, hint: string}} Absence */
/** @typedef {{kind: string, side: Side | null, cycle: number | null, breathing: "all" | "breathing" | "non_breathing", quantity: Quantity | null, absence: Absence | null, n: number, sd: number | null, interval: [number, number] | null, marks: number[], flags: number[]}} Measure */
/** @typedef {{left_cycle: number | null, right_cycle: number | null, measures: Measure[], means: Measure[]}} NowView */

/** @typedef {{id: unknown, kind: MarkKind, side: Side, time: number, frame: number, basis: string, search_s: number, done: number, of: number}} GuideStep */

/** @typedef {{first: number, runs: [number, number][]}} FrameRuns */
/** @typedef {{frame: number, ticks: number, proof: string}} Shown */

export {};

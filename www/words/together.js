// Words of two clips seen together.

import { MARK_KINDS } from "./mark-kinds.js";

/** @type {Record<string, string>} */
const arm = { left: "left", right: "right" };

/** @param {string[]} parts */
function listed(parts) {
  return parts.length < 2 ? parts.join("") : `${parts.slice(0, -1).join(", ")} and ${parts.at(-1)}`;
}

/** @param {string} text */
function capital(text) {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

export const together = {
  title: "Two clips seen together",
  /** @type {Record<string, string>} */
  phase: { entry_and_catch: "Entry and catch", pull: "Pull", push: "Push", recovery: "Recovery" },
  /** @type {Record<string, string>} */
  phase_short: { entry_and_catch: "Catch", pull: "Pull", push: "Push", recovery: "Rec." },
  /** @param {number} seconds @param {number} decimals */
  seconds: (seconds, decimals) => `${(Math.abs(seconds) < 1e-9 ? 0 : seconds).toFixed(decimals).replace("-", "−")} s`,

  /** @param {number} place */
  clip: (place) => (place === 0 ? "First clip" : "Second clip"),
  /** @param {string} name */
  cycle_of: (name) => `Cycle of ${name}`,
  /** @param {number} at @param {number} of */
  cycle: (at, of) => `Cycle ${at} of ${of}`,
  /** @param {boolean|null} breathing */
  breath: (breathing) => (breathing === null ? "" : breathing ? "with a breath" : "no breath"),
  cycle_before: "Cycle before",
  cycle_after: "Next cycle",
  /** @param {number} frame */
  frame: (frame) => `frame ${frame}`,
  /** @type {Record<string, string>} */
  proof: { sought: "sought and checked", not_proven: "not proven" },
  /** @param {string} side @param {string} phase */
  arm_now: (side, phase) => `${capital(arm[side])}: ${phase}`,
  to_marks: "To the marks",
  /** @param {string} name @param {number} frame */
  of_frame: (name, frame) => ` of ${name} at frame ${frame}`,
  not_marked: "not marked here",
  /** @type {Record<string, string>} */
  drive: { none: "Neither arm propels", left: "Left arm propels", right: "Right arm propels", both: "Both arms propel" },
  /** @param {string} side */
  waiting: (side) => `Neither arm propels; ${arm[side]} yet to catch`,
  drive_unknown: "Drive not known here",
  held: "No picture for this time: held",

  scrubber: "Place in the stroke, both clips",
  scrubber_time: "Time from the chosen marks, both clips",
  /** @param {string} phase @param {number} percent @param {number[]} frames */
  at_phase: (phase, percent, frames) => `${phase}, ${percent} %; frames ${frames.join(" and ")}`,
  /** @param {string} time @param {number[]} frames */
  at_time: (time, frames) => `${time}; frames ${frames.join(" and ")}`,

  arm: "Arm",
  sides: { left: "Left arm", right: "Right arm" },
  lock: "Held together by",
  locks: { phase: "Phase", time: "Time" },
  run: "Cycles",
  runs: { one: "One of each", all: "All in order" },
  face: "Pictures",
  faces: { beside: "Side by side", over: "Overlay" },
  driving: "Steps follow",
  /** @param {string} name of the clip that this means now */
  driving_usual: (name) => (name === "" ? "the finer clip" : `the finer: ${name}`),
  from: "From",
  from_start: "start of the clip",
  /** @param {string} kind @param {string|null} side @param {number} frame */
  mark: (kind, side, frame) => `${side ? `${side} ` : ""}${MARK_KINDS[kind]}, frame ${frame}`,

  steps: "Steps and play",
  step_back: "One frame back",
  step_forward: "One frame on",
  play: "Play",
  pause: "Pause",
  speed: "Speed",
  /** @param {number} rate @param {number|null} stroke_s */
  rate: (rate, stroke_s) => {
    const part = rate === 1 ? "Full" : ({ 0.1: "¹⁄₁₀", 0.25: "¼", 0.5: "½" }[rate] ?? rate);
    return stroke_s === null ? `${part} speed` : `${part}: ${(stroke_s / rate).toFixed(1)} s a cycle`;
  },
  one_cycle: "What two cycles show may be chance; whether it changed is under Numbers.",
  keys: "← → frame · ⇧ ten · space plays · ↑ ↓ cycle · 1–4 phases · PgUp PgDn closer, farther",

  /** @param {string} name @param {string[]} kinds */
  interpolated: (name, kinds) => `In ${name}, ${listed(kinds.map((kind) => MARK_KINDS[kind]))} ${kinds.length === 1 ? "is" : "are"} not marked, or flagged, in this cycle: the phase runs evenly across.`,
  /** @param {string} name */
  again: (name) => `${capital(name)} has fewer cycles and has started again with its first.`,
  playing: "Playing both.",

  nothing: {
    title: "Nothing to see together yet",
    text: "Two clips are held together by the phase of the stroke: before and after, slow and fast.",
    add: "Add a clip",
    one_title: "One clip so far",
    /** @param {string} name */
    one: (name) => `Add a second clip to see it beside ${name}, or look at two cycles of this one.`,
    twice: "Two cycles of this clip",
    /** @param {string[]} names @param {string} side */
    no_cycle: (names, side) => `${capital(listed(names))} ${names.length === 1 ? "has" : "have"} no complete cycle of the ${arm[side]} arm.`,
    /** @param {string} side */
    no_cycle_hint: (side) => `Mark two ${arm[side]} entries, one after the other; with catch, mid-pull and exit between them every phase is held together.`,
    /** @param {string} name */
    mark: (name) => `Mark ${name}`,
    /** @param {string} side */
    other_arm: (side) => `Use the ${arm[side]} arm`,
    by_time: "Hold together by time",
  },

  missing: {
    /** @param {string} name */
    title: (name) => `${name} needs its file`,
    text: "The session holds its marks, not its picture. Choose the same file again; it is recognised by its content.",
    /** @param {string} name */
    reopen: (name) => `Open ${name} again`,
    /** @param {string} name */
    choose: (name) => `Choose ${name}`,
    /** @param {string} name */
    linked: (name) => `${name} is at hand.`,
    /** @param {string} name */
    opening: (name) => `Opening ${name}…`,
  },

  over: {
    /** @param {string} first @param {string} second @param {string} seenFirst @param {string} seenSecond */
    differ: (first, second, seenFirst, seenSecond) => `${capital(first)} is filmed from ${seenFirst}, ${second} from ${seenSecond}: laid over each other they would show nothing.`,
    /** @param {string[]} names */
    not_stated: (names) => `An overlay needs the same view. From where ${names.length === 1 ? "is" : "are"} ${listed(names)} seen?`,
    /** @param {string} name */
    view_of: (name) => `${capital(name)} is seen from`,
    /** @type {Record<string, string>} */
    views: { side: "the side", front: "the front", above: "above", rear: "behind" },
    view_unknown: "not stated",
    /** @param {string} upper */
    opacity: (upper) => `How much of ${upper}`,
    line_up: "Line up",
    reset: "Reset",
    /** @param {string} upper @param {number} scale @param {number} turn_deg */
    laid: (upper, scale, turn_deg) => `${capital(upper)} is scaled × ${scale.toFixed(3)} and turned by ${turn_deg.toFixed(1).replace("-", "−")}°.`,
    /** @param {string} upper */
    fitted: (upper) => `${capital(upper)} is fitted into the other picture, not lined up.`,
  },

  line_up: {
    text: "Put 1 and 2 on the same two still things in both pictures, far apart: a mark on the wall, a float of the lane line. Tap or drag; arrow keys move a point by one pixel, with ⇧ by ten.",
    done: "Done",
    /** @param {number} place @param {string} name */
    around: (place, name) => `${place} on ${name}`,
    /** @param {number} place @param {string} name @param {number} x @param {number} y */
    point: (place, name, x, y) => `Point ${place} on ${name}: ${x}, ${y}`,
  },
};

// Words of the numbers view.

import { MARK_KINDS } from "./mark-kinds.js";

/** @typedef {"left"|"right"|"both"|null} Side */
/** @typedef {"all"|"breathing"|"non_breathing"} Breathing */

/** @type {Record<string, string>} */
const MEASURES = {
  cycle_duration: "Cycle duration",
  stroke_rate: "Stroke rate",
  cycle_rate: "Cycle rate",
  stroke_interval: "Seconds per stroke",
  phase_entry_and_catch: "Entry and catch, share",
  phase_pull: "Pull, share",
  phase_push: "Push, share",
  phase_recovery: "Recovery, share",
  phase_entry_and_catch_duration: "Entry and catch, duration",
  phase_pull_duration: "Pull, duration",
  phase_push_duration: "Push, duration",
  phase_recovery_duration: "Recovery, duration",
  propulsive_share: "Propulsive share (pull and push)",
  index_of_coordination: "Index of coordination",
  propulsive_gap: "Propulsive gap",
  propulsive_gap_frames: "Propulsive gap in frames",
  propulsive_gap_share: "Propulsive gap, share of cycle",
  lead_arm_lag: "Lead-arm lag at entry",
  index_of_coordination_difference: "Index of coordination, difference of the two sides",
  stroke_length: "Stroke length",
  stroke_index: "Stroke index",
  speed: "Speed",
  strokes_per_breath: "Strokes per breath",
  breath_turn_to_clear: "Face turn to mouth clear",
  breath_turn_to_clear_frames: "Face turn to mouth clear, in frames",
  breath_turn_to_clear_share: "Face turn to mouth clear, share of cycle",
  breath_open: "Mouth clear to face return",
  breath_open_frames: "Mouth clear to face return, in frames",
  breath_open_share: "Mouth clear to face return, share of cycle",
  exhale: "Exhalation",
  exhale_frames: "Exhalation, in frames",
  exhale_share: "Exhalation, share of cycle",
  breath_hold: "Face return to next exhalation",
  breath_hold_frames: "Face return to next exhalation, in frames",
  breath_hold_share: "Face return to next exhalation, share of cycle",
  face_return_in_recovery: "Face return within the recovery",
  late_exhale_share: "Exhalation after the face turn, share",
  kick_out_duration: "Kick-out duration",
  kick_outs_per_breathing_stroke: "Kick-outs per breathing stroke",
  kick_outs_per_non_breathing_stroke: "Kick-outs per non-breathing stroke",
  kick_beats_per_cycle: "Kick beats per cycle",
};

const PHASES = ["entry and catch", "pull", "push", "recovery"];

/** @type {Record<string, string>} */
const SIDES = { left: "left", right: "right", both: "both" };

/** @param {string} kind @returns {string} */
function measure(kind) {
  if (MEASURES[kind]) {
    return MEASURES[kind];
  }
  if (kind.startsWith("symmetry_")) {
    return `Symmetry index: ${measure(kind.slice("symmetry_".length)).toLowerCase()}`;
  }
  const words = kind.replaceAll("_", " ");
  return words.charAt(0).toUpperCase() + words.slice(1);
}

/** @param {number} fps */
const rate = (fps) => `${Number(fps.toFixed(2))} frames/s`;

/** @param {boolean|null} breathing */
const stroke = (breathing) => (breathing === null ? "breath not marked" : breathing ? "breathing" : "non-breathing");

export const numbers = {
  title: "Numbers",
  no_clip: "No clip is open.",
  no_clip_hint: "Add a clip, or open the demo, and mark its frames: the numbers appear here.",
  to_clips: "Go to the clips",
  no_marks: "No frame of this clip is marked yet.",
  no_marks_hint: "Each number appears as soon as its marks are there:",
  to_marks: "Mark frames",
  /** Which marks give which number. */
  needs: [
    { marks: "two entries of one hand", give: "stroke rate, cycle rate, seconds per stroke" },
    { marks: "entry, catch, mid-pull, exit and the next entry of one arm", give: "its four phases" },
    { marks: "exit of one arm and catch of the other, with both arms' entries", give: "propulsive gap, index of coordination" },
    { marks: "mouth clear and face return, with the entries", give: "strokes per breath, and every number split into breathing and non-breathing strokes" },
    { marks: "exhale start, face turn, mouth clear, face return", give: "exhalation and breath timing" },
    { marks: "kick-out start and end, downbeats", give: "kick-outs per stroke, kick beats per cycle" },
  ],

  measure,
  phases: PHASES,
  /** @param {Side} side */
  side: (side) => (side === null ? "mean of both arms" : SIDES[side]),
  /** @param {Breathing} breathing */
  breathing: (breathing) => ({ all: "all strokes", breathing: "breathing", non_breathing: "non-breathing" })[breathing],
  stroke,

  /**
   * On paper, where no header says it.
   * @param {{athlete: {label: string}, date: string}} session
   * @param {{label: string, name: string}} clip
   */
  whose: ({ athlete, date }, { label, name }) => [athlete.label, date, label ? `${label} (${name})` : name].filter(Boolean).join(" · "),

  /** The three groups of the board: heading and what its splits mean. */
  groups: {
    rate: { title: "Stroke rate", left: "left arm", right: "right arm", note: "" },
    gap: {
      title: "Propulsive gap",
      left: "to left catch",
      right: "to right catch",
      note: "",
    },
    coordination: {
      title: "Index of coordination",
      left: "after left exit",
      right: "after right exit",
      note: "Below zero catch-up, near zero opposition, above zero superposition. Catch-up is not wrong: over four paces elite swimmers showed more of it than recreational ones.",
    },
  },
  split: { breathing: "breathing", non_breathing: "non-breathing" },
  /** @param {string} value @param {string|null} uncertainty @param {string} unit */
  with_unit: (value, uncertainty, unit) => (uncertainty === null ? `${value} ${unit}` : `${value} ± ${uncertainty} ${unit}`),
  /** @param {number} n */
  n: (n) => `n ${n}`,
  /** @param {string} name @param {string} of @param {string} text @param {number} n */
  to_frames: (name, of, text, n) => `${name}, ${of}: ${text}, n ${n}. Go to its frames`,
  /** @param {string} name @param {string} of */
  no_number: (name, of) => `${name}, ${of}: no number yet`,
  /** @param {string} low @param {string} high */
  interval: (low, high) => `95 %: ${low} to ${high}`,
  flagged: "flagged",
  /** @param {number} count */
  flagged_why: (count) => (count === 1 ? "One of its marks is flagged:" : "Some of its marks are flagged:"),

  basis: {
    heading: "What these numbers stand on",
    clip_choice: "Clip",
    /** @param {{label: string, name: string}} clip */
    clip: ({ label, name }) => (label ? `${label} (${name})` : name),
    legend: "Filmed rate",
    as_it_plays: "as the clip plays",
    filmed_at: "filmed at",
    unit: "frames/s",
    rate_example: "e.g. 240",
    rate_label: "frames a second that the camera filmed",
    /** @param {number|null} filmed @param {number} fps */
    tag: (filmed, fps) => (filmed === null ? `as the clip plays, ${rate(fps)}` : `filmed at ${rate(filmed)}`),
    tag_hint: "Change the filmed rate",
    /** @param {number} fps */
    camera_wrote: (fps) => `The camera wrote ${rate(fps)} into the file.`,
    /** @param {number} ms */
    frame: (ms) => `One frame is ${ms.toFixed(ms < 10 ? 2 : 1)} ms.`,
    uncertainty: "± is one standard deviation from frame quantisation. The 95 % interval and SD are from stroke to stroke.",
    methods: "How each number is worked out",
    bad_rate: "A filmed rate is a number of frames a second above 0.",
    /** @param {number} count @param {number} total */
    not_proven: (count, total) =>
      count === 1
        ? `1 of ${total} marks stands on a frame that the browser did not prove: it may be a neighbour of the frame shown.`
        : `${count} of ${total} marks stand on frames that the browser did not prove: each may be a neighbour of the frame shown.`,
    /** @param {number} count */
    flags: (count) => (count === 1 ? "1 flag on the marks; the means that use them say so." : `${count} flags on the marks; the means that use them say so.`),
  },

  frames: {
    /** @param {string} of */
    title: (of) => `Frames of ${of}`,
    /** @param {{kind: string, side: Side, frame: number}} mark */
    mark: (mark) => `frame ${mark.frame} · ${mark.side ? `${SIDES[mark.side]} ` : ""}${MARK_KINDS[mark.kind] ?? mark.kind}`,
    close: "Close",
    /** @param {string} of @param {number} n */
    open: (of, n) => `n ${n}: list the frames of ${of}`,
  },

  wheel: {
    heading: "Stroke wheel",
    near: "Near arm",
    hint: "One turn is one cycle of the near arm, clockwise from its entry. Filled: mean cycle; fine lines: single cycles.",
    none: "The wheel needs one whole cycle: entry, catch, mid-pull, exit and the next entry of the near arm.",
    svg: {
      title: "Stroke wheel: the mean cycle of both arms",
      left: "left",
      right: "right",
      enters: "enters",
      mean_of: "mean cycle, n",
      phases: PHASES,
      gap: "gap",
      overlap: "overlap",
      propelling: "an arm propels",
    },
  },

  charts: {
    as_table: "The same as a table",
    keys: "Arrow keys move from stroke to stroke, Enter goes to the frames.",
    time: "Time in the clip, s",
    /** @param {number} seconds */
    at: (seconds) => `${seconds.toFixed(2)} s`,
    /** @param {number} cycle @param {number} seconds */
    cycle_at: (cycle, seconds) => `${cycle}, ${seconds.toFixed(2)} s`,
    columns: { time: "at", side: "arm", waiting: "until the catch of", breathing: "stroke", gap: "gap", frames: "frames", share: "% of cycle", cycle: "cycle", rate: "stroke rate", cycles: "cycle rate" },
    gap: {
      title: "Propulsive gap over the clip",
      axis: "gap, ms",
      above: "gap: neither arm propels",
      below: "overlap: both arms propel",
      none: "No gap yet: it needs one arm's exit and the other arm's catch, with the entries.",
      /** @param {number} at_s @param {Side} waiting @param {boolean|null} breathing @param {string} text */
      point: (at_s, waiting, breathing, text) => `${at_s.toFixed(2)} s, until ${waiting} catch, ${stroke(breathing)}: ${text}`,
    },
    phases: {
      title: "Phases of each cycle",
      axis: "% of cycle",
      none: "No whole cycle yet: it needs entry, catch, mid-pull, exit and the next entry of one arm.",
      /** @param {Side} side @param {number} cycle */
      bar: (side, cycle) => `${side === "left" ? "L" : "R"}${cycle}`,
      /** Under a bar: a breath is taken in this cycle. */
      breath: "◇",
      breath_legend: "breathing",
      /** @param {Side} side @param {number} cycle @param {boolean|null} breathing @param {string[]} shares */
      point: (side, cycle, breathing, shares) =>
        `Cycle ${cycle}, ${side}, ${stroke(breathing)}: ${PHASES.map((phase, index) => `${phase} ${shares[index]}`).join(", ")}`,
    },
    rate: {
      title: "Rate of each cycle",
      axis: "strokes/min",
      axis_cycles: "cycles/min",
      none: "No rate yet: it needs two entries of one hand.",
      /** @param {Side} side @param {number} cycle @param {boolean|null} breathing @param {string} text */
      point: (side, cycle, breathing, text) => `Cycle ${cycle}, ${side}, ${stroke(breathing)}: ${text}`,
    },
    legend: { left: "left", right: "right", until_left: "until left catch", until_right: "until right catch", breathing: "breathing", non_breathing: "non-breathing", unknown: "breath not marked", bar: "± 1 SD" },
  },

  table: {
    title: "Every measure",
    columns: {
      measure: "Measure",
      side: "Arm",
      cycle: "Cycle",
      value: "Value",
      uncertainty: "±",
      unit: "Unit",
      sd: "SD",
      n: "n",
      interval: "95 % interval",
      breathing: "Breathing",
      non_breathing: "Non-breathing",
    },
    low: "95 % low",
    high: "95 % high",
    reason: "Why no number",
    region: "Table of every measure",
    mean: "mean",
    both: "both",
    filter: "Show",
    families: {
      all: "all measures",
      rate: "rate and length",
      phases: "phases",
      coordination: "coordination and gap",
      breathing: "breathing",
      legs: "legs",
      symmetry: "left against right",
    },
    each_cycle: "each cycle too",
    /** @param {number} count */
    absent: (count) => `measures without a number (${count})`,
    copy: "Copy table",
    /** @param {number} rows */
    copied: (rows) => `${rows} rows copied; paste them into a spreadsheet.`,
    copy_refused: "The browser did not allow copying. Select the rows and press Ctrl+C.",
    copy_hint: "Ctrl+C copies the selected rows.",
    /** @param {number} rows */
    count: (rows) => (rows === 1 ? "1 row" : `${rows} rows`),
    none: "No measure of this kind has a number yet.",
    interval: (/** @type {string} */ low, /** @type {string} */ high) => `${low} to ${high}`,
  },

  breathing_caution:
    "Breathing is for the swimmer to take when it is needed. Prolonged breath-holding or over-breathing before swimming under water is dangerous and can be deadly. Never swim alone; never ignore the urge to breathe.",
  symmetry_note: "A difference between the sides is not by itself a fault and need not cost speed.",
};

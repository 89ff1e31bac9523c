// Words of the comparison. What follows from the statistics (a measure's sentence, a gate's reason, what would settle
// it, what else differs) is written in Rust and shown as it comes.

import { numbers } from "./numbers.js";
import { remark } from "./remark.js";

/** @typedef {import("../compare/types.js").Breathing} Breathing */
/** @typedef {import("../compare/types.js").GateName} GateName */
/** @typedef {"before"|"after"} Which */

/** @param {number} count @param {string} one @param {string} many */
const counted = (count, one, many) => `${count} ${count === 1 ? one : many}`;

/** @param {number[]} fps */
const rates = (fps) => fps.map((rate) => String(Number(rate.toFixed(2)))).join(" and ");

/** @type {Record<Breathing, string>} */
const STROKES = { all: "all strokes", breathing: "breathing strokes", non_breathing: "non-breathing strokes" };

export const compare = {
  title: "Compare",
  /** @type {Record<string, string>} */
  faces: { pictures: "Pictures", numbers: "Numbers", visits: "Visits" },
  faces_label: "What to compare",

  nothing: "Nothing to compare yet.",
  nothing_hint: "A comparison needs two sets of cycles: two clips with marked frames, or two stretches of one clip.",
  to_marks: "Mark frames",
  to_clips: "Go to the clips",
  one_clip: "One clip is here; a comparison needs two sets of cycles.",
  one_clip_hint: "Add the clip from after the cue. Or compare the first half of this clip with its second.",
  halves: "Compare the two halves",
  before_cycles: "No set of cycles has a value yet.",
  before_cycles_hint: "Mark both clips: two cycles give a difference, three on each side give an interval.",

  bar: {
    choice: "Comparison shown",
    loose: "not kept",
    /** @param {number} id */
    unnamed: (id) => `comparison ${id}`,
    name: "Name",
    name_example: "e.g. after the cue",
    /** @param {string} before @param {string} after */
    usual_name: (before, after) => `${before} → ${after}`,
    keep: "Keep",
    keep_title: "Keep this comparison in the session",
    another: "Another",
    another_title: "Start another comparison from these sets",
    remove: "Remove",
    /** @param {string} label */
    kept: (label) => `Kept: ${label}.`,
    /** @param {string} label */
    removed: (label) => `Removed: ${label}. Undo brings it back.`,
    copy: "Copy as text",
    copied: "The comparison is copied as text.",
    csv: "Save as CSV",
    print: "Print",
  },

  sets: {
    title: "What is compared",
    /** @type {Record<Which, string>} */
    names: { before: "Before", after: "After" },
    clip: "Clip",
    from: "from",
    to: "to",
    start: "the start",
    end: "the end",
    /** @param {number} cycle @param {"left"|"right"|null} side */
    cycle: (cycle, side) => (side === null ? `cycle ${cycle}` : `${side} cycle ${cycle}`),
    /** A stretch whose end falls on no cycle. */
    elsewhere: "as it was kept",
    strokes: "Strokes",
    /** @param {Breathing} breathing */
    breathing: (breathing) => STROKES[breathing],
    add_clip: "Add a clip to this set",
    /** @param {string} clip */
    remove_clip: (clip) => `Take ${clip} out of this set`,
    paired: "paired",
    paired_why:
      "Pair only what belongs together one to one, such as the same interval swum twice: then the first cycle is held against the first, the second against the second. Two clips of free swimming are not paired.",
    /** @param {string} clip @param {string|null} from @param {string|null} to */
    part: (clip, from, to) => (from === null && to === null ? clip : `${clip} (${from ?? "the start"} to ${to ?? "the end"})`),
    /** @param {number} cycles @param {number[]} fps */
    held: (cycles, fps) => (cycles === 0 ? "no whole cycle" : `${counted(cycles, "cycle", "cycles")} at ${rates(fps)} frames/s`),
    /** @param {Which} which @param {string[]} parts @param {Breathing} breathing @param {string} held */
    said: (which, parts, breathing, held) =>
      `${which === "before" ? "Before" : "After"}: ${parts.join(" and ")}${breathing === "all" ? "" : `, ${STROKES[breathing]}`}, ${held}`,
    change: "Change",
    asked: "What you ask",
    asked_why: "Decide before you look: each question more makes every answer need more.",
    ask: "Ask about another measure",
    /** @param {string} measure */
    ask_not: (measure) => `Do not ask about: ${measure}`,
  },

  confounders: "What else differs between the sets",
  operator: {
    not_known: remark.not_known(null),
    how: "Mark a stretch again, blind.",
    again: "Mark it again",
  },

  /** What the board calls the two arms' parts of a measure. */
  groups: {
    arms: { left: "left arm", right: "right arm" },
    gap: { left: "to left catch", right: "to right catch" },
    coordination: { left: "after left exit", right: "after right exit" },
  },
  split: { breathing: "breathing", non_breathing: "non-breathing" },
  arrow: "→",
  arrow_heard: "then",
  difference: "difference",
  no_value: "no value",
  /** @param {string} low @param {string} high */
  interval: (low, high) => `95 %: ${low} to ${high}`,
  no_interval: "no interval: it needs three cycles on each side",
  /** A difference of percentages is in points. @param {string} unit */
  unit_of_difference: (unit) => (unit === "%" ? "points" : unit),
  /** @type {Record<import("../compare/types.js").Verdict, string>} */
  verdicts: {
    changed: "changed",
    within_frame_error: "within frame error",
    within_operator_error: "within your own marking",
    within_stroke_variation: "within stroke variation",
    not_comparable: "not comparable",
  },
  gates_label: "Is the difference beyond what else could explain it?",
  /** @type {Record<GateName, {name: string, passed: string, not_passed: string, not_known: string}>} */
  gates: {
    frame: { name: "frames", passed: "beyond frame error", not_passed: "within frame error", not_known: "frame error not known" },
    operator: { name: "your marking", passed: "beyond your own marking", not_passed: "within your own marking", not_known: "your own marking not known yet" },
    strokes: { name: "strokes", passed: "beyond stroke variation", not_passed: "within stroke variation", not_known: "stroke variation not known" },
  },
  how: "How this was decided",
  methods: "How each test works",
  tests: {
    /** @param {string} t @param {string} df @param {string} p @param {string} holm */
    welch: (t, df, p, holm) => `Welch's t = ${t}, ${df} degrees of freedom, p = ${p} (${holm} for all measures shown together, Holm)`,
    /** @param {string} t @param {string} df @param {string} p @param {string} holm */
    paired: (t, df, p, holm) => `Paired t = ${t}, ${df} degrees of freedom, p = ${p} (${holm} for all measures shown together, Holm)`,
    /** @param {string} p @param {string} holm @param {number} arrangements @param {boolean} exact */
    permutation: (p, holm, arrangements, exact) =>
      `Permutation test, ${exact ? `all ${arrangements.toLocaleString("en")}` : `${arrangements.toLocaleString("en")} drawn`} arrangements: p = ${p} (${holm}, Holm)`,
    /** @param {string} g */
    hedges: (g) => `Hedges' g = ${g}`,
  },

  /** @param {string} of @param {Which} which @param {string} text @param {number} n */
  to_cycles: (of, which, text, n) => `${of}, ${which}: ${text}, n ${n}. List its cycles`,
  /** @param {string} of @param {Which} which */
  cycles_of: (of, which) => `${of}, ${which}: go to a cycle`,
  /** @param {string} clip @param {number|null} cycle @param {"left"|"right"|null} side @param {boolean|null} breathing @param {string} text @param {boolean} flagged */
  cycle: (clip, cycle, side, breathing, text, flagged) =>
    [
      clip,
      ...(cycle === null ? [] : [`${side === null ? "" : `${side} `}cycle ${cycle + 1}`]),
      ...(breathing === null ? [] : [numbers.stroke(breathing)]),
      text,
      ...(flagged ? ["flagged, does not count"] : []),
    ].join(", "),

  charts: {
    title: "Every cycle, before and after",
    hint: "Above, each cycle as a sign with the mean and its 95 % interval; below, the difference on its own axis. Its nought stands under the mean before. Click a sign to see its frames.",
    another: "Another measure",
    as_table: "The same as a table",
    legend: {
      breathing: "breathing",
      non_breathing: "non-breathing",
      unknown: "breath not marked or of both arms",
      left: "left",
      right: "right",
      both: "both arms",
      mean: "mean, 95 % interval",
      frame: "within frame error",
      operator: "within your own marking",
      flagged: "flagged, does not count",
    },
    columns: { set: "set", clip: "clip", cycle: "cycle", stroke: "stroke", value: "value" },
    words: {
      before: "before",
      after: "after",
      difference: "difference",
      mean: "mean",
      n: "n",
      interval: "95 %:",
      to: "to",
      nothing: "no value",
      cycle: "cycle",
      left: "left",
      right: "right",
      breathing: "breathing",
      non_breathing: "non-breathing",
      flagged: "flagged, does not count",
    },
    none: "Neither set has a value of this measure.",
  },
  phases: {
    title: "The stroke, before and after",
    /** @param {"left"|"right"} side */
    of: (side) => `Phases, ${side} arm, % of the cycle`,
    /** @param {Which} which */
    wheel: (which) => `Stroke wheel, ${which}`,
    near: "Near arm",
    no_wheel: "No whole cycle of the near arm in this set.",
    none: "No whole cycle yet: entry, catch, mid-pull, exit and the next entry of one arm.",
    before: "before",
    after: "after",
  },
  table: {
    title: "Every measure",
    region: "Table of every measure, before and after",
    columns: {
      measure: "Measure",
      side: "Arm",
      before: "Before",
      before_n: "n",
      after: "After",
      after_n: "n",
      difference: "Difference",
      interval: "95 % interval",
      unit: "Unit",
      gates: "Frames · marking · strokes",
      verdict: "Verdict",
    },
    low: "95 % low",
    high: "95 % high",
    p: "p (permutation)",
    p_holm: "p (Holm)",
    sentence: "In words",
    settle: "What would settle it",
    absent: "measures without a value on both sides",
    /** @param {number} all @param {number} board */
    questions: (all, board) =>
      `The table asks ${all} questions at once, so each difference has to stand out further than on the board, which asks ${board}. Decide what you want to know before you look.`,
    filter: "Show",
    copy: "Copy table",
  },
  plan: {
    title: "Before you film: how much is enough?",
    /** The sentence around its number field. */
    to_see: "To see a change of",
    in_gap: "ms in the propulsive gap, when single gaps differ by",
    from_stroke: "ms from stroke to stroke (SD),",
    measured: "The SD is that of the sets above.",
    guessed: "The SD is a guess until a set above has one.",
    own: "Your own marking error is not in it: it is not known yet.",
    power: "Enough to see such a change four times out of five, if nothing else is asked.",
    rate: "filmed at",
    /** @param {number} fps */
    at: (fps) => `${Number(fps.toFixed(2))} frames/s`,
    cycles: "film before, and as many after",
    /** @param {number} cycles */
    film: (cycles) => counted(cycles, "cycle", "cycles"),
    never: "not at this rate, however many",
    change_label: "change in ms",
    sd_label: "SD of single gaps in ms",
    bad_number: "A change and an SD are numbers of milliseconds above 0.",
  },
};

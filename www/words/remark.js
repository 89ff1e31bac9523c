// All words of marking again: the second, blind marking and what it says of the coach's own hand. Sentences that
// follow from the figures come from Rust.

import { marks } from "./marks.js";

/** @param {number} count @param {string} one @param {string} [many] */
const counted = (count, one, many = `${one}s`) => `${count} ${count === 1 ? one : many}`;

export const remark = {
  heading: "Mark it again",
  tool: "Mark again",
  why: "Mark the same strokes once more without seeing your first marks: it shows how steady your own hand is.",

  /**
   * Said wherever a comparison has no second marking to stand on.
   * @param {string | null} frameErrorMs  ± between two marks from the frames alone, ms; null while no clip tells
   */
  not_known: (frameErrorMs) =>
    `Your own error is not known: nothing was marked again in this session. The frames’ error${frameErrorMs === null ? "" : ` (±${frameErrorMs} ms between two marks)`} is used alone.`,

  passage: "What to mark again",
  whole: "The whole clip",
  last: "The last",
  last_unit: "cycles",
  between: "A stretch",
  from_here: "from here",
  to_here: "to here",
  /** @param {string} from @param {string} to */
  stretch: (from, to) => `frame ${from} to ${to}`,
  start_of_clip: "the first",
  end_of_clip: "the last",
  /** @param {number} marks */
  questions: (marks) => (marks === 0 ? "No marks there yet: mark it a first time." : `${counted(marks, "mark")} to make again`),
  start: "Start",
  read_only: "This session can only be read here, so nothing can be marked again.",
  no_frames: "This needs the clip’s frames. Choose the file first.",

  /** @param {number} done @param {number} of */
  begun: (done, of) => `Begun: ${done} of ${of} done.`,
  begun_hint: "You can see the first marks now. Let some time pass before you go on.",
  go_on: "Go on",
  finish_now: "Finish with these",
  discard: "Discard",
  results: "Results",
  close: "Close",
  stop: "Stop for now",

  blind_heading: "Marking again, blind",
  blind: "First marks and figures are hidden until you stop. The cycles come in an order of chance.",
  blind_roll: "The first marks are hidden while you mark again.",
  blind_roll_short: "First marks hidden.",
  /** @param {number} done @param {number} of */
  progress: (done, of) => `${done} of ${of}`,
  /** @param {number} cycle @param {number} of */
  cycle: (cycle, of) => `cycle ${cycle} of ${of}, shuffled`,
  /** @param {string} seconds */
  window: (seconds) => `It comes within ${seconds} s of the first frame shown.`,
  /** @param {number} frames */
  away: (frames) => `${counted(Math.abs(frames), "frame")} ${frames < 0 ? "before" : "after"} the first frame shown`,
  all_asked: "Everything was asked.",
  /** @param {number} marked @param {number} skipped */
  answered: (marked, skipped) => `${counted(marked, "mark")} made again, ${skipped} passed over.`,
  finish: "Finish: show the results",
  nothing_marked: "Nothing was marked again: go back one question, or discard it.",

  said: {
    started: (/** @type {number} */ of) => `Marking again: ${counted(of, "question")}. The first marks are hidden.`,
    stopped: "Stopped. What was marked again is kept; go on whenever you like.",
    finished: "Finished. Here is what came out.",
    discarded: "Discarded. Undo brings it back.",
    /** @param {string} what @param {number} frame */
    marked: (what, frame) => `${what} marked again on frame ${frame}.`,
    skipped: (/** @type {string} */ what) => `${what}: passed over.`,
    back: "Back one question.",
    first: "This is the first question.",
    /** @param {string} what @param {string} key */
    other: (what, key) => `Asked for is the ${what.toLowerCase()} (${key}).`,
    hidden: "Not while you mark again: stop first.",
    /** @param {string} frame */
    from: (frame) => `The stretch starts at frame ${frame}.`,
    /** @param {string} frame */
    to: (frame) => `The stretch ends at frame ${frame}.`,
    turned: "A stretch has to start before it ends.",
  },

  away_heading: "Hidden while you mark again",
  away_text: "You are marking this clip a second time without seeing the first marks. Its figures would show them: they are here again when you stop or finish.",
  away_back: "Back to marking",

  table: {
    heading: "Your own hand",
    /** @param {number} passes */
    passes: (passes) => `from ${counted(passes, "second marking")} in this session`,
    marks: "Marks, both sides",
    measures: "Measures, one cycle each",
    event: "Event",
    measure: "Measure",
    pairs: "Pairs",
    sem: "SEM",
    sem_long: "Standard error of measurement, with its 95 % interval",
    mdc: "MDC₉₅",
    mdc_long: "Smallest detectable change between two single values, 95 %",
    shift: "Shift",
    shift_long: "Mean of second minus first, with its 95 % interval: above 0, you now mark later or measure more",
    ms: "ms",
    frames: (/** @type {string} */ frames) => `${frames} frames`,
    /** @param {string} low @param {string} high */
    interval: (low, high) => `${low} to ${high}`,
    event_name: (/** @type {string} */ kind) => {
      const name = marks.kind[kind] ?? kind;
      return name.charAt(0).toUpperCase() + name.slice(1);
    },
    none: "Nothing was marked again yet.",
    frames_in_it: "The frames’ share is in these figures: their ± is not added to them. For means over several cycles a smaller change counts; the comparison works it out.",
    more: "Every measure and every answer is in the tables for a spreadsheet, under Hand over.",
  },
};

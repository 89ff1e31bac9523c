// Words of the hand-over: files out, print, cautions.

/** @param {number} count @param {string} one @param {string} many */
const counted = (count, one, many) => `${count} ${count === 1 ? one : many}`;

export const hand_over = {
  title: "Hand over",
  nothing_title: "Nothing to hand over yet",
  nothing_text: "Open a session, or start one with a clip.",
  to_clips: "Go to the clips",

  session_title: "The session, as a file",
  session_text:
    "Everything that you entered and marked, in one .wetframe file: to keep, to move to another device, to send to a colleague who opens it in this same page. It holds no picture: send the clips beside it.",
  session_save: "Save the session",
  /** @param {boolean} ever @param {number} since */
  session_state: (ever, since) =>
    !ever
      ? "Not saved to a file yet."
      : since === 0
        ? "The last file that you saved is up to date."
        : `${counted(since, "change", "changes")} since the last file.`,

  csv_title: "Tables, for a spreadsheet",
  measures_text: "Every measure of every clip: value, unit, uncertainty, number of cycles, or the reason why there is none.",
  measures_save: "Save the measures (CSV)",
  marks_text: "Every mark: clip, frame, time in ticks and seconds, event, side, and how the frame is known.",
  marks_save: "Save the marks (CSV)",
  comparisons_text: "Every comparison that the session keeps: both sets, the difference with its interval, the gates and the sentence, measure by measure.",
  comparisons_save: "Save the comparisons (CSV)",
  remarks_text: "What you marked again: how closely you hit the same events and measures a second time, and every second mark beside its first.",
  repeatability_save: "Save your repeatability (CSV)",
  remarks_save: "Save the second marks (CSV)",

  print_title: "On paper",
  print_text: "The figures of one clip, with their uncertainties, on one or two pages.",
  print: "Print the numbers",
  print_needs_cycles: "There is nothing to print until a cycle is marked.",

  /** @param {string} name */
  saved: (name) => `${name} was saved.`,

  summary_title: "What goes out",
  /** @param {number} clips @param {number} marks @param {number} cycles */
  summary: (clips, marks, cycles) => `${counted(clips, "clip", "clips")}, ${counted(marks, "mark", "marks")}, ${counted(cycles, "cycle", "cycles")}`,
  /** @param {number} questions */
  questions: (questions) => `${counted(questions, "question is", "questions are")} open on the marks: the measures that they touch say so in every table.`,
  /** @param {number} clips */
  not_proven: (clips) => `On ${counted(clips, "clip", "clips")} some marks were set on frames that this browser could not prove; the tables name them.`,
  minors: "This swimmer is under 18. Hand over only to those named in the consent, and say when it is to be deleted.",
  no_consent: "No consent is noted for this swimmer. Settle it before anything leaves this device.",

  care_title: "Before you act on the numbers",
  care: [
    "Catch-up, opposition and superposition are ways to swim, not faults: in published groups the experts were lower in coordination than recreational swimmers. Look at the gap, its evenness and what happens in it.",
    "Never answer a breathing figure with breath-holding drills. Prolonged breath-holding, or hyperventilation before swimming under water, is dangerous and potentially deadly. Never alone; never ignore the urge to breathe.",
    "Shoulder or back pain, numbness or weakness: stop, and see a clinician. Nothing here is treatment.",
  ],
  care_sources:
    "Breath-holding: Red Cross and YMCA of the USA, joint statement, 2015. Coordination of experts and recreational swimmers: International Journal of Sports Medicine, doi 10.1055/s-0030-1265149.",
};

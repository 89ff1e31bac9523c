// Words of the comparison. What follows from the statistics (a measure's sentence, a gate's reason, what would settle
// it) is written in Rust and shown as it comes.

export const compare = {
  title: "Compare",
  /** @type {Record<string, string>} */
  faces: { pictures: "Pictures", numbers: "Numbers", visits: "Visits" },
  faces_label: "What to compare",
  nothing: "Nothing to compare yet.",
  nothing_hint: "A comparison needs two sets of cycles: two clips with marked frames, or two stretches of one clip.",
  to_marks: "Mark frames",
};

// The names of the kinds of mark, which every view uses: one concept, one word.

/** By the kind's name in the session file. @type {Record<string, string>} */
export const MARK_KINDS = {
  entry: "entry",
  catch: "catch",
  mid_pull: "mid-pull",
  exit: "exit",
  exhale_start: "exhale start",
  face_turn: "face turn",
  mouth_clear: "mouth clear",
  face_return: "face return",
  kick_out_start: "kick-out start",
  kick_out_end: "kick-out end",
  downbeat: "downbeat",
  pass: "pass",
};

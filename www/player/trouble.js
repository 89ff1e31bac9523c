// What can go wrong with a clip on this device, in words that a coach can act on.
//
// Not for: what is wrong inside a file; the clip crate says that in the same shape.

/**
 * @typedef {object} Trouble
 * @property {string} kind
 * @property {string} message what is wrong, with the clip's name
 * @property {string} hint what to do
 * @property {"error" | "warning"} severity
 * @property {{file: string, frame?: number}} place
 */

/** Families of codecs by the start of their codec string or four-character code, lower case. @type {[RegExp, string][]} */
const CODECS = [
  [/^avc[134]|^h264/, "H.264"],
  [/^(hvc|hev)1|^hevc|^h265/, "HEVC (H.265)"],
  [/^(dvh1|dvhe|dvav|dva1)/, "Dolby Vision"],
  [/^(vvc1|vvi1)/, "VVC (H.266)"],
  [/^(vp08|vp8)/, "VP8"],
  [/^(vp09|vp9)/, "VP9"],
  [/^av01/, "AV1"],
  [/^ap(ch|cn|cs|co|4h|4x)|^prores/, "Apple ProRes"],
  [/^(mjp|jpeg|mjpeg)/, "Motion JPEG"],
  [/^(mp4v|xvid|divx)/, "MPEG-4 Part 2"],
  [/^(s263|h263)/, "H.263"],
  [/^(mp2v|mp1v|mpeg2)/, "MPEG-2"],
  [/^(cfhd)/, "CineForm"],
  [/^(avd[hn])/, "DNxHD"],
];

/**
 * The codec's name in words; its own code where it is none that we know.
 *
 * @param {string} codec codec string or four-character code
 */
export function codecInWords(codec) {
  const code = codec.trim().toLowerCase();
  return CODECS.find(([pattern]) => pattern.test(code))?.[1] ?? `of the kind “${codec}”`;
}

/** @param {string} name @param {string} codec @returns {Trouble} */
export function codecNotSupported(name, codec) {
  const words = codecInWords(codec);
  return {
    kind: "codec_not_supported",
    message: `${name} is ${words}, which this browser cannot decode.`,
    hint: hintFor(words),
    severity: "error",
    place: { file: name },
  };
}

/** @param {string} words */
function hintFor(words) {
  if (words.startsWith("HEVC") || words === "Dolby Vision") {
    return "Chrome, Edge or Safari on a Mac, a newer Windows computer or a phone can often play it. Or export the clip as H.264: on an iPhone, choose Settings → Camera → Formats → Most Compatible before filming.";
  }
  if (words === "Apple ProRes" || words === "DNxHD" || words === "CineForm") {
    return "It is a format for editing. Export the clip as H.264 (MP4) from the program or phone it comes from.";
  }
  return "Export or convert the clip to H.264 in an MP4 file, which every browser plays.";
}

/** @param {string} name @param {unknown} error @returns {Trouble} */
export function fileUnreadable(name, error) {
  return {
    kind: "file_unreadable",
    message: `${name} cannot be read any more (${textOf(error)}).`,
    hint: "It may have been moved, renamed or changed, or its card or drive taken out. Choose the file again; your marks are kept.",
    severity: "error",
    place: { file: name },
  };
}

/** @param {string} name @param {number} frame @param {unknown} error @returns {Trouble} */
export function frameNotDecoded(name, frame, error) {
  return {
    kind: "frame_not_decoded",
    message: `Frame ${frame} of ${name} cannot be decoded (${textOf(error)}).`,
    hint: "The clip may be damaged there. The other frames can be used; nothing is shown in place of this one.",
    severity: "error",
    place: { file: name, frame },
  };
}

/** @param {string} name @param {unknown} error @returns {Trouble} */
export function notPlayable(name, error) {
  return {
    kind: "clip_not_playable",
    message: `${name} cannot be played by this browser (${textOf(error)}).`,
    hint: "The clip may be damaged or cut off. Copy it from the camera again, or export it as H.264 in an MP4 file.",
    severity: "error",
    place: { file: name },
  };
}

/** @param {string} name @param {number} frame @returns {Trouble} */
export function frameNotReached(name, frame) {
  return {
    kind: "frame_not_reached",
    message: `This browser’s player did not reach frame ${frame} of ${name}.`,
    hint: "The picture has not changed. Try the frame beside it, or a browser that can decode frame by frame (current Chrome, Edge, Safari or desktop Firefox).",
    severity: "warning",
    place: { file: name, frame },
  };
}

/** @param {string} name @returns {Trouble} */
export function steppedBySeeking(name) {
  return {
    kind: "stepped_by_seeking",
    message: `${name} is shown by the browser’s own player, frame by frame through seeking.`,
    hint: "Each frame is checked against the clip’s own times before it is shown, but steps are slower. A browser with WebCodecs for this codec decodes the frames themselves.",
    severity: "warning",
    place: { file: name },
  };
}

/** @param {string} name @returns {Trouble} */
export function framesNotProven(name) {
  return {
    kind: "frames_not_proven",
    message: `This browser’s player does not say which frame of ${name} it shows.`,
    hint: "Frames are most likely right but not proven, and marks made here say so. Use a browser that can decode this clip frame by frame for numbers that you rely on.",
    severity: "warning",
    place: { file: name },
  };
}

/** @param {string} name @returns {Trouble} */
export function startNotKnown(name) {
  return {
    kind: "start_not_known",
    message: `The first frame of ${name} is not at time 0 of its file, and it cannot be known where this browser’s player starts.`,
    hint: "All frames may be off by the same number. Open the clip in Chrome or Edge, or export it once more so that what was cut is really gone.",
    severity: "warning",
    place: { file: name },
  };
}

/** @param {string} name @returns {Trouble} */
export function copiesNotTold(name) {
  return {
    kind: "copies_not_told",
    message: `In ${name} too little changes from frame to frame to tell copied frames.`,
    hint: "This is usual for clips that hardly move or are strongly compressed. It says nothing against the clip.",
    severity: "warning",
    place: { file: name },
  };
}

/** @param {string} name @returns {Trouble} */
export function copiesNeedProof(name) {
  return {
    kind: "copies_need_proof",
    message: `Copied frames in ${name} cannot be looked for here: this browser’s player does not say which frame it shows.`,
    hint: "Use a browser that can decode this clip frame by frame.",
    severity: "warning",
    place: { file: name },
  };
}

/** @param {string} name @param {unknown} error @returns {Trouble} */
export function playerFailed(name, error) {
  return {
    kind: "player_failed",
    message: `The player stopped working on ${name} (${textOf(error)}).`,
    hint: "Open the clip again; your marks are kept. If it happens again, try another browser and tell us which clip it was.",
    severity: "error",
    place: { file: name },
  };
}

/** @param {string} name @returns {Trouble} */
export function cancelled(name) {
  return {
    kind: "cancelled",
    message: `The check of ${name} was stopped.`,
    hint: "Nothing was changed.",
    severity: "warning",
    place: { file: name },
  };
}

/** @param {string} name @returns {Trouble} */
export function openingStopped(name) {
  return { ...cancelled(name), message: `Opening ${name} was stopped.` };
}

/** Whether it is already in the shape of a trouble. @param {unknown} error @returns {error is Trouble} */
export function isTrouble(error) {
  return typeof error === "object" && error !== null && "kind" in error && "message" in error && "hint" in error;
}

/** @param {unknown} error */
export function textOf(error) {
  if (error instanceof Error || error instanceof DOMException) return error.message === "" ? error.name : error.message;
  return String(error);
}

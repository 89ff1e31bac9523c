// The worker that owns the file, its table, the decoder and the frames: it answers what the player asks.
//
// Not for: the screen. Messages in: {id, ask, …}; messages out: {id, answer, …} or {id, trouble}; progress
// of a long task: {id, done, of}. Pictures are given away (transferred), never shared.

import initialise, { ClipReader, DuplicateFinder } from "../wasm/worker.js";
import { SampleTable } from "./clip-tables.js";
import { DecoderSource, isFileTrouble } from "./decoder-source.js";
import { findDuplicates } from "./duplicates.js";
import { cancelled, fileUnreadable, frameNotDecoded, isTrouble, playerFailed } from "./trouble.js";

/**
 * @typedef {object} OpenAsk
 * @property {File} file
 * @property {number} ring_bytes
 * @property {"planes" | "canvas"} hold_by
 */

/** @type {{file: File, facts: any, samples: SampleTable, config: VideoDecoderConfig} | null} */
let clip = null;
/** @type {DecoderSource | null} */
let source = null;
/** @type {DuplicateFinder | null} */
let finder = null;
/** @type {Map<number, AbortController>} */
const running = new Map();

/** @type {Record<string, (id: number, message: any) => Promise<void>>} */
const ASKS = { open, show, follow, prepare, find_duplicates, compare, judge, cancel, close };

self.onmessage = ({ data: message }) => {
  ASKS[message.ask](message.id, message).catch((error) => answer(message.id, { trouble: troubleOf(error) }));
};

/** @param {number} id @param {OpenAsk} message */
async function open(id, { file, ring_bytes, hold_by }) {
  await initialise({ module_or_path: new URL("../wasm/worker_bg.wasm", import.meta.url) });
  const reader = ClipReader.open(file, (/** @type {number} */ done, /** @type {number} */ of) => answer(id, { done, of }));
  try {
    const facts = reader.facts();
    const tables = {
      timescale: facts.timescale,
      sample_offset: reader.sample_offsets(),
      sample_size: reader.sample_sizes(),
      sample_presentation: reader.sample_presentations(),
      sample_keyframe: reader.sample_keyframes(),
      sample_frame: reader.sample_frames(),
      frame_presentation: reader.frame_presentations(),
      frame_sample: reader.frame_samples(),
      end: reader.end(),
    };
    const config = configOf(facts, reader.description());
    clip = { file, facts, samples: new SampleTable(tables), config };
    const canDecode = await isSupported(config);
    if (canDecode) {
      source = new DecoderSource({
        file, config, samples: clip.samples, ringBytes: ring_bytes, holdBy: hold_by,
        frameBytes: Math.ceil(facts.coded_width * facts.coded_height * 1.5),
      });
    }
    answer(id, {
      facts, can_decode: canDecode,
      clock: { timescale: tables.timescale, frame_presentation: tables.frame_presentation, end: tables.end },
      is_cut: tables.sample_frame.includes(-1) || tables.frame_presentation[0] !== 0,
    });
  } finally {
    reader.free();
  }
}

/** @param {number} id @param {{frame: number, direction: number, loop: {from: number, to: number} | null}} message */
async function show(id, { frame, direction, loop }) {
  if (source === null || clip === null) throw new Error("no clip is open");
  const found = await source.want(frame, { direction, loop });
  if (found.state === "held") {
    const picture = found.held.show();
    answer(id, { answer: "shown", picture }, [picture]);
  } else if (found.state === "superseded") {
    answer(id, { answer: "superseded" });
  } else {
    const { name } = clip.file;
    const { error } = found;
    throw isFileTrouble(error) ? fileUnreadable(name, error) : frameNotDecoded(name, frame, error);
  }
}

/** The page showed a frame from a ready picture. @param {number} _id @param {{frame: number, direction: number}} message */
async function follow(_id, { frame, direction }) {
  source?.follow(frame, { direction, loop: null });
}

/** Makes a kept frame ready to draw. @param {number} id @param {{frame: number}} message */
async function prepare(id, { frame }) {
  const held = source?.ring.get(frame) ?? null;
  if (held === null) {
    answer(id, { answer: "absent" });
    return;
  }
  const shown = held.show();
  try {
    const picture = await createImageBitmap(shown);
    answer(id, { answer: "ready", picture }, [picture]);
  } finally {
    shown.close();
  }
}

/** @param {number} id */
async function find_duplicates(id) {
  if (clip === null) throw new Error("no clip is open");
  const stop = new AbortController();
  running.set(id, stop);
  try {
    const duplicates = await findDuplicates({
      file: clip.file, samples: clip.samples, config: clip.config, signal: stop.signal,
      onProgress: (/** @type {number} */ done, /** @type {number} */ of) => answer(id, { done, of }),
    });
    answer(id, { answer: duplicates });
  } finally {
    running.delete(id);
  }
}

/**
 * Takes a frame's picture that the page had from the video element.
 *
 * @param {number} id
 * @param {{frame: number, first: boolean, pixels: ArrayBuffer, width: number, height: number}} message
 */
async function compare(id, { frame, first, pixels, width, height }) {
  if (first) {
    finder?.free();
    finder = new DuplicateFinder();
  }
  finder?.add_rgba(frame, new Uint8Array(pixels), width, height);
  answer(id, { answer: "taken" });
}

/** What the pictures taken so far say about copied frames. @param {number} id */
async function judge(id) {
  answer(id, { answer: finder?.judgement() ?? { duplicated: [], judged: 0, too_still: 0 } });
  finder?.free();
  finder = null;
}

/** Stops a long task. @param {number} _id @param {{task: number}} message */
async function cancel(_id, { task }) {
  running.get(task)?.abort();
}

async function close() {
  for (const stop of running.values()) stop.abort();
  source?.close();
  self.close();
}

/**
 * @param {{codec: string, coded_width: number, coded_height: number}} facts
 * @param {Uint8Array | undefined} description
 * @returns {VideoDecoderConfig}
 */
function configOf(facts, description) {
  /** @type {VideoDecoderConfig} */
  const config = { codec: facts.codec, codedWidth: facts.coded_width, codedHeight: facts.coded_height };
  if (description !== undefined) config.description = description;
  return config;
}

/** @param {VideoDecoderConfig} config */
async function isSupported(config) {
  if (typeof VideoDecoder === "undefined") return false;
  try {
    return (await VideoDecoder.isConfigSupported(config)).supported === true;
  } catch (error) {
    // A codec string that the browser does not even know is a TypeError by the standard.
    if (error instanceof TypeError) return false;
    throw error;
  }
}

/** @param {unknown} error */
function troubleOf(error) {
  if (isTrouble(error)) return { ...error };
  const name = clip?.file.name ?? "the clip";
  if (error instanceof DOMException && error.name === "AbortError") return cancelled(name);
  return isFileTrouble(error) ? fileUnreadable(name, error) : playerFailed(name, error);
}

/** @param {number} id @param {object} content @param {Transferable[]} [transfer] */
function answer(id, content, transfer = []) {
  self.postMessage({ id, ...content }, { transfer });
}

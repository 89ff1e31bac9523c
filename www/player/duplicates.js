// Looks for frames that repeat the one before, over the whole clip, one plane at a time.
//
// Not for: the judgement, which the clip crate makes from the planes. A copied frame has a time of its own;
// only the pictures show it.

import { DuplicateFinder } from "../wasm/worker.js";
import { DecodeRun } from "./decode-run.js";
import { isFileTrouble } from "./decoder-source.js";
import { SampleReader } from "./sample-reader.js";

/**
 * @typedef {object} DuplicateCheck
 * @property {Blob} file
 * @property {import("./clip-tables.js").SampleTable} samples
 * @property {VideoDecoderConfig} config
 * @property {AbortSignal} signal
 * @property {(done: number, of: number) => void} onProgress
 */

/** @typedef {{duplicated: number[], judged: number, too_still: number}} Judgement */

/** Samples in the decoder's queue at most. */
const MOST_QUEUED = 6;
/** Decoder frames open at most. */
const MOST_OPEN = 3;
/** Frames that came out early and wait for an earlier one; decoders reorder by 16 at most. */
const MOST_EARLY = 17;
/** Progress is told every so many frames. */
const PROGRESS_EVERY = 10;

/**
 * @param {DuplicateCheck} check
 * @returns {Promise<Judgement>}
 */
export async function findDuplicates(check) {
  const { samples, signal } = check;
  const reader = new SampleReader(check.file, samples.tables);
  const planes = new PlanesInOrder((done) => check.onProgress(done, samples.frameCount));
  try {
    let start = samples.startFor(0);
    while (start < samples.count) {
      const failedAt = await decodeAll({ ...check, reader, start, planes });
      signal.throwIfAborted();
      if (failedAt === null) break;
      // What cannot be decoded is left out; the next group is compared again.
      start = nextKeyframe(samples, failedAt);
    }
    planes.finish();
    return planes.judgement();
  } finally {
    planes.close();
  }
}

/**
 * Decodes from a keyframe to the end.
 *
 * @param {DuplicateCheck & {reader: SampleReader, start: number, planes: PlanesInOrder}} what
 * @returns {Promise<number | null>} the sample at which it failed
 */
async function decodeAll({ samples, config, reader, signal, start, planes }) {
  let wake = () => {};
  let open = 0;
  const change = () => new Promise((resolve) => { wake = () => resolve(undefined); });
  /** @type {Promise<void>} */
  let taken = Promise.resolve();
  /** @type {unknown} */
  let trouble = null;
  const run = new DecodeRun({
    samples, reader, config, start,
    events: {
      onFrame: (frame, picture) => {
        open += 1;
        taken = taken.then(() => planes.take(frame, picture)).catch((error) => { trouble ??= error; }).finally(() => {
          picture.close();
          open -= 1;
          wake();
        });
      },
      onChange: () => wake(),
    },
  });
  try {
    while (run.hasNext && !signal.aborted && trouble === null) {
      if (run.queued >= MOST_QUEUED || open >= MOST_OPEN) await change();
      else await run.feed();
    }
    if (!signal.aborted && run.failure === null) await run.flush();
    await taken;
    if (trouble !== null) throw trouble;
    if (isFileTrouble(run.failure)) throw run.failure;
    return run.failure === null ? null : Math.max(run.next, start + 1);
  } finally {
    run.close();
  }
}

/** The planes of frames as they come, handed on in presentation order. */
class PlanesInOrder {
  #finder = new DuplicateFinder();
  /** @type {Map<number, Plane>} */
  #early = new Map();
  #next = 0;
  #done = 0;

  /** @param {(done: number) => void} onProgress */
  constructor(onProgress) {
    this.onProgress = onProgress;
  }

  /** @param {number} frame @param {VideoFrame} picture */
  async take(frame, picture) {
    if (frame < this.#next) return;
    this.#early.set(frame, await planeOf(picture));
    if (this.#early.size > MOST_EARLY) this.#next = Math.min(...this.#early.keys());
    this.#handOn();
  }

  /** Hands on what waits for frames that never came. */
  finish() {
    for (const frame of [...this.#early.keys()].sort((one, other) => one - other)) {
      this.#next = frame;
      this.#handOn();
    }
  }

  /** @returns {Judgement} */
  judgement() {
    return this.#finder.judgement();
  }

  close() {
    this.#finder.free();
  }

  #handOn() {
    for (let plane = this.#early.get(this.#next); plane !== undefined; plane = this.#early.get(this.#next)) {
      this.#early.delete(this.#next);
      if (plane.bits === null) this.#finder.add_rgba(this.#next, plane.bytes, plane.width, plane.height);
      else this.#finder.add_plane(this.#next, plane.bytes, plane.width, plane.height, plane.stride, plane.bits);
      this.#next += 1;
      this.#done += 1;
      if (this.#done % PROGRESS_EVERY === 0) this.onProgress(this.#done);
    }
  }
}

/**
 * @typedef {object} Plane
 * @property {Uint8Array} bytes
 * @property {number} width
 * @property {number} height
 * @property {number} stride bytes
 * @property {number | null} bits of a luma sample; null: four bytes a pixel, red first
 */

/** @param {VideoFrame} picture @returns {Promise<Plane>} */
async function planeOf(picture) {
  const width = picture.visibleRect?.width ?? picture.codedWidth;
  const height = picture.visibleRect?.height ?? picture.codedHeight;
  const bits = lumaBitsOf(picture.format);
  if (bits === null) return { ...rgbaOf(picture, width, height), width, height, stride: width * 4, bits };
  const bytes = new Uint8Array(picture.allocationSize());
  const [luma] = await picture.copyTo(bytes);
  return { bytes: bytes.subarray(luma.offset, luma.offset + luma.stride * height), width, height, stride: luma.stride, bits };
}

/** Bits of a luma sample; null where the first plane is no luma, or cannot be had. @param {string | null} format */
function lumaBitsOf(format) {
  if (format === null || !(format.startsWith("I4") || format === "NV12")) return null;
  return Number(/P(\d+)$/.exec(format)?.[1] ?? 8);
}

/** @param {VideoFrame} picture @param {number} width @param {number} height */
function rgbaOf(picture, width, height) {
  const context = new OffscreenCanvas(width, height).getContext("2d", { alpha: false, willReadFrequently: true });
  if (context === null) throw new DOMException("no canvas to read a frame from", "NotSupportedError");
  context.drawImage(picture, 0, 0, width, height);
  return { bytes: new Uint8Array(context.getImageData(0, 0, width, height).data.buffer) };
}

/** @param {import("./clip-tables.js").SampleTable} samples @param {number} after */
function nextKeyframe(samples, after) {
  const found = samples.tables.sample_keyframe.indexOf(1, after);
  return found < 0 ? samples.count : found;
}

// Frames by number out of WebCodecs: what was asked for first, then what will be asked for next.
//
// Not for: the screen. It runs in the worker. Only one frame is wanted at a time; a newer wish supersedes an
// older one. Around the wanted frame a window of frames is kept in the ring, decoded ahead in the direction
// of travel. A frame is decoded from the keyframe before it, in decode order, by one run of the decoder that
// goes on as long as the travel does.

import { DecodeRun } from "./decode-run.js";
import { FrameHolder } from "./hold-frame.js";
import { Ring } from "./ring.js";
import { SampleReader } from "./sample-reader.js";

/** @typedef {import("./ring.js").HeldFrame} HeldFrame */

/**
 * @typedef {{state: "held", held: HeldFrame} | {state: "superseded"} | {state: "lost", error: unknown}} Found
 */

/**
 * @typedef {object} Travel
 * @property {number} direction −1 backward, 1 forward, 0 a jump
 * @property {{from: number, to: number} | null} loop frames, both included, that follow each other in a circle
 */

/** Samples in the decoder's queue at most. */
const MOST_QUEUED = 8;
/** Decoder frames open at most: decoders stall at about 8 (w3c/webcodecs issue 612). */
const MOST_COPYING = 4;
/** H.264 may keep 16 frames back before the first comes out; what has not come out after this many more will not come without a flush. */
const MOST_KEPT_BACK = 48;
/** A run that would have to pass more samples than this before the next keyframe is left for a new one there. */
const WORTH_A_NEW_RUN = 8;
/** Frames kept on the way to a frame that was jumped to, for a step back. */
const KEPT_BEFORE_JUMP = 12;
/** Frames decoded ahead of the wanted one at most. */
const MOST_AHEAD = 24;
/** How often a frame is tried: from its keyframe, then from the keyframe before that, sample by sample. */
const MOST_TRIES = 3;
/** Failures of the decoder that are not the clip's fault (the browser took it away in a background tab) in a row. */
const MOST_RECLAIMED = 5;

export class DecoderSource {
  /** @type {DecodeRun | null} */
  #run = null;
  /** @type {{frame: number, travel: Travel, answer: (found: Found) => void} | null} */
  #wanted = null;
  #position = 0;
  /** @type {Travel} */
  #travel = { direction: 0, loop: null };
  /** @type {Set<number>} frames being copied */
  #copying = new Set();
  /** @type {Map<number, unknown>} frames that cannot be decoded, and why */
  #lost = new Map();
  /** @type {Map<number, number>} */
  #tries = new Map();
  #reclaimed = 0;
  #pumping = false;
  #closed = false;
  /** @type {(() => void) | null} */
  #wake = null;

  /**
   * @param {object} what
   * @param {Blob} what.file
   * @param {import("./clip-tables.js").SampleTable} what.samples
   * @param {VideoDecoderConfig} what.config
   * @param {number} what.ringBytes
   * @param {number} what.frameBytes a guess at what one frame occupies, until one is there
   * @param {"planes" | "canvas"} [what.holdBy]
   */
  constructor({ file, samples, config, ringBytes, frameBytes, holdBy = "planes" }) {
    this.samples = samples;
    this.config = config;
    this.reader = new SampleReader(file, samples.tables);
    this.ring = new Ring(ringBytes);
    this.holder = new FrameHolder(this.ring, holdBy);
    this.frameBytes = frameBytes;
  }

  /**
   * @param {number} frame
   * @param {Travel} travel
   * @returns {Promise<Found>}
   */
  want(frame, travel) {
    this.#wanted?.answer({ state: "superseded" });
    this.#wanted = null;
    this.#position = frame;
    this.#travel = travel;
    return new Promise((resolve) => {
      this.#wanted = { frame, travel, answer: resolve };
      this.#answerIfFound();
      this.#changed();
      void this.#pump();
    });
  }

  /**
   * The frame that is shown without our help: what is decoded next follows from it.
   *
   * @param {number} frame
   * @param {Travel} travel
   */
  follow(frame, travel) {
    this.#wanted?.answer({ state: "superseded" });
    this.#wanted = null;
    this.#position = frame;
    this.#travel = travel;
    this.#changed();
    void this.#pump();
  }

  /** Frees the decoder and everything kept. */
  close() {
    this.#closed = true;
    this.#wanted?.answer({ state: "superseded" });
    this.#wanted = null;
    this.#run?.close();
    this.#run = null;
    this.ring.clear();
    this.#changed();
  }

  /** Frames that fit into the ring. */
  get #capacity() {
    return Math.max(1, Math.floor(this.ring.budgetBytes / this.frameBytes));
  }

  get #ahead() {
    const { direction, loop } = this.#travel;
    if (loop !== null) return Math.min(loop.to - loop.from, this.#capacity - 1);
    if (direction < 0) return Math.floor((this.#capacity - 1) / 4);
    return Math.min(MOST_AHEAD, Math.floor((this.#capacity - 1) / 2));
  }

  get #behind() {
    return this.#capacity - 1 - this.#ahead;
  }

  /** How far a frame is from being wanted: up to 1 inside the window. @param {number} frame */
  #distanceOf(frame) {
    const { loop } = this.#travel;
    if (loop !== null && frame >= loop.from && frame <= loop.to) {
      const length = loop.to - loop.from + 1;
      const ahead = (((frame - this.#position) % length) + length) % length;
      return ahead / Math.max(this.#ahead, 1);
    }
    const away = frame - this.#position;
    const room = away > 0 ? this.#ahead : this.#behind;
    const distance = away === 0 ? 0 : Math.abs(away) / Math.max(room, 0.5);
    return loop === null ? distance : distance + 1;
  }

  /** @param {number} frame */
  #isWorthKeeping(frame) {
    if (frame === this.#wanted?.frame) return true;
    const distance = this.#distanceOf(frame);
    if (distance > 1) return false;
    const jumping = this.#travel.direction >= 0 && this.#travel.loop === null;
    return !jumping || frame >= this.#position - KEPT_BEFORE_JUMP;
  }

  /** The frame that should be decoded now, or null when all that is worth it is there. */
  #goal() {
    if (this.#wanted !== null) return this.#wanted.frame;
    const { direction, loop } = this.#travel;
    if (direction < 0 && loop === null) return this.#goalBehind();
    for (let step = 1; step <= this.#ahead; step += 1) {
      let frame = this.#position + step;
      if (loop !== null && frame > loop.to) frame = loop.from + ((frame - loop.from) % (loop.to - loop.from + 1));
      if (frame >= this.samples.frameCount || this.#lost.has(frame)) return null;
      if (!this.#isThere(frame)) return frame;
    }
    return null;
  }

  /** Going backward, the group before is decoded when half of what is kept behind has been used. */
  #goalBehind() {
    const enough = Math.floor(this.#behind / 2);
    for (let step = 1; step <= enough; step += 1) {
      const frame = this.#position - step;
      if (frame < 0 || this.#lost.has(frame)) return null;
      if (!this.#isThere(frame)) return frame;
    }
    return null;
  }

  /** @param {number} frame */
  #isThere(frame) {
    return this.ring.has(frame) || this.#copying.has(frame);
  }

  #answerIfFound() {
    const wanted = this.#wanted;
    if (wanted === null) return;
    const held = this.ring.get(wanted.frame);
    if (held !== null) {
      this.#wanted = null;
      wanted.answer({ state: "held", held });
    } else if (this.#lost.has(wanted.frame)) {
      this.#wanted = null;
      wanted.answer({ state: "lost", error: this.#lost.get(wanted.frame) });
    }
  }

  async #pump() {
    if (this.#pumping) return;
    this.#pumping = true;
    try {
      for (let goal = this.#goal(); goal !== null && !this.#closed; goal = this.#goal()) {
        await this.#workTowards(goal);
        this.#answerIfFound();
      }
    } finally {
      this.#pumping = false;
    }
  }

  /** Does one thing that brings the goal nearer, or waits for something to happen. @param {number} goal */
  async #workTowards(goal) {
    if (this.#copying.has(goal)) {
      await this.#change();
      return;
    }
    const run = this.#runFor(goal);
    if (run === null) return;
    if (run.failure !== null) {
      this.#endFailedRun(run, goal);
      return;
    }
    if (run.queued >= MOST_QUEUED || this.#copying.size >= MOST_COPYING) {
      await this.#change();
      return;
    }
    const sample = this.samples.tables.frame_sample[goal];
    const patience = (this.#tries.get(goal) ?? 0) === 0 ? MOST_KEPT_BACK : 0;
    if (run.hasNext && run.next <= sample + patience) {
      await run.feed();
      return;
    }
    await run.flush();
    while (this.#copying.size > 0) await this.#change();
    if (run.failure === null && !run.emitted.has(goal)) {
      this.#countFailure(goal, new DOMException("the decoder gave no picture for this frame", "EncodingError"));
    }
  }

  /**
   * The run that will bring the goal: the one under way if it has not passed it, else a new one.
   *
   * @param {number} goal
   * @returns {DecodeRun | null} null when the browser refuses to decode at all
   */
  #runFor(goal) {
    const tries = this.#tries.get(goal) ?? 0;
    const start = this.samples.startFor(goal, tries);
    const run = this.#run;
    if (run !== null) {
      if (run.failure !== null) return run;
      const willBring = !run.over && run.start <= start && !run.emitted.has(goal);
      if (willBring && start <= run.next + WORTH_A_NEW_RUN) return run;
      // An earlier start than asked for is as good, a later one is not.
      run.close();
      this.#run = null;
    }
    try {
      this.#run = new DecodeRun({
        samples: this.samples, reader: this.reader, config: this.config, start,
        events: { onFrame: (frame, picture) => this.#take(frame, picture), onChange: () => this.#changed() },
      });
    } catch (error) {
      this.#lost.set(goal, error);
    }
    return this.#run;
  }

  /** @param {DecodeRun} run @param {number} goal */
  #endFailedRun(run, goal) {
    const error = run.failure;
    run.close();
    this.#run = null;
    const reclaimed = error instanceof DOMException && error.name === "QuotaExceededError";
    if (reclaimed && this.#reclaimed < MOST_RECLAIMED) this.#reclaimed += 1;
    else if (isFileTrouble(error)) this.#lost.set(goal, error);
    else this.#countFailure(goal, error);
  }

  /** @param {number} goal @param {unknown} error */
  #countFailure(goal, error) {
    const tries = (this.#tries.get(goal) ?? 0) + 1;
    this.#tries.set(goal, tries);
    if (tries >= MOST_TRIES) this.#lost.set(goal, error);
  }

  /** @param {number} frame @param {VideoFrame} picture */
  #take(frame, picture) {
    if (this.ring.has(frame) || this.#copying.has(frame) || !this.#isWorthKeeping(frame)) {
      picture.close();
      return;
    }
    this.#copying.add(frame);
    void this.holder.hold(picture).then(
      (held) => {
        if (this.#closed) {
          held.drop();
          return;
        }
        this.#reclaimed = 0;
        this.frameBytes = Math.max(held.bytes, this.ring.size === 0 ? 0 : this.frameBytes);
        this.ring.put(frame, held, (other) => this.#distanceOf(other));
      },
      (error) => { this.#lost.set(frame, error); },
    ).finally(() => {
      this.#copying.delete(frame);
      this.#answerIfFound();
      this.#changed();
    });
  }

  /** Resolves at the next change. @returns {Promise<void>} */
  #change() {
    return new Promise((resolve) => { this.#wake = resolve; });
  }

  #changed() {
    const wake = this.#wake;
    this.#wake = null;
    wake?.();
  }
}

/** Whether the file could not be read, as against decoded. @param {unknown} error */
export function isFileTrouble(error) {
  return error instanceof DOMException
    && ["NotReadableError", "NotFoundError", "NotAllowedError", "SecurityError"].includes(error.name);
}

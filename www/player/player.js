// The player: the frame that was asked for is the frame that is seen, or it says that it is not.
//
// Two ways to a frame: a decoder in a worker (WebCodecs with the clip's own table), else the browser's video
// element by verified seeks. `current` always says which frame is on the canvas and how it is known.
// Not for: files and their handles (sitting/clip-files.js), zoom and pan (picture.js), marks.

import { FrameClock } from "./clip-tables.js";
import { ElementSource } from "./element-source.js";
import { Pace } from "./pace.js";
import { ReadyPictures } from "./ready-pictures.js";
import { codecNotSupported, copiesNeedProof, copiesNotTold, frameNotReached, framesNotProven, isTrouble, notPlayable, openingStopped, playerFailed, startNotKnown, steppedBySeeking } from "./trouble.js";
import { drawUpright, uprightSize } from "./upright.js";
import { WorkerLink } from "./worker-link.js";

/** @typedef {"decoded" | "sought" | "not_proven"} Proof */
/** @typedef {import("./trouble.js").Trouble} Trouble */

/**
 * What is on the canvas.
 *
 * @typedef {object} Current
 * @property {number} frame
 * @property {number} ticks when the frame starts, in the clip's ticks
 * @property {Proof} proof how it is known that this is the frame
 * @property {boolean} playing true while the clip plays; then only a "decoded" frame is known to be this one
 */

/**
 * What became of a wish. Only after "shown" the frame is on the canvas.
 *
 * @typedef {object} Shown
 * @property {"shown" | "superseded" | "not_reached"} outcome
 * @property {number} frame the frame that was asked for
 * @property {number} ticks
 * @property {Proof | null} proof null unless shown
 * @property {Trouble | null} trouble why it was not reached
 */

/**
 * @typedef {object} PlayerOptions
 * @property {"auto" | "decoder" | "element"} [method]
 * @property {number} [share] of the memory that a player alone takes for frames: half each, where two clips are seen together
 * @property {number} [ringBytes] memory for decoded frames
 * @property {AbortSignal} [signal] stops the opening: it then rejects with the trouble "cancelled"
 * @property {(done: number, of: number) => void} [onProgress] how far the clip's index is read, in bytes, where that takes long
 * @property {"planes" | "canvas"} [holdBy] how decoded frames are kept; canvas is the slower way for graphics cards that give no planes
 */

/** Memory for decoded frames where the device does not say how much it has, or has much. */
const RING_BYTES = 256 * 2 ** 20;
/** On devices with up to 4 GiB, most of them phones. */
const RING_BYTES_SMALL = 96 * 2 ** 20;
/** Frames farther than this from the last wish are a jump, not a travel. */
const JUMP_FRAMES = 16;
/** The slowest rate that browsers play at; below it frames are sought one by one. */
const SLOWEST_ELEMENT_RATE = 0.0625;
export const SLOWEST_RATE = 0.05;
export const FASTEST_RATE = 2;

export class Player extends EventTarget {
  /** @type {Current | null} */
  #current = null;
  /** The frame asked for last. */
  #wish = 0;
  /** @type {ElementSource | null} */
  #element = null;
  /** @type {{pace: Pace, stop: () => void} | null} */
  #play = null;
  #closed = false;
  /** Wishes are numbered, so that a late answer never covers a newer picture. */
  #serial = 0;
  #drawnSerial = 0;

  /**
   * @param {File} file
   * @param {HTMLCanvasElement} canvas
   * @param {WorkerLink} link
   * @param {any} opened
   * @param {number} share
   */
  constructor(file, canvas, link, opened, share) {
    super();
    this.file = file;
    this.canvas = canvas;
    this.link = link;
    /** ClipFacts of the page crate. */
    this.facts = opened.facts;
    this.clock = new FrameClock(opened.clock);
    /** Whether an edit list moves or cuts the clip's start. */
    this.isCut = opened.is_cut;
    /** What the coach should know about how this clip is shown. @type {Trouble[]} */
    this.cautions = [];
    const context = canvas.getContext("2d", { alpha: false });
    if (context === null) throw playerFailed(file.name, "the browser gives no canvas to draw on");
    this.context = context;
    const { coded_width, coded_height } = this.facts;
    this.ready = new ReadyPictures(coded_width * coded_height * 4, this.frameCount, (frame) => this.#prepare(frame), share);
  }

  /**
   * Opens a clip and shows its first frame.
   *
   * @param {File} file
   * @param {HTMLCanvasElement} canvas
   * @param {PlayerOptions} [options]
   * @returns {Promise<Player>}
   * @throws {Trouble}
   */
  static async open(file, canvas, { method = "auto", share = 1, ringBytes = ringBytesOf(navigator) * share, holdBy = "planes", signal, onProgress } = {}) {
    if (signal?.aborted) throw openingStopped(file.name);
    const link = new WorkerLink(file.name);
    // A worker that reads an index hears nothing until it has read all of it.
    const stop = () => link.abandon(openingStopped(file.name));
    signal?.addEventListener("abort", stop);
    try {
      const opened = await link.ask("open", { file, ring_bytes: ringBytes, hold_by: holdBy }, onProgress).answer;
      signal?.removeEventListener("abort", stop);
      const player = new Player(file, canvas, link, opened, share);
      try {
        await player.#start(opened.can_decode, method);
        if (signal?.aborted) throw openingStopped(file.name);
        return player;
      } catch (error) {
        player.close();
        throw error;
      }
    } catch (error) {
      signal?.removeEventListener("abort", stop);
      link.close();
      throw isTrouble(error) ? error : playerFailed(file.name, error);
    }
  }

  /** How many frames; they are numbered from 0. */
  get frameCount() {
    return this.clock.count;
  }

  /** What is on the canvas. */
  get current() {
    return this.#current;
  }

  /** @returns {"decoder" | "element"} */
  get method() {
    return this.#element === null ? "decoder" : "element";
  }

  get isPlaying() {
    return this.#play !== null;
  }

  /** When a frame starts, in ticks. @param {number} frame */
  ticksOf(frame) {
    return this.clock.ticksOf(frame);
  }

  /** The frame that stands at a time. @param {number} ticks */
  frameAt(ticks) {
    return this.clock.frameAt(ticks);
  }

  /** The frame that stands at a time in seconds of playback. @param {number} time_s */
  frameAtSeconds(time_s) {
    // Half a tick of patience: 0.1 s typed for a frame at 0.1 s is that frame, whatever the rounding.
    return this.clock.frameAt(time_s * this.clock.timescale + 0.5);
  }

  /**
   * Shows a frame; one outside the clip is brought inside. A newer wish supersedes an older one.
   *
   * @param {number} frame
   * @returns {Promise<Shown>}
   */
  show(frame) {
    this.#stopPlaying();
    return this.#show(this.clock.clamp(frame), false);
  }

  /**
   * Shows a frame of a play whose pace another keeps, as where two clips are held together.
   *
   * @param {number} frame
   * @param {{from: number, to: number} | null} loop frames, both included, that are played round and round
   * @returns {Promise<Shown>}
   */
  showPlayed(frame, loop) {
    this.#stopPlaying();
    return this.#show(this.clock.clamp(frame), true, loop);
  }

  /** Steps from the frame asked for last. @param {number} frames */
  step(frames) {
    return this.show(this.#wish + frames);
  }

  /**
   * Plays forward.
   *
   * @param {number} rate seconds of the clip in a second, 0.05 to 2
   * @param {{from?: number, to?: number, loop?: boolean}} [stretch] frames, both included
   */
  play(rate, { from = 0, to = this.frameCount - 1, loop = false } = {}) {
    this.#stopPlaying();
    const [first, last] = [this.clock.clamp(Math.min(from, to)), this.clock.clamp(Math.max(from, to))];
    const bounded = Math.min(Math.max(rate, SLOWEST_RATE), FASTEST_RATE);
    const isInside = this.#wish >= first && this.#wish < last;
    const start = isInside ? this.#wish : first;
    const pace = new Pace(this.clock, { rate: bounded, start, from: first, to: last, loop, now_ms: performance.now() });
    if (this.#element !== null && bounded >= SLOWEST_ELEMENT_RATE) this.#playElement(this.#element, pace, start);
    else this.#playFrames(pace);
    this.dispatchEvent(new CustomEvent("playing", { detail: { rate: bounded, from: first, to: last, loop } }));
  }

  /**
   * Stops playing and makes sure of the frame that is shown.
   *
   * @returns {Promise<Shown>}
   */
  pause() {
    const { frame } = this.#current ?? { frame: 0 };
    this.#stopPlaying();
    return this.#show(frame, false);
  }

  /**
   * Frames that are copies of the one before, found by comparing the pictures.
   *
   * @param {{signal?: AbortSignal, onProgress?: (done: number, of: number) => void}} [options]
   * @returns {Promise<number[]>}
   * @throws {Trouble | DOMException} an AbortError when it was cancelled
   */
  async findDuplicates({ signal, onProgress = () => {} } = {}) {
    signal?.throwIfAborted();
    const judgement = this.#element === null
      ? await this.#compareDecoded(signal, onProgress)
      : await this.#compareSought(this.#element, signal, onProgress);
    signal?.throwIfAborted();
    if (judgement.judged === 0) throw copiesNotTold(this.file.name);
    return judgement.duplicated;
  }

  /** Frees the decoder, the element and every frame kept. */
  close() {
    if (this.#closed) return;
    this.#closed = true;
    this.#stopPlaying();
    this.ready.close();
    this.#element?.close();
    this.link.close();
  }

  /**
   * @param {AbortSignal | undefined} signal
   * @param {(done: number, of: number) => void} onProgress
   * @returns {Promise<import("./duplicates.js").Judgement>}
   */
  async #compareDecoded(signal, onProgress) {
    const { id, answer } = this.link.ask("find_duplicates", {}, onProgress);
    const abort = () => this.link.tell("cancel", { task: id });
    signal?.addEventListener("abort", abort, { once: true });
    try {
      return (await answer).answer;
    } catch (error) {
      signal?.throwIfAborted();
      throw error;
    } finally {
      signal?.removeEventListener("abort", abort);
    }
  }

  /**
   * By the canvas, frame after frame. Frames that are not reached are left out.
   *
   * @param {ElementSource} element
   * @param {AbortSignal | undefined} signal
   * @param {(done: number, of: number) => void} onProgress
   * @returns {Promise<import("./duplicates.js").Judgement>}
   */
  async #compareSought(element, signal, onProgress) {
    if (!element.callbackProves) throw copiesNeedProof(this.file.name);
    this.#stopPlaying();
    const stood = this.#current?.frame ?? 0;
    const { width, height } = this.canvas;
    const context = new OffscreenCanvas(width, height).getContext("2d", { alpha: false, willReadFrequently: true });
    if (context === null) throw playerFailed(this.file.name, "the browser gives no canvas to read from");
    let isFirst = true;
    for (let frame = 0; frame < this.frameCount && !signal?.aborted && !this.#closed; frame += 1) {
      const { state } = await element.show(frame, (video) => context.drawImage(video, 0, 0, width, height));
      if (state !== "shown") continue;
      const pixels = context.getImageData(0, 0, width, height).data.buffer;
      await this.link.ask("compare", { frame, first: isFirst, pixels, width, height }, undefined, [pixels]).answer;
      isFirst = false;
      onProgress(frame + 1, this.frameCount);
    }
    const judgement = (await this.link.ask("judge").answer).answer;
    await this.#show(stood, false);
    return judgement;
  }

  /** @param {boolean} canDecode @param {"auto" | "decoder" | "element"} method */
  async #start(canDecode, method) {
    const { codec } = this.facts;
    Object.assign(this.canvas, uprightSize(this.facts));
    if (canDecode && method !== "element") {
      const shown = await this.#show(0, false);
      if (shown.outcome === "shown") return;
      if (method === "decoder" || shown.trouble?.kind === "file_unreadable") throw shown.trouble;
    } else if (method === "decoder") {
      throw codecNotSupported(this.file.name, codec);
    }
    await this.#startElement(canDecode);
  }

  /** @param {boolean} canDecode whether the codec is known to the browser */
  async #startElement(canDecode) {
    const { name } = this.file;
    try {
      this.#element = await ElementSource.open(this.file, this.clock, this.facts.container);
    } catch (error) {
      if (!(error instanceof DOMException)) throw error;
      throw canDecode ? notPlayable(name, error) : codecNotSupported(name, this.facts.codec);
    }
    this.cautions.push(steppedBySeeking(name));
    if (!this.#element.callbackProves) {
      this.cautions.push(framesNotProven(name));
      if (this.isCut || this.#element.lengthDiffers) this.cautions.push(startNotKnown(name));
    }
    const shown = await this.#show(0, false);
    if (shown.trouble !== null) this.cautions.push(shown.trouble);
  }

  /**
   * @param {number} frame
   * @param {boolean} playing
   * @param {{from: number, to: number} | null} [loop]
   * @returns {Promise<Shown>}
   */
  async #show(frame, playing, loop = null) {
    const direction = directionOf(frame - this.#wish);
    this.#wish = frame;
    const ticks = this.clock.ticksOf(frame);
    try {
      const proof = this.#element === null
        ? await this.#showDecoded(frame, direction, playing, loop)
        : await this.#showSought(this.#element, frame);
      if (proof === null) return { outcome: "superseded", frame, ticks, proof: null, trouble: null };
      this.#setCurrent(frame, proof, playing && this.#play !== null);
      return { outcome: "shown", frame, ticks, proof, trouble: null };
    } catch (error) {
      const trouble = isTrouble(error) ? error : playerFailed(this.file.name, error);
      // The next step counts from what is shown.
      if (this.#current !== null && this.#wish === frame) this.#wish = this.#current.frame;
      this.dispatchEvent(new CustomEvent("trouble", { detail: trouble }));
      return { outcome: "not_reached", frame, ticks, proof: null, trouble };
    }
  }

  /**
   * @param {number} frame
   * @param {number} direction
   * @param {boolean} playing
   * @param {{from: number, to: number} | null} loop
   * @returns {Promise<Proof | null>}
   */
  async #showDecoded(frame, direction, playing, loop) {
    this.#serial += 1;
    const serial = this.#serial;
    this.ready.hold();
    const ready = this.ready.get(frame);
    if (ready !== null && !playing) {
      this.link.tell("follow", { frame, direction });
      this.#draw(ready, serial);
    } else {
      const { answer, picture } = await this.link.ask("show", { frame, direction: playing ? 1 : direction, loop }).answer;
      if (answer !== "shown") return null;
      try {
        if (this.#closed || serial < this.#drawnSerial) return null;
        this.#draw(picture, serial);
      } finally {
        picture.close();
      }
    }
    if (!playing && serial === this.#serial) this.ready.around(frame, direction);
    return "decoded";
  }

  /** @param {VideoFrame | ImageBitmap} picture @param {number} serial */
  #draw(picture, serial) {
    drawUpright(this.context, picture, this.facts);
    this.#drawnSerial = serial;
  }

  /** @param {number} frame @returns {Promise<ImageBitmap | null>} */
  async #prepare(frame) {
    const { answer, picture } = await this.link.ask("prepare", { frame }).answer;
    return answer === "ready" ? picture : null;
  }

  /**
   * @param {ElementSource} element
   * @param {number} frame
   * @returns {Promise<Proof | null>}
   */
  async #showSought(element, frame) {
    const sought = await element.show(frame, (video) => this.#drawElement(video)).catch((error) => {
      throw error instanceof DOMException ? notPlayable(this.file.name, error) : error;
    });
    if (sought.state === "superseded") return null;
    if (sought.state === "not_reached") throw frameNotReached(this.file.name, frame);
    return sought.proof;
  }

  /** The element turns the picture itself. @param {HTMLVideoElement} video */
  #drawElement(video) {
    this.context.setTransform(1, 0, 0, 1, 0, 0);
    this.context.drawImage(video, 0, 0, this.canvas.width, this.canvas.height);
  }

  /** @param {number} frame @param {Proof} proof @param {boolean} playing */
  #setCurrent(frame, proof, playing) {
    this.#current = { frame, ticks: this.clock.ticksOf(frame), proof, playing };
    this.dispatchEvent(new CustomEvent("shown", { detail: this.#current }));
  }

  /** Shows the frame that is due, each time the screen is drawn. @param {Pace} pace */
  #playFrames(pace) {
    let handle = 0;
    let isWaiting = false;
    const tick = (/** @type {number} */ now_ms) => {
      handle = requestAnimationFrame(tick);
      if (isWaiting) return;
      const frame = pace.due(now_ms, this.#current?.frame ?? pace.from);
      if (frame === null) {
        void this.pause();
      } else if (frame !== this.#current?.frame || !this.#current.playing) {
        isWaiting = true;
        void this.#show(frame, true, pace.loop ? { from: pace.from, to: pace.to } : null).then(({ outcome }) => {
          isWaiting = false;
          if (outcome === "not_reached" && this.#play?.pace === pace) void this.pause();
        });
      }
    };
    handle = requestAnimationFrame(tick);
    this.#play = { pace, stop: () => cancelAnimationFrame(handle) };
  }

  /** Lets the element play by itself. @param {ElementSource} element @param {Pace} pace @param {number} start */
  #playElement(element, pace, start) {
    const play = { pace, stop: () => element.pause() };
    this.#play = play;
    const from = async (/** @type {number} */ frame) => {
      const shown = await this.#show(frame, true);
      if (this.#play !== play) return;
      if (shown.outcome !== "shown") {
        await this.pause();
        return;
      }
      await element.play(pace.rate, (at, video) => {
        if (this.#play !== play) return;
        if (at > pace.to) end();
        else {
          this.#drawElement(video);
          this.#wish = at;
          this.#setCurrent(at, "not_proven", true);
        }
      }, end);
    };
    const fail = (/** @type {unknown} */ error) => {
      if (this.#play !== play) return;
      this.#stopPlaying();
      this.dispatchEvent(new CustomEvent("trouble", { detail: playerFailed(this.file.name, error) }));
    };
    const end = () => {
      element.pause();
      if (this.#play !== play) return;
      if (pace.loop) from(pace.from).catch(fail);
      else {
        this.#stopPlaying();
        void this.#show(pace.to, false);
      }
    };
    from(start).catch(fail);
  }

  #stopPlaying() {
    if (this.#play === null) return;
    this.#play.stop();
    this.#play = null;
    if (this.#current !== null) this.#current = { ...this.#current, playing: false };
    this.dispatchEvent(new CustomEvent("paused"));
  }
}

/** @param {number} frames */
function directionOf(frames) {
  return Math.abs(frames) > JUMP_FRAMES ? 0 : Math.sign(frames);
}

/** @param {Navigator} device */
function ringBytesOf(device) {
  const memory_gib = /** @type {{deviceMemory?: number}} */ (/** @type {unknown} */ (device)).deviceMemory;
  const isTouchFirst = matchMedia("(pointer: coarse)").matches;
  return isTouchFirst || (memory_gib !== undefined && memory_gib <= 4) ? RING_BYTES_SMALL : RING_BYTES;
}

// Frames by number out of a <video> element, by verified seeks: the way where WebCodecs does not know the
// clip's codec.
//
// An element promises nothing about which frame a seek shows, but the frame callback (rVFC) tells the time of
// the frame that was composed. So: seek, wait for `seeked` and the callback, compare the callback's time with
// the clip's table, and move the sought time by bisection until they agree, or say that the frame was not
// reached (w3c/media-and-entertainment issue 4; WICG/video-rvfc issues 64 and 69). In some browsers the
// callback repeats the time that was sought; it proves nothing there. That is found out by trying.
//
// Not for: frames during play. Those are shown, and never proven.

/** @typedef {import("./clip-tables.js").FrameClock} FrameClock */
/**
 * @typedef {{state: "shown", proof: "sought" | "not_proven"} | {state: "not_reached"} | {state: "superseded"}} Sought
 */

/** How long the element may take to open a clip. */
const OPEN_LIMIT_MS = 20_000;
/** How long a seek may take. */
const SEEK_LIMIT_MS = 8_000;
/** How long the callback may come after `seeked`; it never comes when the frame is the one already shown. */
const CALLBACK_LIMIT_MS = 400;
/** Seeks for one frame at most; 2.6 on average were needed on the worst clips measured. */
const MOST_SEEKS = 16;
/** The callback's time equals the table's within half a microsecond where it means the frame. */
const SAME_TIME_S = 0.000_01;
/** In MP4 and MOV the first try is this long after the frame's own time. */
const JUST_AFTER_S = 0.000_1;
/** Matroska players hold short frames up to 30 ms too long: how far beyond a frame's end to look for it. */
const REACH_S = 0.12;

export class ElementSource {
  /** Whether the callback tells the frame that is shown. */
  callbackProves = false;
  #serial = 0;
  /** @type {Promise<unknown>} */
  #turn = Promise.resolve();
  #closed = false;
  #playing = 0;
  /** The frame that is known to stand since the last seek. @type {number | null} */
  #standing = null;

  /**
   * @param {HTMLVideoElement} video
   * @param {string} address
   * @param {FrameClock} clock
   * @param {"mp4" | "matroska"} container
   */
  constructor(video, address, clock, container) {
    this.video = video;
    this.address = address;
    this.clock = clock;
    this.container = container;
  }

  /**
   * @param {Blob} file
   * @param {FrameClock} clock
   * @param {"mp4" | "matroska"} container
   * @returns {Promise<ElementSource>}
   * @throws {DOMException | Error} when the element cannot play the clip
   */
  static async open(file, clock, container) {
    const video = document.createElement("video");
    video.muted = true;
    video.playsInline = true;
    video.preload = "auto";
    const address = URL.createObjectURL(file);
    const source = new ElementSource(video, address, clock, container);
    try {
      const loaded = eventOf(video, "loadeddata", OPEN_LIMIT_MS);
      video.src = address;
      await loaded;
      if (video.videoWidth === 0) throw new DOMException("it has no picture that this browser can show", "NotSupportedError");
      await source.#findOutWhatTheCallbackProves();
    } catch (error) {
      source.close();
      throw error;
    }
    return source;
  }

  /**
   * Whether the element's presentation ends elsewhere than the table. If it does, the element starts
   * elsewhere or knows other frames; if it does not, nothing is proven: some players tell the trimmed
   * length and show what was cut.
   */
  get lengthDiffers() {
    const table_s = this.clock.secondsAt(this.clock.end);
    return !(Math.abs(this.video.duration - table_s) < this.#interval_s(this.clock.count - 1) / 2);
  }

  /**
   * Seeks to a frame and calls `draw` when the element shows it. A newer call supersedes an older one.
   *
   * @param {number} frame
   * @param {(video: HTMLVideoElement) => void} draw
   * @returns {Promise<Sought>}
   */
  show(frame, draw) {
    this.#serial += 1;
    const serial = this.#serial;
    const sought = this.#turn.then(() => this.#show(frame, draw, serial));
    this.#turn = sought.catch(() => {});
    return sought;
  }

  /**
   * Plays on from a frame. `onFrame` gets the frame that the callback tells, which is not proof of the
   * picture: some callbacks' pictures are not those of their time.
   *
   * @param {number} rate
   * @param {(frame: number, video: HTMLVideoElement) => void} onFrame
   * @param {() => void} onEnd
   */
  async play(rate, onFrame, onEnd) {
    await this.#turn;
    this.#standing = null;
    this.#playing += 1;
    const playing = this.#playing;
    this.video.playbackRate = rate;
    this.video.onended = () => { if (playing === this.#playing) onEnd(); };
    const next = () => this.video.requestVideoFrameCallback((_now, { mediaTime }) => {
      if (playing !== this.#playing || this.#closed) return;
      onFrame(this.clock.nearestFrame(mediaTime), this.video);
      next();
    });
    next();
    await this.video.play();
  }

  /** Stops playing; the frame shown is not proven until it is sought. */
  pause() {
    this.#playing += 1;
    this.video.pause();
  }

  close() {
    this.#closed = true;
    this.#serial += 1;
    this.#playing += 1;
    this.video.pause();
    this.video.removeAttribute("src");
    this.video.load();
    URL.revokeObjectURL(this.address);
  }

  /**
   * @param {number} frame
   * @param {(video: HTMLVideoElement) => void} draw
   * @param {number} serial
   * @returns {Promise<Sought>}
   */
  async #show(frame, draw, serial) {
    if (serial !== this.#serial) return { state: "superseded" };
    if (!this.callbackProves) {
      const landed = await this.#seek(this.#middleOf(frame));
      if (serial !== this.#serial) return { state: "superseded" };
      if (!landed.arrived) return { state: "not_reached" };
      draw(this.video);
      return { state: "shown", proof: "not_proven" };
    }
    if (this.#standing === frame) {
      // Seeking to the frame that is shown brings no callback: it would be waited for in vain.
      draw(this.video);
      return { state: "shown", proof: "sought" };
    }
    this.#standing = null;
    const search = new SeekSearch(this.#bounds(frame));
    for (let tries = 0; tries < MOST_SEEKS; tries += 1) {
      const landed = await this.#seek(search.time_s);
      if (serial !== this.#serial) return { state: "superseded" };
      if (!landed.arrived) return { state: "not_reached" };
      const shown = landed.mediaTime_s === null ? null : this.#frameOf(landed.mediaTime_s);
      this.#standing = shown;
      if (shown === frame) {
        draw(this.video);
        return { state: "shown", proof: "sought" };
      }
      if (!search.narrow(shown === null ? null : shown - frame)) break;
    }
    return { state: "not_reached" };
  }

  /**
   * Tries seeks to the middle of frames' intervals: a callback that tells the frame's own time proves which
   * frame is shown; one that repeats the time sought, or tells a time that is no frame's, proves nothing.
   */
  async #findOutWhatTheCallbackProves() {
    if (typeof this.video.requestVideoFrameCallback !== "function") return;
    const frames = longestFrames(this.clock, 3);
    let told = 0;
    for (const frame of frames) {
      const middle = this.#middleOf(frame);
      const { mediaTime_s } = await this.#seek(middle);
      if (mediaTime_s === null) continue;
      if (this.#frameOf(mediaTime_s) === null) return;
      told += 1;
    }
    this.callbackProves = told > 0;
  }

  /**
   * Seeks and waits for `seeked` and for the callback of what is then shown.
   *
   * @param {number} time_s
   * @returns {Promise<{arrived: boolean, mediaTime_s: number | null}>} no media time where no callback came
   */
  async #seek(time_s) {
    const { video } = this;
    /** @type {number | null} */
    let mediaTime_s = null;
    let handle = 0;
    let called = () => {};
    const listen = () => {
      if (typeof video.requestVideoFrameCallback !== "function") return;
      handle = video.requestVideoFrameCallback((_now, metadata) => {
        mediaTime_s = metadata.mediaTime;
        called();
        listen();
      });
    };
    listen();
    try {
      const seeked = eventOf(video, "seeked", SEEK_LIMIT_MS);
      video.currentTime = time_s;
      await seeked;
      if (mediaTime_s === null && handle !== 0) {
        await within(new Promise((resolve) => { called = () => resolve(undefined); }), CALLBACK_LIMIT_MS);
      }
      return { arrived: true, mediaTime_s };
    } catch (error) {
      if (error instanceof DOMException && error.name === "TimeoutError") return { arrived: false, mediaTime_s: null };
      throw error;
    } finally {
      if (handle !== 0) video.cancelVideoFrameCallback(handle);
    }
  }

  /** The frame whose own time that is, or null when it is no frame's. @param {number} time_s */
  #frameOf(time_s) {
    const frame = this.clock.nearestFrame(time_s);
    const tolerance_s = Math.min(Math.max(SAME_TIME_S, 0.5 / this.clock.timescale), this.#interval_s(frame) / 4);
    return Math.abs(this.clock.secondsAt(this.clock.ticksOf(frame)) - time_s) <= tolerance_s ? frame : null;
  }

  /** @param {number} frame */
  #interval_s(frame) {
    return this.clock.secondsAt(this.clock.endOf(frame) - this.clock.ticksOf(frame));
  }

  /** @param {number} frame */
  #middleOf(frame) {
    return this.clock.secondsAt(this.clock.ticksOf(frame)) + this.#interval_s(frame) / 2;
  }

  /** @param {number} frame */
  #bounds(frame) {
    const start_s = this.clock.secondsAt(this.clock.ticksOf(frame));
    const interval_s = this.#interval_s(frame);
    const first_s = this.container === "matroska" ? start_s + interval_s / 2 : start_s + Math.min(JUST_AFTER_S, interval_s / 2);
    return {
      first_s,
      earliest_s: Math.max(start_s - REACH_S, 0),
      latest_s: Math.min(start_s + interval_s + REACH_S, Math.max(this.video.duration, first_s)),
      step_s: interval_s / 2,
    };
  }
}

/** Looks for the sought time that shows a frame: in growing steps until the frame lies between, then by halves. */
class SeekSearch {
  /** @type {number | null} a time that showed an earlier frame */
  #early_s = null;
  /** @type {number | null} a time that showed a later frame */
  #late_s = null;
  #silent = 0;

  /** @param {{first_s: number, earliest_s: number, latest_s: number, step_s: number}} bounds */
  constructor({ first_s, earliest_s, latest_s, step_s }) {
    this.time_s = first_s;
    this.earliest_s = earliest_s;
    this.latest_s = latest_s;
    this.step_s = step_s;
  }

  /**
   * Takes in what the last time showed and sets the next time.
   *
   * @param {number | null} framesOff how many frames late it was (negative: early); null: nothing was told
   * @returns {boolean} false when there is no time left to try
   */
  narrow(framesOff) {
    if (framesOff === null) {
      // The same frame as before is shown without a callback: another time in it brings one.
      this.#silent += 1;
      this.time_s += (this.#silent % 2 === 1 ? 1 : -2) * Math.min(0.000_02 * this.#silent, this.step_s / 4);
      return this.#silent < 5;
    }
    if (framesOff < 0) this.#early_s = this.time_s;
    else this.#late_s = this.time_s;
    if (this.#early_s !== null && this.#late_s !== null) {
      const middle_s = (this.#early_s + this.#late_s) / 2;
      if (Math.abs(this.#late_s - this.#early_s) < 0.000_002) return false;
      this.time_s = middle_s;
      return true;
    }
    const next_s = this.time_s + (framesOff < 0 ? this.step_s : -this.step_s);
    this.step_s *= 1.6;
    const bounded_s = Math.min(Math.max(next_s, this.earliest_s), this.latest_s);
    if (bounded_s === this.time_s) return false;
    this.time_s = bounded_s;
    return true;
  }
}

/** @param {FrameClock} clock @param {number} count */
function longestFrames(clock, count) {
  const frames = Array.from({ length: clock.count }, (_, frame) => frame);
  const length = (/** @type {number} */ frame) => clock.endOf(frame) - clock.ticksOf(frame);
  // Neighbours would not tell more than one of them: spread over the clip, the longest of each part.
  const part = Math.max(1, Math.ceil(frames.length / count));
  return Array.from({ length: Math.min(count, frames.length) }, (_, index) =>
    frames.slice(index * part, (index + 1) * part).reduce((best, frame) => (length(frame) > length(best) ? frame : best), index * part))
    .filter((frame) => frame < clock.count);
}

/**
 * @param {HTMLMediaElement} element
 * @param {string} type
 * @param {number} limit_ms
 * @returns {Promise<void>}
 */
function eventOf(element, type, limit_ms) {
  return new Promise((resolve, reject) => {
    const done = (/** @type {() => void} */ end) => {
      clearTimeout(timer);
      element.removeEventListener(type, happened);
      element.removeEventListener("error", failed);
      end();
    };
    const happened = () => done(resolve);
    const failed = () => done(() => reject(new DOMException(reasonOf(element.error), "NotSupportedError")));
    const timer = setTimeout(() => done(() => reject(new DOMException("the browser’s player did not answer", "TimeoutError"))), limit_ms);
    if (element.error !== null) {
      failed();
      return;
    }
    element.addEventListener(type, happened);
    element.addEventListener("error", failed);
  });
}

/** Browsers' own texts are for their makers. @param {MediaError | null} error */
function reasonOf(error) {
  if (error?.code === MediaError.MEDIA_ERR_DECODE) return "its pictures cannot be decoded";
  if (error?.code === MediaError.MEDIA_ERR_NETWORK) return "the file cannot be read";
  return "the browser does not accept the file or its format";
}

/** @param {Promise<unknown>} promise @param {number} limit_ms */
async function within(promise, limit_ms) {
  let timer = 0;
  const limit = new Promise((resolve) => { timer = window.setTimeout(resolve, limit_ms); });
  await Promise.race([promise, limit]);
  clearTimeout(timer);
}

// One run of a decoder: samples fed in decode order from a keyframe on, frames handed out by their rank.
//
// Not for: choosing what to decode. A frame is known by the timestamp it was fed with, never by its place in
// the output: browsers differ in the order of their output, some repeat a frame, some move a timestamp by a
// microsecond. So each sample is given its rank in presentation order as its timestamp, a millisecond apart:
// distinct, increasing, never negative, far from each other; and each run starts at another base, so that a
// late frame of an earlier run cannot be taken for one of this.

/** Microseconds between two ranks. */
const STEP_US = 1000;
/** Runs before a base is used again. */
const BASES = 64;

let runsStarted = 0;

/**
 * @typedef {object} RunEvents
 * @property {(frame: number, picture: VideoFrame) => void} onFrame gets the picture and has to close it
 * @property {() => void} onChange something happened: a sample was taken in, a frame came out, an error
 */

export class DecodeRun {
  #base;
  #closed = false;

  /**
   * @param {object} what
   * @param {import("./clip-tables.js").SampleTable} what.samples
   * @param {import("./sample-reader.js").SampleReader} what.reader
   * @param {VideoDecoderConfig} what.config
   * @param {number} what.start the sample to start at
   * @param {RunEvents} what.events
   * @throws {DOMException | TypeError} when the browser refuses the configuration
   */
  constructor({ samples, reader, config, start, events }) {
    this.samples = samples;
    this.reader = reader;
    this.events = events;
    /** The sample it started at. */
    this.start = start;
    /** The sample to feed next. */
    this.next = start;
    /** Frames that came out. @type {Set<number>} */
    this.emitted = new Set();
    /** Why it cannot go on. @type {unknown} */
    this.failure = null;
    /** True once flushed: nothing more comes out of this run. */
    this.over = false;
    runsStarted += 1;
    this.#base = (runsStarted % BASES) * (samples.count + 1) * STEP_US;
    this.decoder = new VideoDecoder({
      output: (picture) => this.#output(picture),
      error: (error) => this.#fail(error),
    });
    this.decoder.ondequeue = () => events.onChange();
    this.decoder.configure(config);
  }

  /** Samples fed that the decoder has not begun with. */
  get queued() {
    return this.decoder.decodeQueueSize;
  }

  /** Whether there is a sample left to feed. */
  get hasNext() {
    return !this.over && this.failure === null && this.next < this.samples.count;
  }

  /** Feeds the next sample. Errors are kept in `failure`. */
  async feed() {
    const sample = this.next;
    try {
      const data = await this.reader.read(sample);
      if (this.#closed || this.failure !== null) return;
      const key = sample === this.start || this.samples.tables.sample_keyframe[sample] !== 0;
      this.decoder.decode(new EncodedVideoChunk({
        type: key ? "key" : "delta",
        timestamp: this.#base + this.samples.rankOfSample[sample] * STEP_US,
        duration: STEP_US,
        data,
      }));
      this.next = sample + 1;
    } catch (error) {
      this.#fail(error);
    }
  }

  /** Waits until everything fed has come out; the run is over then. */
  async flush() {
    try {
      if (!this.#closed && this.failure === null) await this.decoder.flush();
    } catch (error) {
      this.#fail(error);
    }
    this.over = true;
    this.events.onChange();
  }

  /** Stops at once; nothing comes out after this. */
  close() {
    this.#closed = true;
    this.over = true;
    if (this.decoder.state !== "closed") this.decoder.close();
  }

  /** @param {VideoFrame} picture */
  #output(picture) {
    const rank = Math.round((picture.timestamp - this.#base) / STEP_US);
    const known = rank >= 0 && rank < this.samples.count;
    const frame = known ? this.samples.tables.sample_frame[this.samples.sampleOfRank[rank]] : -1;
    if (this.#closed || frame < 0 || this.emitted.has(frame)) {
      // Cut from the presentation by an edit list, a repeated frame, or of an earlier run.
      picture.close();
    } else {
      this.emitted.add(frame);
      this.events.onFrame(frame, picture);
    }
    this.events.onChange();
  }

  /** @param {unknown} error */
  #fail(error) {
    if (this.#closed) return;
    this.failure ??= error;
    this.events.onChange();
  }
}

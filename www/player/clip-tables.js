// The clip's two tables as the player reads them: samples in decode order, frames in presentation order.
//
// Not for: reading a container (the clip crate does) or knowing a decoder. Times are integers in the clip's
// own ticks, exact in a JavaScript number up to 2^53.

/**
 * What the worker reads out of a file once; plain data, so that it can be posted.
 *
 * @typedef {object} Tables
 * @property {number} timescale ticks per second
 * @property {Float64Array} sample_offset bytes from the start of the file, decode order
 * @property {Uint32Array} sample_size bytes
 * @property {Float64Array} sample_presentation ticks; samples that are cut from the presentation have one too
 * @property {Uint8Array} sample_keyframe 1 where the container says that decoding can start
 * @property {Int32Array} sample_frame the frame that the sample shows, −1 if it is only needed for decoding
 * @property {Float64Array} frame_presentation ticks, strictly increasing
 * @property {Uint32Array} frame_sample the sample that shows the frame
 * @property {number} end ticks: where the last frame ends
 */

/**
 * The samples: which to feed to a decoder so that a frame comes out.
 */
export class SampleTable {
  /** @param {Tables} tables */
  constructor(tables) {
    this.tables = tables;
    const count = tables.sample_size.length;
    const inPresentationOrder = Uint32Array.from({ length: count }, (_, sample) => sample);
    inPresentationOrder.sort((one, other) =>
      tables.sample_presentation[one] - tables.sample_presentation[other] || one - other);
    /** @type {Uint32Array} sample by rank in presentation order */
    this.sampleOfRank = inPresentationOrder;
    /** @type {Uint32Array} rank in presentation order by sample */
    this.rankOfSample = new Uint32Array(count);
    inPresentationOrder.forEach((sample, rank) => { this.rankOfSample[sample] = rank; });
  }

  /** How many samples there are, those cut from the presentation included. */
  get count() {
    return this.tables.sample_size.length;
  }

  /** How many frames are presented. */
  get frameCount() {
    return this.tables.frame_sample.length;
  }

  /**
   * The keyframe to start decoding at so that `frame` comes out whole.
   *
   * A keyframe that is presented after the frame does not do: what precedes it in presentation may refer to
   * the group before (an open group). `groupsBefore` goes back further, for containers whose keyframe flags
   * are wrong.
   *
   * @param {number} frame
   * @param {number} [groupsBefore]
   * @returns {number} a sample
   */
  startFor(frame, groupsBefore = 0) {
    const { sample_keyframe, frame_sample } = this.tables;
    const wanted = frame_sample[frame];
    let toSkip = groupsBefore;
    for (let sample = wanted; sample > 0; sample -= 1) {
      if (sample_keyframe[sample] !== 0 && this.rankOfSample[sample] <= this.rankOfSample[wanted]) {
        if (toSkip === 0) return sample;
        toSkip -= 1;
      }
    }
    return 0;
  }
}

/**
 * The frames' times: the only clock of the player.
 */
export class FrameClock {
  /** @param {{timescale: number, frame_presentation: Float64Array, end: number}} tables */
  constructor({ timescale, frame_presentation, end }) {
    this.timescale = timescale;
    this.starts = frame_presentation;
    this.end = end;
  }

  /** How many frames; at least 1. */
  get count() {
    return this.starts.length;
  }

  /** The nearest index that is a frame. @param {number} frame */
  clamp(frame) {
    return Math.min(Math.max(Math.round(frame), 0), this.count - 1);
  }

  /** When the frame starts, in ticks. @param {number} frame */
  ticksOf(frame) {
    return this.starts[this.clamp(frame)];
  }

  /** When the frame ends, in ticks: where the next one starts. @param {number} frame */
  endOf(frame) {
    const index = this.clamp(frame);
    return index + 1 < this.count ? this.starts[index + 1] : this.end;
  }

  /** The frame that stands at that time: the last that starts at or before it; the first before the start. @param {number} ticks */
  frameAt(ticks) {
    let low = 0;
    let high = this.count;
    while (low < high) {
      const middle = (low + high) >>> 1;
      if (this.starts[middle] <= ticks) low = middle + 1;
      else high = middle;
    }
    return Math.max(low - 1, 0);
  }

  /** Seconds of playback at a time in ticks. @param {number} ticks */
  secondsAt(ticks) {
    return ticks / this.timescale;
  }

  /** The frame that starts nearest to a time in seconds of playback. @param {number} time_s */
  nearestFrame(time_s) {
    const ticks = time_s * this.timescale;
    const before = this.frameAt(ticks);
    const after = this.clamp(before + 1);
    return Math.abs(this.starts[after] - ticks) < Math.abs(this.starts[before] - ticks) ? after : before;
  }
}

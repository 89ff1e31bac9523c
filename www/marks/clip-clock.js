// A clip's frame times on the page: which frame stands at a time, and how many true seconds that is.
//
// Built from the clip's own frame table, the file's while it is open, the session's otherwise, so that the roll and
// the picture agree to the tick.
//
// Not for results: every measure comes from the wasm module.

/** @typedef {import("./shapes.js").FrameRuns} FrameRuns */

export class ClipClock {
  /** @param {{timescale: number, filmed_rate_fps: number | null, frame_times: FrameRuns}} record */
  constructor(record) {
    /** Index of the first frame of each run. @type {number[]} */
    this.runFrames = [];
    /** Start of each run, ticks. @type {number[]} */
    this.runTicks = [];
    /** Spacing within each run, ticks. @type {number[]} */
    this.runSpacings = [];
    let frame = 0;
    let ticks = record.frame_times.first;
    for (const [count, spacing] of record.frame_times.runs) {
      this.runFrames.push(frame);
      this.runTicks.push(ticks);
      this.runSpacings.push(spacing);
      frame += count;
      ticks += count * spacing;
    }
    this.frameCount = frame;
    this.first = record.frame_times.first;
    /** The end of the last frame, ticks. */
    this.end = ticks;
    this.medianSpacing = medianSpacing(record.frame_times.runs);
    /** A stated filmed rate makes the median spacing last one frame of that rate. */
    this.ticksPerSecond = record.filmed_rate_fps === null
      ? record.timescale
      : this.medianSpacing * record.filmed_rate_fps;
    this.filmedRate = record.filmed_rate_fps;
  }

  /** Frames a true second, at the median spacing. */
  get frameRate() {
    return this.ticksPerSecond / this.medianSpacing;
  }

  /** True seconds of a length in ticks. @param {number} ticks */
  seconds(ticks) {
    return ticks / this.ticksPerSecond;
  }

  /** The start of a frame, ticks; a frame outside the clip is taken as its nearest end. @param {number} frame */
  ticksOf(frame) {
    const inside = Math.min(Math.max(frame, 0), this.frameCount - 1);
    const run = lastAtOrBefore(this.runFrames, inside);
    return this.runTicks[run] + (inside - this.runFrames[run]) * this.runSpacings[run];
  }

  /** The frame that stands at a time; the first or last one outside the clip. @param {number} ticks */
  frameAt(ticks) {
    if (ticks <= this.first) return 0;
    const run = lastAtOrBefore(this.runTicks, ticks);
    const frame = this.runFrames[run] + Math.floor((ticks - this.runTicks[run]) / this.runSpacings[run]);
    return Math.min(frame, this.frameCount - 1);
  }

  /** How long a frame stands, ticks. @param {number} frame */
  spacingOf(frame) {
    return this.runSpacings[lastAtOrBefore(this.runFrames, Math.min(Math.max(frame, 0), this.frameCount - 1))];
  }
}

/** Index of the last value at or before `value` in a rising list; 0 when all are after. @param {number[]} rising @param {number} value */
function lastAtOrBefore(rising, value) {
  let low = 0;
  let high = rising.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (rising[middle] <= value) low = middle;
    else high = middle - 1;
  }
  return low;
}

/** The lower median, as the `time` crate takes it. @param {[number, number][]} runs */
function medianSpacing(runs) {
  const sorted = [...runs].sort((a, b) => a[1] - b[1]);
  const count = sorted.reduce((sum, [frames]) => sum + frames, 0);
  let position = Math.floor((count - 1) / 2);
  for (const [frames, spacing] of sorted) {
    if (position < frames) return spacing;
    position -= frames;
  }
  return 1;
}

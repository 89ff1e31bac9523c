// Which frame is due while the clip plays: the clip's own times, at a rate, round a loop.
//
// Not for: showing frames. Pure: it is told what the time is.

/** A clock this far behind waits rather than leaves out more frames. */
const MOST_BEHIND_S = 0.25;

export class Pace {
  /**
   * @param {import("./clip-tables.js").FrameClock} clock
   * @param {object} what
   * @param {number} what.rate seconds of the clip in a second
   * @param {number} what.start the frame to start with
   * @param {number} what.from first frame of the stretch
   * @param {number} what.to last frame of the stretch
   * @param {boolean} what.loop
   * @param {number} what.now_ms
   */
  constructor(clock, { rate, start, from, to, loop, now_ms }) {
    this.clock = clock;
    this.rate = rate;
    this.from = from;
    this.to = to;
    this.loop = loop;
    this.origin_ms = now_ms;
    this.origin_ticks = clock.ticksOf(start);
  }

  /**
   * The frame that is due, or null when the stretch is over.
   *
   * @param {number} now_ms
   * @param {number} shown the frame that is shown
   */
  due(now_ms, shown) {
    const { clock, from, to } = this;
    const begin = clock.ticksOf(from);
    const length = clock.endOf(to) - begin;
    let ticks = this.#ticksAt(now_ms);
    if (!this.loop) {
      if (ticks >= clock.endOf(to)) return shown === to ? null : to;
      const behind_s = clock.secondsAt(ticks - clock.endOf(shown)) / this.rate;
      if (behind_s > MOST_BEHIND_S) {
        // The decoder does not keep up: slow motion is better than a jump.
        this.origin_ms += (behind_s - MOST_BEHIND_S) * 1000;
        ticks = this.#ticksAt(now_ms);
      }
    } else if (ticks >= begin + length) {
      ticks = begin + ((ticks - begin) % length);
    }
    return Math.min(Math.max(clock.frameAt(ticks), from), to);
  }

  /** @param {number} now_ms */
  #ticksAt(now_ms) {
    return this.origin_ticks + ((now_ms - this.origin_ms) / 1000) * this.rate * this.clock.timescale;
  }
}

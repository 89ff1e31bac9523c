// Plays both clips at one common speed: the driving clip keeps its own time, Rust says which moment is due.

/** @typedef {import("./shapes.js").Plan} Plan */
/** @typedef {import("./pair.js").Loop} Loop */

/** A moment that took longer than this makes the play slower, rather than leave out more frames. */
const MOST_BEHIND_MS = 250;

/** Parts of the driving clip's own speed. */
export const RATES = Object.freeze([0.1, 0.25, 0.5, 1]);

export class Play {
  #handle = 0;

  /** @param {import("./pair.js").Pair} pair */
  constructor(pair) {
    this.pair = pair;
  }

  get on() {
    return this.#handle !== 0;
  }

  /**
   * @param {object} how
   * @param {Plan} how.plan
   * @param {number} how.place where to start: a place of the driving clip
   * @param {number} how.rate seconds of the driving clip in a second
   * @param {boolean} how.looping
   * @param {[Loop, Loop]} how.loops
   * @param {() => void} how.ended told when the run is over
   */
  start({ plan, place, rate, looping, loops, ended }) {
    this.stop();
    let origin_ms = performance.now();
    let before_ms = origin_ms;
    let last = -1;
    const tick = (/** @type {number} */ now_ms) => {
      this.#handle = requestAnimationFrame(tick);
      if (this.pair.busy) return;
      origin_ms += Math.max(0, now_ms - before_ms - MOST_BEHIND_MS);
      before_ms = now_ms;
      const moment = plan.playing(place, (Math.max(0, now_ms - origin_ms) / 1000) * rate, looping);
      if (moment === null) {
        this.stop();
        ended();
      } else if (moment.place !== last) {
        last = moment.place;
        void this.pair.to(moment, loops);
      }
    };
    this.#handle = requestAnimationFrame(tick);
  }

  stop() {
    cancelAnimationFrame(this.#handle);
    this.#handle = 0;
  }
}

// How late the coach's own press is: measured by ten practice taps, kept on this device.
//
// The median is used and its spread shown; nothing is assumed for a coach who has not measured it.

const STORED_AS = "wetframe reaction";
export const TAPS_WANTED = 10;
/** A press farther than this from the touch was not meant for it. */
const MEANT_WITHIN_MS = 400;

/** @typedef {{late_ms: number, spread_ms: number}} Reaction `late_ms` is negative for a coach who presses early */

/** Median and median distance from it (scaled to a standard deviation) of the presses. @param {readonly number[]} late_ms @returns {Reaction} */
export function reactionOf(late_ms) {
  const late = median(late_ms);
  // 1.4826: the median absolute deviation of normal data times this is its standard deviation.
  return { late_ms: late, spread_ms: 1.4826 * median(late_ms.map((value) => Math.abs(value - late))) };
}

/** @param {readonly number[]} values at least one */
function median(values) {
  const sorted = [...values].sort((a, b) => a - b);
  const half = sorted.length >> 1;
  return sorted.length % 2 ? sorted[half] : (sorted[half - 1] + sorted[half]) / 2;
}

/** @param {Storage | null} storage @returns {Reaction | null} */
export function storedReaction(storage) {
  const text = storage?.getItem(STORED_AS);
  if (!text) return null;
  try {
    const { late_ms, spread_ms } = JSON.parse(text);
    return Number.isFinite(late_ms) && Number.isFinite(spread_ms) ? { late_ms, spread_ms } : null;
  } catch (error) {
    console.warn(`The stored reaction time (${STORED_AS}) cannot be read; it counts as not measured.`, error);
    return null;
  }
}

/** @param {Storage | null} storage @param {Reaction | null} reaction */
export function keepReaction(storage, reaction) {
  if (reaction) storage?.setItem(STORED_AS, JSON.stringify(reaction));
  else storage?.removeItem(STORED_AS);
}

/** A dot that falls on a line at uneven times, as a hand falls on the water; presses are compared with its touch. */
export class Practice {
  /**
   * @param {(height: number) => void} draw 0 on the line … 1 at the top
   * @param {(left: number) => void} tapped
   * @param {(reaction: Reaction) => void} done
   */
  constructor(draw, tapped, done) {
    this.draw = draw;
    this.tapped = tapped;
    this.done = done;
    /** @type {number[]} */
    this.late = [];
    this.touch = performance.now() + 1500;
    this.span = 1500;
    this.isPressed = false;
    this.frame = requestAnimationFrame((now) => this.#tick(now));
  }

  stop() {
    cancelAnimationFrame(this.frame);
  }

  /** @param {number} at when the coach pressed, `performance.now()` */
  press(at) {
    const late = at - this.touch;
    if (this.isPressed || Math.abs(late) > MEANT_WITHIN_MS) return;
    this.isPressed = true;
    this.late.push(late);
    this.tapped(TAPS_WANTED - this.late.length);
    if (this.late.length < TAPS_WANTED) return;
    this.stop();
    this.done(reactionOf(this.late));
  }

  /** @param {number} now */
  #tick(now) {
    if (now > this.touch + MEANT_WITHIN_MS) {
      this.span = 900 + 700 * Math.random();
      this.touch += MEANT_WITHIN_MS + this.span;
      this.isPressed = false;
    }
    const before = (this.touch - now) / this.span;
    // Falling from the top before the touch; lying on the line after it.
    this.draw(Math.min(Math.max(before, 0), 1) ** 1.5);
    this.frame = requestAnimationFrame((next) => this.#tick(next));
  }
}

// Pictures of the frames beside the one shown, made ready to draw while the hand rests.
//
// Turning a decoded 1080p frame into screen colours takes 7 ms without a graphics card, 28 ms at the 95th
// percentile; drawing one that is ready takes 0.1 ms (Chromium, 2 cores). So the worker makes the neighbours
// ready one by one, and a step by one or two frames costs that draw alone.
//
// Not for: play, or jumps; frames that are not ready come from the ring.

/** Memory for ready pictures: five at 1080p, one at 2160p. */
const BUDGET_BYTES = 48 * 2 ** 20;
/** The hand rests when no wish came for this long. */
const REST_MS = 4;

export class ReadyPictures {
  /** @type {Map<number, ImageBitmap>} */
  #ready = new Map();
  /** @type {number[]} frames worth having, the likeliest first */
  #wanted = [];
  #most;
  #isMaking = false;
  #isOver = false;
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #rest;

  /**
   * @param {number} pictureBytes what one picture takes, 4 bytes a pixel
   * @param {number} frameCount
   * @param {(frame: number) => Promise<ImageBitmap | null>} make null where it cannot be made now
   * @param {number} [share] of the memory
   */
  constructor(pictureBytes, frameCount, make, share = 1) {
    this.#most = Math.min(5, Math.floor((BUDGET_BYTES * share) / pictureBytes));
    this.frameCount = frameCount;
    this.make = make;
  }

  /** @param {number} frame */
  get(frame) {
    return this.#ready.get(frame) ?? null;
  }

  /** A wish is under way: the worker's time belongs to it. */
  hold() {
    clearTimeout(this.#rest);
    this.#rest = undefined;
  }

  /** The frame that is shown now, and where the hand goes. @param {number} frame @param {number} direction */
  around(frame, direction) {
    const ahead = direction < 0 ? -1 : 1;
    this.#wanted = [frame + ahead, frame - ahead, frame + 2 * ahead, frame, frame - 2 * ahead]
      .filter((wanted) => wanted >= 0 && wanted < this.frameCount)
      .slice(0, this.#most);
    for (const [held, picture] of this.#ready) {
      if (this.#wanted.includes(held)) continue;
      picture.close();
      this.#ready.delete(held);
    }
    this.hold();
    this.#rest = setTimeout(() => { void this.#makeReady(); }, REST_MS);
  }

  close() {
    this.#isOver = true;
    this.hold();
    this.#wanted = [];
    for (const picture of this.#ready.values()) picture.close();
    this.#ready.clear();
  }

  async #makeReady() {
    if (this.#isMaking) return;
    this.#isMaking = true;
    try {
      for (let next = this.#missing(); next !== undefined && this.#rest !== undefined; next = this.#missing()) {
        const picture = await this.make(next);
        if (picture === null) return;
        if (this.#isOver || !this.#wanted.includes(next)) picture.close();
        else this.#ready.set(next, picture);
      }
    } catch {
      // A browser that cannot make them loses nothing but speed: every frame can be had from the ring.
      this.#most = 0;
    } finally {
      this.#isMaking = false;
    }
  }

  #missing() {
    return this.#wanted.find((frame) => !this.#ready.has(frame));
  }
}

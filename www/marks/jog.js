// Turns what the hands ask for into frames on the screen: only the newest wish is decoded, and an action
// that depends on the frame shown waits until that frame is there.
//
// Without it a fast hand would mark the frame before the one it had asked for.

/**
 * The part of the player that a jog needs.
 * @typedef {{current: {frame: number} | null, frameCount: number, show(frame: number): Promise<unknown>}} FrameShower
 */

export class Jog {
  /**
   * @param {() => FrameShower | null} player
   * @param {(error: unknown) => void} trouble called when a frame cannot be shown
   */
  constructor(player, trouble) {
    this.player = player;
    this.trouble = trouble;
    /** The frame asked for last, while it is on its way. @type {number | null} */
    this.wanted = null;
    /** The frame asked for last, however that ended. @type {number | null} */
    this.asked = null;
    /** @type {Promise<void> | null} */
    this.running = null;
    /** @type {Promise<unknown> | null} */
    this.barrier = null;
  }

  /** The frame the next step counts from: the one asked for, else the one shown. */
  get frame() {
    return this.wanted ?? this.player()?.current?.frame ?? 0;
  }

  /** Asks for a frame; resolves once the newest wish is shown or was refused. @param {number} frame @returns {Promise<void>} */
  to(frame) {
    const player = this.player();
    if (!player) return Promise.resolve();
    this.wanted = Math.min(Math.max(Math.round(frame), 0), player.frameCount - 1);
    this.asked = this.wanted;
    this.running ??= this.#follow(player);
    return this.running;
  }

  /** @param {number} frames */
  by(frames) {
    return this.to(this.frame + frames);
  }

  /** Resolves when nothing is on its way. @returns {Promise<void>} */
  settled() {
    return this.running ?? Promise.resolve();
  }

  /**
   * Runs an action in the order in which the hands asked. One that returns a promise holds back those after it.
   * @param {() => unknown} action
   */
  inOrder(action) {
    if (this.barrier) {
      this.#hold(this.barrier.then(action));
      return;
    }
    const result = action();
    if (result instanceof Promise) this.#hold(result);
  }

  /** Runs an action once the frame asked for is shown; it is told whether that succeeded. @param {(reached: boolean) => unknown} action */
  onFrameShown(action) {
    if (!this.running) return action(true);
    return this.running.then(() => action(this.asked === this.player()?.current?.frame));
  }

  /** @param {Promise<unknown>} promise */
  #hold(promise) {
    const held = promise.catch((error) => this.trouble(error)).finally(() => {
      if (this.barrier === held) this.barrier = null;
    });
    this.barrier = held;
  }

  /** @param {FrameShower} player */
  async #follow(player) {
    try {
      // A frame may answer that it was not reached: it is asked for once, not for ever.
      for (let tried = -1; this.wanted !== null && this.wanted !== tried;) {
        tried = this.wanted;
        await player.show(tried);
      }
    } catch (error) {
      this.trouble(error);
    } finally {
      this.wanted = null;
      this.running = null;
    }
  }
}

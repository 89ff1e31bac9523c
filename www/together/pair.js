// Both clips moved as one: a moment is put on the screen when both its frames are there, and never half of it.
//
// Only the newest wish is decoded. Where one clip has no picture the other goes on alone.

import { Pane } from "./pane.js";

/** @typedef {import("./shapes.js").Moment} Moment */
/** @typedef {{from: number, to: number}|null} Loop */
/** @typedef {{moment: Moment, loops?: [Loop, Loop]}} Wish loops only while playing */

/** Events: `shown` (both frames of a moment are ready to be drawn; its moment is `shown`). */
export class Pair extends EventTarget {
  panes = /** @type {const} */ ([new Pane(), new Pane()]);
  /** What is on the screen. @type {Moment|null} */
  shown = null;
  /** @type {Wish|null} */
  #wanted = null;
  /** What was asked for last. @type {Moment|null} */
  #asked = null;
  /** @type {Promise<void>|null} */
  #running = null;
  #closed = false;

  /** Where the next step counts from: what was asked for last, on the screen or on its way. */
  get moment() {
    return this.#asked;
  }

  /** Whether frames are on their way. */
  get busy() {
    return this.#running !== null;
  }

  /**
   * @param {Moment} moment
   * @param {[Loop, Loop]} [loops] while playing: what is played round and round in each clip
   * @returns {Promise<void>} when nothing is on its way any more
   */
  to(moment, loops) {
    this.#asked = moment;
    this.#wanted = { moment, loops };
    this.#running ??= this.#follow();
    return this.#running;
  }

  /** Resolves when nothing is on its way. */
  settled() {
    return this.#running ?? Promise.resolve();
  }

  /** The same moment again, after a clip came or went. */
  again() {
    return this.#asked ? this.to(this.#asked) : Promise.resolve();
  }

  close() {
    this.#closed = true;
    this.#wanted = null;
    for (const pane of this.panes) pane.close();
  }

  async #follow() {
    try {
      while (this.#wanted !== null && !this.#closed) {
        const { moment, loops } = this.#wanted;
        this.#wanted = null;
        await Promise.all(this.panes.map((pane, index) => pane.show(moment.frames[index].frame, loops?.[index])));
        if (this.#closed) return;
        this.shown = moment;
        this.dispatchEvent(new Event("shown"));
      }
    } finally {
      this.#running = null;
    }
  }
}

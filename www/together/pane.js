// One of the two clips: its file, a player of its own that draws out of sight, and what keeps it from showing a frame.
//
// Not for: which frame (Rust), or when both are put on the screen (pair.js).

import { Player } from "../player/player.js";
import { troubleFrom } from "../sitting/trouble.js";

/** @typedef {import("../sitting/types.js").Trouble} Trouble */

/** Both players share what one takes alone. */
const SHARE = 0.5;

export class Pane {
  /** @type {Player|null} */
  player = null;
  /** Why no picture comes, though the file is there. @type {Trouble|null} */
  trouble = null;
  /** Why the frame asked for last is not shown. @type {Trouble|null} */
  missed = null;
  /** @type {File|null} */
  #file = null;
  /** Stops the opening of the file when another is wanted. */
  #opening = new AbortController();
  /** What the player draws on; never on the screen. */
  canvas = document.createElement("canvas");

  /** Whether the clip's first picture is on its way. */
  get opening() {
    return this.#file !== null && this.player === null && this.trouble === null;
  }

  /**
   * Shows the clip of that file from now on; none where it is null.
   * @param {File|null} file
   * @returns {Promise<boolean>} whether another player is there now
   */
  async open(file) {
    if (file === this.#file) return false;
    this.close();
    this.#file = file;
    if (file === null) return true;
    const { signal } = (this.#opening = new AbortController());
    try {
      const player = await Player.open(file, this.canvas, { share: SHARE, signal });
      if (signal.aborted) {
        player.close();
        return false;
      }
      this.player = player;
    } catch (error) {
      if (signal.aborted) return false;
      this.trouble = troubleFrom(error, file.name);
    }
    return true;
  }

  /**
   * @param {number} frame
   * @param {{from: number, to: number}|null|undefined} loop frames played round and round; undefined: not playing
   * @returns {Promise<boolean>} whether the frame is on the canvas
   */
  async show(frame, loop) {
    const { player } = this;
    if (player === null) return false;
    const shown = await (loop === undefined ? player.show(frame) : player.showPlayed(frame, loop));
    this.missed = shown.outcome === "not_reached" ? shown.trouble : null;
    return shown.outcome === "shown";
  }

  close() {
    this.#opening.abort(); // nobody waits for its picture any more
    this.player?.close();
    this.player = null;
    this.trouble = null;
    this.missed = null;
    this.#file = null;
  }
}

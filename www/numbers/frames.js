// From a number to its frames: one click goes to the first, the list of all opens beside the button.
// Not for: showing frames (that is the marking view).

import { numbers as words } from "../words/numbers.js";
import { ListBeside } from "./list-beside.js";

/** @typedef {import("./types.js").MarkOnFrame} MarkOnFrame */

export class Frames {
  /** @type {import("../sitting/types.js").Context} */
  #context;
  /** @type {ListBeside} */
  #list;
  /** @type {Map<number, MarkOnFrame>} */
  #marks = new Map();

  /**
   * @param {import("../sitting/types.js").Context} context
   * @param {HTMLElement} root the view; the list of frames is put at its end
   */
  constructor(context, root) {
    this.#context = context;
    this.#list = new ListBeside(root);
  }

  /** @param {MarkOnFrame[]} marks all marks of the open clip */
  know(marks) {
    this.#marks = new Map(marks.map((mark) => [mark.id, mark]));
  }

  /** The marks of these ids in time order. @param {number[]} ids */
  of(ids) {
    const marks = ids.map((id) => this.#marks.get(id)).filter((mark) => mark !== undefined);
    return marks.sort((one, other) => one.time - other.time);
  }

  /** Opens the marking view on the first frame of these marks. @param {number[]} ids */
  go(ids) {
    const first = this.of(ids)[0];
    if (first) {
      this.#to(first.time);
    }
  }

  /**
   * Lists the frames of these marks beside `button`.
   * @param {HTMLElement} button
   * @param {string} name
   * @param {number[]} ids
   */
  list(button, name, ids) {
    const lines = this.of(ids).map((mark) => ({ text: words.frames.mark(mark), act: () => this.#to(mark.time) }));
    this.#list.show(button, words.frames.title(name), lines);
  }

  close() {
    this.#list.close();
  }

  /** @param {number} ticks */
  #to(ticks) {
    const { store, navigate } = this.#context;
    navigate("marks", { clip: store.clip_id ?? undefined, at: ticks });
  }
}

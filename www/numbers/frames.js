// From a number to its frames: one click goes to the first, the list of all opens beside the button.
// Not for: showing frames (that is the marking view).

import { html, render } from "../vendor/lit-html/lit-html.js";
import { numbers as words } from "../words/numbers.js";

/** @typedef {import("./types.js").MarkOnFrame} MarkOnFrame */

export class Frames {
  /** @type {import("../sitting/types.js").Context} */
  #context;
  /** @type {HTMLElement} */
  #popover;
  /** @type {Map<number, MarkOnFrame>} */
  #marks = new Map();

  /**
   * @param {import("../sitting/types.js").Context} context
   * @param {HTMLElement} root the view; the list of frames is put at its end
   */
  constructor(context, root) {
    this.#context = context;
    this.#popover = document.createElement("div");
    this.#popover.className = "numbers-frames";
    this.#popover.popover = "auto";
    root.append(this.#popover);
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
    const marks = this.of(ids);
    render(
      html`<h3 id="numbers-frames-title">${words.frames.title(name)}</h3>
        <ul>
          ${marks.map((mark) => html`<li><button class="quiet" @click=${() => this.#to(mark.time)}>${words.frames.mark(mark)}</button></li>`)}
        </ul>
        <button @click=${() => this.#popover.hidePopover()}>${words.frames.close}</button>`,
      this.#popover,
    );
    this.#popover.setAttribute("role", "dialog");
    this.#popover.setAttribute("aria-labelledby", "numbers-frames-title");
    this.#popover.showPopover();
    this.#placeBeside(button);
    this.#popover.querySelector("button")?.focus();
  }

  close() {
    this.#popover.remove();
  }

  /** @param {HTMLElement} button */
  #placeBeside(button) {
    const at = button.getBoundingClientRect();
    const { offsetWidth: width, offsetHeight: height } = this.#popover;
    const room = 8;
    const left = Math.max(room, Math.min(at.left, document.documentElement.clientWidth - width - room));
    const below = at.bottom + room + height <= window.innerHeight;
    const top = below ? at.bottom + 4 : Math.max(room, at.top - height - 4);
    this.#popover.style.left = `${left}px`;
    this.#popover.style.top = `${top}px`;
  }

  /** @param {number} ticks */
  #to(ticks) {
    if (this.#popover.matches(":popover-open")) {
      this.#popover.hidePopover();
    }
    const { store, navigate } = this.#context;
    navigate("marks", { clip: store.clip_id ?? undefined, at: ticks });
  }
}

// A list of ways to go on, opened beside the button that asked for it. Not for: knowing where they lead.

import { html, render } from "../vendor/lit-html/lit-html.js";
import { numbers as words } from "../words/numbers.js";

export class ListBeside {
  /** @type {HTMLElement} */
  #popover;

  /** @param {HTMLElement} root the view; the list is put at its end */
  constructor(root) {
    this.#popover = document.createElement("div");
    this.#popover.className = "numbers-frames";
    this.#popover.popover = "auto";
    root.append(this.#popover);
  }

  /**
   * @param {HTMLElement} button
   * @param {string} title
   * @param {{text: string, act: () => void}[]} lines
   */
  show(button, title, lines) {
    const leave = () => {
      if (this.#popover.matches(":popover-open")) this.#popover.hidePopover();
    };
    const choose = (/** @type {() => void} */ act) => {
      leave();
      act();
    };
    render(
      html`<h3 id="numbers-frames-title">${title}</h3>
        <ul>
          ${lines.map(({ text, act }) => html`<li><button class="quiet" @click=${() => choose(act)}>${text}</button></li>`)}
        </ul>
        <button @click=${leave}>${words.frames.close}</button>`,
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
}

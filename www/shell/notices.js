// What the page has to say for longer than a moment: trouble, cautions, states. Never modal, never an alert box;
// each stays until it is dismissed or no longer true.

import { html, nothing, render } from "../vendor/lit-html/lit-html.js";
import { repeat } from "../vendor/lit-html/directives/repeat.js";
import { troubleFrom } from "../sitting/trouble.js";
import { shell as words } from "../words.js";

/** @typedef {{label: string, primary?: boolean, act: () => void}} Action */
/**
 * @typedef {object} Notice
 * @property {string} key          one notice for one key: a later one takes its place
 * @property {string} message
 * @property {string} [hint]
 * @property {boolean} [trouble]   whether something is wrong (announced at once) or merely so
 * @property {Action[]} [actions]
 * @property {boolean} [stays]     true: it goes when the state goes, not by hand
 */

export class Notices {
  #root;
  /** @type {Notice[]} */
  #shown = [];

  /** @param {HTMLElement} root */
  constructor(root) {
    this.#root = root;
  }

  /** @param {Notice} notice */
  show(notice) {
    const at = this.#shown.findIndex((other) => other.key === notice.key);
    this.#shown = at < 0 ? [...this.#shown, notice] : this.#shown.with(at, notice);
    this.#draw();
  }

  /**
   * Shows whatever was thrown.
   * @param {unknown} thrown
   * @param {string} [about]  the file or task it concerns
   */
  trouble(thrown, about) {
    const { kind, message, hint, severity } = troubleFrom(thrown, about);
    if (kind === "nothing_changes") {
      return; // a field was left as it was: nothing went wrong, and there is nothing to tell
    }
    const isTrouble = severity !== "warning" && severity !== "notice";
    this.show({ key: `${kind} ${about ?? ""}`, message, hint, trouble: isTrouble });
  }

  /** @param {string} key */
  clear(key) {
    const rest = this.#shown.filter((notice) => notice.key !== key);
    if (rest.length !== this.#shown.length) {
      this.#shown = rest;
      this.#draw();
    }
  }

  #draw() {
    render(
      repeat(
        this.#shown,
        (notice) => notice.key,
        (notice) => html`
          <section class="notice ${notice.trouble ? "trouble" : ""}" role=${notice.trouble ? "alert" : "status"} data-key=${notice.key}>
            <p class="notice-message">${notice.message}</p>
            ${notice.hint ? html`<p class="soft">${notice.hint}</p>` : nothing}
            <div class="actions">
              ${(notice.actions ?? []).map(
                (action) => html`<button type="button" class=${action.primary ? "primary" : ""} @click=${action.act}>${action.label}</button>`,
              )}
              ${notice.stays ? nothing : html`<button type="button" class="quiet" @click=${() => this.clear(notice.key)}>${words.dismiss}</button>`}
            </div>
          </section>
        `,
      ),
      this.#root,
    );
  }
}

// Numbers as coaches type them: a point or a comma, nothing else. And kinds that need a number before they mean
// anything: a flume without its speed is not put into the session, the field for the speed is.

import { html } from "../vendor/lit-html/lit-html.js";
import { clips as words } from "../words.js";

/** Shown under a field while what stands in it is no number. */
export const wanting = html`<small class="wanting">${words.needs_number}</small>`;

/**
 * Hands on the number that was typed, or marks the field as not a number and hands on nothing.
 * @param {Event} event
 * @param {(value: number) => void} use
 * @param {{empty?: () => void}} [may]  what to do when the field was emptied; by default that counts as no number
 */
export function numberFrom(event, use, { empty } = {}) {
  const input = /** @type {HTMLInputElement} */ (event.target);
  const text = input.value.trim().replace(",", ".");
  const value = text === "" ? NaN : Number(text);
  input.removeAttribute("aria-invalid");
  if (text === "" && empty) {
    empty();
  } else if (Number.isFinite(value)) {
    use(value);
  } else {
    input.setAttribute("aria-invalid", "true");
  }
}

/** Kinds that were chosen and still wait for their number. */
export class Wanted {
  /** @type {Map<string, string>} */
  #kinds = new Map();
  #redraw;

  /** @param {() => void} redraw */
  constructor(redraw) {
    this.#redraw = redraw;
  }

  /** The kind to show: the one that waits, else the session's. @param {string} key @param {string} stated */
  kindOf(key, stated) {
    return this.#kinds.get(key) ?? stated;
  }

  /** @param {string} key @param {string} kind @param {string|undefined} stated the session's kind now */
  ask(key, kind, stated) {
    if (kind === stated) {
      this.#kinds.delete(key);
    } else {
      this.#kinds.set(key, kind);
    }
    this.#redraw();
  }

  /** @param {string} key @param {() => void} edit what takes its place in the session */
  drop(key, edit) {
    this.#kinds.delete(key);
    edit();
  }
}

// Puts the session's value into a field, but never over what the coach is typing: the page draws itself again whenever
// something was saved or a frame was shown, and that must not take half a word away.

import { noChange } from "../vendor/lit-html/lit-html.js";
import { Directive, directive } from "../vendor/lit-html/directive.js";

class FieldValue extends Directive {
  /** @type {string|null} */
  #given = null;

  /** @param {string} value */
  render(value) {
    return value;
  }

  /**
   * @param {any} part
   * @param {[string]} values
   */
  update(part, [value]) {
    const field = /** @type {HTMLInputElement} */ (part.element);
    const isBeingTyped = field === document.activeElement && this.#given === value;
    this.#given = value;
    if (!isBeingTyped && field.value !== value) {
      field.value = value;
      field.removeAttribute("aria-invalid");
    }
    return noChange;
  }
}

/** For `.value=${fieldValue(text)}`. */
export const fieldValue = directive(FieldValue);

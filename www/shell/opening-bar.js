// How far a clip on its way is. The bar alone changes, so that a screen reader is not told every step.

import { html } from "../vendor/lit-html/lit-html.js";

/**
 * @param {{done: number, of: number}} how  in bytes of the file; `of` 0: not known, or not yet
 * @param {string} label
 */
export function openingBar({ done, of }, label) {
  return of > 0 ? html`<progress max=${of} .value=${done} aria-label=${label}></progress>` : html`<progress aria-label=${label}></progress>`;
}

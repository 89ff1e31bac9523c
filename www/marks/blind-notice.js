// What stands in the place of the figures while their marks are made again, blind.

import { html, nothing, render } from "../vendor/lit-html/lit-html.js";
import { remark as words } from "../words/remark.js";

/** Ways that would show where the first marks stand. */
export const HIDDEN_WAYS = new Set(["numbers", "compare"]);

/** @param {HTMLElement} root @param {import("../sitting/types.js").Context} context */
export function mount(root, context) {
  render(html`<section class="place-empty">
    <h1>${words.away_heading}</h1>
    <p>${words.away_text}</p>
    <button type="button" class="primary" @click=${() => context.navigate("marks")}>${words.away_back}</button>
  </section>`, root);
  return { update() {}, unmount: () => render(nothing, root) };
}

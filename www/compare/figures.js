// The comparison in numbers: two sets of cycles, and for each measure one honest answer. Draws what Rust computed and
// listens. Not for: arithmetic on measures, or pictures of the swimmer.

import { html, nothing, render } from "../vendor/lit-html/lit-html.js";
import { compare as words } from "../words/compare.js";

/**
 * @param {HTMLElement} root
 * @param {import("../sitting/types.js").Context} context
 * @returns {import("../sitting/types.js").View}
 */
export function mount(root, context) {
  function update() {
    render(
      html`<section class="numbers-nothing">
        <h2>${words.nothing}</h2>
        <p>${words.nothing_hint}</p>
        <p><button class="primary" @click=${() => context.navigate("marks")}>${words.to_marks}</button></p>
      </section>`,
      root,
    );
  }
  return { update, unmount: () => render(nothing, root) };
}

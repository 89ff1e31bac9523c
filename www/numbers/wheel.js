// The stroke wheel beside the board: drawn in Rust (crates/report), put into the page as it is.

import { html, nothing } from "../vendor/lit-html/lit-html.js";
import { numbers } from "../words/numbers.js";
import { rateTag } from "./basis.js";

const words = numbers.wheel;

/**
 * @param {{clip: import("../sitting/types.js").ClipView, analysis: any, near: "left"|"right", svg: string|null, choose: (near: "left"|"right") => void}} shown
 */
export function wheel({ clip, analysis, near, svg, choose }) {
  return html`<section class="numbers-wheel" aria-labelledby="numbers-wheel-title">
    <div class="numbers-group-head">
      <h2 id="numbers-wheel-title">${words.heading}</h2>
      ${rateTag({ clip, analysis })}
    </div>
    ${svg === null ? html`<p class="soft">${words.none}</p>` : nothing}
    <div class="numbers-wheel-picture"></div>
    <div class="numbers-wheel-choice" role="group" aria-label=${words.near}>
      <span>${words.near}</span>
      ${/** @type {const} */ (["left", "right"]).map(
        (side) => html`<button aria-pressed=${near === side} @click=${() => choose(side)}>${numbers.side(side)}</button>`,
      )}
    </div>
    ${svg === null ? nothing : html`<p class="soft small">${words.hint}</p>`}
  </section>`;
}

/**
 * Puts the drawing in as elements. It comes from our own Rust, with every text in it escaped, and holds no style
 * and no script; parsing it as SVG and not as HTML keeps it that way.
 * @param {Element} place
 * @param {string|null} svg
 */
export function putPicture(place, svg) {
  if (svg === null) {
    place.replaceChildren();
    return;
  }
  const parsed = new DOMParser().parseFromString(svg, "image/svg+xml").documentElement;
  place.replaceChildren(document.importNode(parsed, true));
}

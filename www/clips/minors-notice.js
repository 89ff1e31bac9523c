// What to settle before filming anyone under 18. Shown before the first clip until it was read; reachable ever after.
// The points follow governing bodies' photography guidance; local safeguarding rules come first, and it says so.

import { html } from "../vendor/lit-html/lit-html.js";
import { clips as words } from "../words.js";

const KEY = "wetframe minors notice read";

/** Whether the notice was read on this device. */
export function minorsNoticeRead() {
  try {
    return localStorage.getItem(KEY) !== null;
  } catch {
    return readInThisTab; // storage denied: it is shown again next time, which does no harm
  }
}

let readInThisTab = false;

export function noteMinorsNoticeRead() {
  readInThisTab = true;
  try {
    localStorage.setItem(KEY, "read");
  } catch {
    // storage denied: remembered for this tab alone
  }
}

/** @param {{open: boolean, toggle: (open: boolean) => void}} state */
export function minorsNotice({ open, toggle }) {
  if (!open) {
    return html`<button type="button" class="quiet minors-again" aria-expanded="false" @click=${() => toggle(true)}>${words.minors.show_again}</button>`;
  }
  return html`
    <section class="minors" aria-labelledby="minors-title">
      <h2 id="minors-title">${words.minors.title}</h2>
      <ul>
        ${words.minors.points.map((point) => html`<li>${point}</li>`)}
      </ul>
      <p>${words.minors.defer} ${words.minors.local}</p>
      <button type="button" @click=${() => toggle(false)}>${words.minors.understood}</button>
    </section>
  `;
}

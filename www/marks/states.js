// What the marking view says of its own state: no clip, a clip on its way, a clip to be found again, reading only,
// the less exact way of showing frames.

import { html, nothing } from "../vendor/lit-html/lit-html.js";
import { openingBar } from "../shell/opening-bar.js";
import { marks as words } from "../words/marks.js";

/** @param {import("./view.js").View} view */
export function stateTemplate(view) {
  const { context, record, player } = view;
  const { store, navigate } = context;
  if (!record) {
    return html`<p class="marks-notice"><strong>${words.states.no_clip}</strong> <button type="button" class="primary" @click=${() => navigate("clips")}>${words.states.no_clip_way}</button></p>`;
  }
  const notices = [];
  if (!player) {
    const { opening } = context.files();
    notices.push(opening
      ? html`<div class="marks-notice" role="status"><p>${words.states.loading(record.name)}</p>${openingBar(opening, words.states.loading(record.name))}</div>`
      : html`<div class="marks-notice"><p>${words.states.relink(record.name)}</p><button type="button" class="primary" @click=${() => navigate("clips")}>${words.states.relink_way}</button></div>`);
  }
  if (store.readOnly) notices.push(html`<p class="marks-notice">${words.states.read_only}</p>`);
  if (player?.method === "element") notices.push(html`<p class="marks-notice marks-notice-small">${words.states.element}</p>`);
  return notices.length === 0 ? nothing : notices;
}

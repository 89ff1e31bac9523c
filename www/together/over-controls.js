// What belongs to the overlay: how much of the upper picture, lining up, and why there may be none.

import { html, nothing } from "../vendor/lit-html/lit-html.js";
import { live } from "../vendor/lit-html/directives/live.js";
import { together as words } from "../words/together.js";
import { clipName } from "../compare/format.js";

/** @typedef {import("./view.js").View} View */

/** @param {View} view */
export function overControls(view) {
  const { choices } = view;
  if (view.liningUp) {
    return html`<div class="together-over">
      ${view.loupes.map((loupe, index) => html`<figure class="together-loupe">${loupe}<figcaption>${words.line_up.around(view.pointInHand + 1, clipName(view.records[index]))}</figcaption></figure>`)}
      <div class="together-line-up"><p>${words.line_up.text}</p>
      ${laidTemplate(view)}
      <div class="actions">
        <button type="button" class="primary" data-action="line-up-done" @click=${() => view.lineUp(false)}>${words.line_up.done}</button>
        <button type="button" data-action="reset" @click=${() => view.resetPoints()}>${words.over.reset}</button>
      </div></div></div>`;
  }
  if (choices.face !== "over" || view.whyNotOver) return nothing;
  const upper = clipName(view.records[1]);
  const percent = Math.round(choices.opacity * 100);
  return html`<div class="together-over">
    <label class="together-opacity"><span>${words.over.opacity(upper)}</span>
      <input type="range" min="0" max="100" step="5" data-choice="opacity" .value=${live(String(percent))} aria-valuetext="${percent} %"
        @input=${(/** @type {any} */ event) => view.setOpacity(Number(event.target.value) / 100)}>
      <output class="figures">${percent} %</output></label>
    <div class="actions">
      <button type="button" data-action="line-up" @click=${() => view.lineUp(true)}>${words.over.line_up}</button>
      <button type="button" data-action="reset" ?disabled=${choices.points === null} @click=${() => view.resetPoints()}>${words.over.reset}</button>
    </div>
    ${laidTemplate(view)}</div>`;
}

/** @param {View} view */
function laidTemplate(view) {
  const upper = clipName(view.records[1]);
  if (view.laidTrouble) return html`<p class="together-caution" role="status">${view.laidTrouble.message} ${view.laidTrouble.hint}</p>`;
  if (view.choices.points === null || !view.laid) return html`<p class="together-soft">${words.over.fitted(upper)}</p>`;
  return html`<p class="together-soft" role="status">${words.over.laid(upper, view.laid.scale, view.laid.turn_deg)}</p>`;
}

/** In place of the overlay: why there is none, and the way to it. @param {View} view */
export function whyNotOverTemplate(view) {
  const [first, second] = view.records;
  const views = words.over.views;
  if (view.whyNotOver === "differ") {
    return html`<div class="together-nothing" role="status"><p>${words.over.differ(clipName(first), clipName(second), views[first.view ?? ""], views[second.view ?? ""])}</p></div>`;
  }
  const unsaid = view.records.filter((clip) => clip.view === null);
  const { store } = view.context;
  const state = (/** @type {number} */ clip, /** @type {string} */ seen) => {
    try {
      store.apply({ command: "edit_clip", clip, change: { view: seen || null } });
    } catch (error) {
      view.context.notify(error);
    }
  };
  return html`<div class="together-nothing" role="status"><p>${words.over.not_stated(unsaid.map((clip) => clipName(clip)))}</p>
    <div class="actions">${unsaid.map((clip) => html`<label class="together-field"><span>${words.over.view_of(clipName(clip))}</span>
      <select data-view-of=${clip.id} ?disabled=${store.readOnly} @change=${(/** @type {any} */ event) => state(clip.id, event.target.value)}>
        <option value="">${words.over.view_unknown}</option>
        ${Object.entries(views).map(([value, text]) => html`<option value=${value}>${text}</option>`)}
      </select></label>`)}</div></div>`;
}

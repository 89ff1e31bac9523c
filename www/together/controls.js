// Under the scrubber: steps and play, then what the clips are held together by.

import { html, nothing } from "../vendor/lit-html/lit-html.js";
import { live } from "../vendor/lit-html/directives/live.js";
import { together as words } from "../words/together.js";
import { RATES } from "./play.js";
import { clipName } from "../compare/format.js";

/** @typedef {import("./view.js").View} View */

/** @param {View} view */
export function stepsTemplate(view) {
  const { choices, facts } = view;
  const can = view.plan !== null && view.pair.panes.some((pane) => pane.player !== null);
  return html`<div class="together-steps" role="group" aria-label=${words.steps}>
      <button type="button" data-action="back" ?disabled=${!can} @click=${() => view.step(-1)}><span aria-hidden="true">−1</span><span class="only-heard">${words.step_back}</span></button>
      <button type="button" class="primary together-play" data-action="play" ?disabled=${!can} @click=${() => view.togglePlay()}>${view.play.on ? words.pause : words.play}</button>
      <button type="button" data-action="forward" ?disabled=${!can} @click=${() => view.step(1)}><span aria-hidden="true">+1</span><span class="only-heard">${words.step_forward}</span></button>
      <label class="together-field"><span class="only-heard">${words.speed}</span>
        <select data-choice="rate" @change=${(/** @type {any} */ event) => view.setRate(Number(event.target.value))}>
          ${RATES.map((rate) => html`<option value=${rate} .selected=${live(rate === choices.rate)}>${words.rate(rate, facts?.stroke_s ?? null)}</option>`)}
        </select></label>
    </div>`;
}

/** @param {View} view */
export function choicesTemplate(view) {
  const { choices } = view;
  const facts = choices.driving === null ? view.facts : null;
  return html`<div class="together-choices">
    ${group("side", words.arm, words.sides, choices.side, (side) => view.choose(() => choices.setSide(view.context.store, /** @type {any} */ (side))), choices.by === "time")}
    ${group("by", words.lock, words.locks, choices.by, (by) => view.choose(() => { choices.by = /** @type {any} */ (by); }))}
    ${group("run", words.run, words.runs, choices.run, (run) => view.chooseRun(/** @type {any} */ (run)), choices.by === "time")}
    ${group("face", words.face, words.faces, choices.face, (face) => view.chooseFace(/** @type {any} */ (face)))}
    <label class="together-field"><span>${words.driving}</span>
      <select data-choice="driving" @change=${(/** @type {any} */ event) => view.choose(() => { choices.driving = event.target.value || null; })}>
        <option value="" .selected=${live(choices.driving === null)}>${words.driving_usual(facts ? clipName(view.records[facts.driving === "first" ? 0 : 1]) : "")}</option>
        ${(/** @type {const} */ (["first", "second"])).map((which, index) => html`<option value=${which} .selected=${live(choices.driving === which)}>${clipName(view.records[index])}</option>`)}
      </select></label>
  </div>`;
}

/**
 * @param {string} name
 * @param {string} label
 * @param {Record<string, string>} texts
 * @param {string} chosen
 * @param {(value: string) => void} choose
 * @param {boolean} [hidden]
 */
function group(name, label, texts, chosen, choose, hidden = false) {
  if (hidden) return nothing;
  return html`<div class="together-group" role="group" aria-label=${label}>
    ${Object.entries(texts).map(([value, text]) => html`<button type="button" data-choice=${name} data-value=${value} aria-pressed=${value === chosen} @click=${() => choose(value)}>${text}</button>`)}
  </div>`;
}

// Which comparison is shown, its name, and what leaves the page from here: text, CSV, paper.

import { html, nothing } from "../vendor/lit-html/lit-html.js";
import { live } from "../vendor/lit-html/directives/live.js";
import { compare } from "../words/compare.js";

/** @typedef {import("./choice.js").Choice} Choice */

const words = compare.bar;

/**
 * @param {object} shown
 * @param {Choice} shown.choice
 * @param {string} shown.usualName
 * @param {boolean} shown.readOnly
 * @param {boolean} shown.some     whether there is an answer to take away
 * @param {(task: () => void) => void} shown.tried    does it and draws again; trouble becomes a notice
 * @param {(text: string) => void} shown.say
 * @param {() => void} shown.copy
 * @param {() => void} shown.csv
 */
export function bar({ choice, usualName, readOnly, some, tried, say, copy, csv }) {
  const { kept, all, sets } = choice;
  const label = sets?.label || usualName;
  const show = (/** @type {Event} */ event) => {
    const { value } = /** @type {HTMLSelectElement} */ (event.target);
    tried(() => choice.show(value === "" ? null : Number(value)));
  };
  const rename = (/** @type {Event} */ event) => {
    const field = /** @type {HTMLInputElement} */ (event.target);
    field.value = field.value.trim() || usualName;
    tried(() => choice.change({ label: field.value }));
  };
  return html`<div class="compare-bar">
    ${all.length === 0
      ? nothing
      : html`<label class="compare-which">
          <span class="only-heard">${words.choice}</span>
          <select .value=${live(kept ? String(kept.id) : "")} @change=${show}>
            ${all.map(({ id, label: name }) => html`<option value=${id} ?selected=${id === kept?.id}>${name || words.unnamed(id)}</option>`)}
            <option value="" ?selected=${kept === null}>${words.loose}</option>
          </select>
        </label>`}
    <label class="compare-name">
      <span class="label">${words.name}</span>
      <input type="text" maxlength="200" placeholder=${words.name_example} .value=${label} ?disabled=${readOnly} @change=${rename} />
    </label>
    <div class="actions">
      ${kept === null
        ? html`<button type="button" data-action="keep" title=${words.keep_title} ?disabled=${readOnly || sets === null} @click=${() => tried(() => { choice.keep(label); say(words.kept(label)); })}>${words.keep}</button>`
        : html`<button type="button" data-action="another" title=${words.another_title} @click=${() => tried(() => choice.startFrom({ label: "", before: kept.before, after: kept.after, paired: kept.paired, kinds: kept.kinds }))}>${words.another}</button>
            <button type="button" class="quiet" data-action="remove" ?disabled=${readOnly} @click=${() => tried(() => { choice.remove(); say(words.removed(kept.label)); })}>${words.remove}</button>`}
    </div>
    <div class="actions compare-out">
      <button type="button" data-action="copy-text" ?disabled=${!some} @click=${copy}>${words.copy}</button>
      <button type="button" data-action="save-csv" ?disabled=${!some} @click=${csv}>${words.csv}</button>
      <button type="button" data-action="print" ?disabled=${!some} @click=${() => window.print()}>${words.print}</button>
    </div>
  </div>`;
}

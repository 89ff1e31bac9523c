// The filming guide: one page, on the screen and on paper. Its table of errors is computed, not typed in.

import { html, nothing, render } from "../vendor/lit-html/lit-html.js";
import { guide as words } from "../words.js";

/** Rates that phones and cameras offer, frames/s. */
const RATES_FPS = [25, 30, 50, 60, 120, 240];
/** Five cycles have ten hand-overs from arm to arm. */
const GAPS_IN_MEAN = 10;

/**
 * @param {HTMLElement} root
 * @param {any} context
 * @returns {import("../sitting/types.js").View}
 */
export function mount(root, context) {
  /** @type {GapError[]} */
  const errors = context.page.gap_error_table(new Float64Array(RATES_FPS), GAPS_IN_MEAN);
  render(page(errors), root);
  return { update() {}, unmount: () => render(nothing, root) };
}

/**
 * @typedef {object} GapError
 * @property {number} rate_fps
 * @property {number} one_gap_ms    standard uncertainty of one gap
 * @property {number} n
 * @property {number} mean_gap_ms   standard uncertainty of the mean of n gaps
 */

/** @param {GapError[]} errors */
function page(errors) {
  return html`
    <article class="sheet guide">
      <header class="sheet-head">
        <div>
          <h1>${words.title}</h1>
          <p class="soft">${words.lead}</p>
        </div>
        <button type="button" class="not-printed" @click=${() => window.print()}>${words.print}</button>
      </header>
      <div class="guide-columns">
        <section class="guide-part guide-wide">
          <h2>${words.views_title}</h2>
          <div class="table-scroll" tabindex="0" role="region" aria-label=${words.views_title}>
            <table>
              <thead><tr>${words.views_columns.map((column) => html`<th scope="col">${column}</th>`)}</tr></thead>
              <tbody>
                ${words.views.map(([view, ...cells]) => html`<tr><th scope="row">${view}</th>${cells.map((cell) => html`<td>${cell}</td>`)}</tr>`)}
              </tbody>
            </table>
          </div>
          <p class="small">${words.views_note} <span class="soft">(${words.practice})</span></p>
        </section>

        <section class="guide-part">
          <h2>${words.rate_title}</h2>
          <p>${words.rate_text}</p>
          <div class="table-scroll" tabindex="0" role="region" aria-label=${words.rate_title}>
            <table data-table="gap-error">
              <thead><tr>${words.rate_columns(GAPS_IN_MEAN).map((column) => html`<th scope="col" class="number">${column}</th>`)}</tr></thead>
              <tbody>
                ${errors.map(
                  (error) => html`
                    <tr>
                      <th scope="row" class="number">${error.rate_fps}/s</th>
                      <td class="number">${(1000 / error.rate_fps).toFixed(1)} ms</td>
                      <td class="number"><b>±${error.one_gap_ms.toFixed(1)} ms</b></td>
                      <td class="number">±${error.mean_gap_ms.toFixed(1)} ms</td>
                    </tr>
                  `,
                )}
              </tbody>
            </table>
          </div>
          <p class="small">${words.rate_note} <span class="soft">${words.rate_source}</span></p>
          <p>${words.rate_advice} <span class="soft small">(${words.practice})</span></p>
        </section>

        ${part(words.place_title, words.place, words.practice)}
        ${part(words.cycles_title, words.cycles, words.cycles_source)}
        ${part(words.same_title, words.same, words.same_source)}
        ${part(words.phone_title, words.phone, words.practice)}
        ${part(words.care_title, words.care, words.care_source)}
      </div>
    </article>
  `;
}

/** @param {string} title @param {string[]} points @param {string} source */
function part(title, points, source) {
  return html`
    <section class="guide-part">
      <h2>${title}</h2>
      <ul>${points.map((point) => html`<li>${point}</li>`)}</ul>
      <p class="small soft">(${source})</p>
    </section>
  `;
}

// Before filming: how many cycles at which frame rate show a change of a given size. The calculation is Rust's.

import { html, nothing } from "../vendor/lit-html/lit-html.js";
import { compare } from "../words/compare.js";
import { find } from "./board.js";

/** @typedef {import("./types.js").Comparison} Comparison */

const words = compare.plan;
const USUAL_RATES_FPS = [25, 30, 50, 60, 120, 240];
const USUAL_CHANGE_MS = 30;
const USUAL_SD_MS = 30;

/** What the coach asks; kept by the view from one drawing to the next. `sd_ms` null: as measured. */
export class PlanState {
  change_ms = USUAL_CHANGE_MS;
  /** @type {number|null} */
  sd_ms = null;
}

/**
 * The larger SD of the gap in both sets, whole ms; null while none has one. It holds the frames' share too, so the plan
 * errs to the side of more cycles.
 * @param {Comparison|null} comparison
 */
function measuredSd(comparison) {
  const gap = find(comparison, "propulsive_gap");
  const both = [gap?.before?.sd, gap?.after?.sd].filter((sd) => typeof sd === "number" && sd > 0);
  return both.length === 0 ? null : Math.round(Math.max(.../** @type {number[]} */ (both)) * 1000);
}

/**
 * @param {import("../sitting/types.js").Context} context
 * @param {{comparison: Comparison|null, state: PlanState, redraw: () => void}} shown
 */
export function plan(context, { comparison, state, redraw }) {
  const measured = measuredSd(comparison);
  const sd_ms = state.sd_ms ?? measured ?? USUAL_SD_MS;
  const question = { change_s: state.change_ms / 1000, stroke_sd_s: sd_ms / 1000 };
  /** @type {{frame_rate_fps: number, cycles: number|null}[]} */
  const rows = context.page.filming_plan(question, Float64Array.from(USUAL_RATES_FPS));
  const ask = (/** @type {"change_ms"|"sd_ms"} */ field) => (/** @type {Event} */ event) => {
    const input = /** @type {HTMLInputElement} */ (event.target);
    if (input.valueAsNumber > 0) {
      state[field] = input.valueAsNumber;
    } else {
      context.notify({ kind: "filming_plan", message: words.bad_number, severity: "warning" });
      input.value = String(field === "change_ms" ? state.change_ms : sd_ms);
    }
    redraw();
  };
  const field = (/** @type {"change_ms"|"sd_ms"} */ name, /** @type {number} */ value, /** @type {string} */ label) => html`<input
    type="number" min="1" step="any" inputmode="decimal" data-field=${name} aria-label=${label} .value=${String(value)} @change=${ask(name)}
  />`;
  return html`<section class="compare-plan" aria-labelledby="compare-plan-title">
    <h2 id="compare-plan-title">${words.title}</h2>
    <p class="compare-plan-question">
      ${words.to_see} ${field("change_ms", state.change_ms, words.change_label)} ${words.in_gap}
      ${field("sd_ms", sd_ms, words.sd_label)} ${words.from_stroke}
    </p>
    <table class="compare-plan-rows">
      <thead><tr><th scope="col">${words.rate}</th><th scope="col">${words.cycles}</th></tr></thead>
      <tbody>
        ${rows.map(({ frame_rate_fps, cycles }) => html`<tr data-rate=${frame_rate_fps}><th scope="row">${words.at(frame_rate_fps)}</th><td>${cycles === null ? words.never : words.film(cycles)}</td></tr>`)}
      </tbody>
    </table>
    <p class="soft small">
      ${words.power} ${state.sd_ms === null ? (measured === null ? words.guessed : words.measured) : nothing}
      ${comparison?.operator_error === "known" ? nothing : words.own}
    </p>
  </section>`;
}

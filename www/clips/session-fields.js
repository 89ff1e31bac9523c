// What is asked about the session as a whole: swimmer, day, water, consent, notes.

import { html, nothing } from "../vendor/lit-html/lit-html.js";
import { fieldValue } from "./field-value.js";
import { clips as words } from "../words.js";
import { numberFrom, wanting } from "./number-field.js";

/**
 * @param {object} given
 * @param {import("../sitting/types.js").SessionView} given.session
 * @param {boolean} given.readOnly
 * @param {(change: object) => void} given.edit
 * @param {import("./number-field.js").Wanted} given.wanted
 */
export function sessionFields({ session, readOnly, edit, wanted }) {
  const { athlete, date, water, notes } = session;
  const under_18 = athlete.under_18 === null ? "unsaid" : athlete.under_18 ? "yes" : "no";
  const kind = wanted.kindOf("water", water?.kind ?? "none");
  return html`
    <fieldset class="session-fields" ?disabled=${readOnly}>
      <legend class="only-heard">${words.session_heading}</legend>
      <label class="field field-wide">${words.swimmer}
        <input name="athlete_label" autocomplete="off" placeholder=${words.swimmer_hint} .value=${fieldValue(athlete.label)}
          @change=${(/** @type {any} */ event) => edit({ athlete: { label: event.target.value.trim() } })}>
      </label>
      <label class="field">${words.date}
        <input name="date" type="date" .value=${fieldValue(date)} @change=${(/** @type {any} */ event) => event.target.value && edit({ date: event.target.value })}>
      </label>
      <label class="field">${words.under_18}
        <select name="under_18" .value=${fieldValue(under_18)}
          @change=${(/** @type {any} */ event) => edit({ athlete: { under_18: event.target.value === "unsaid" ? null : event.target.value === "yes" } })}>
          ${Object.entries(words.under_18_choices).map(([value, text]) => html`<option value=${value} ?selected=${value === under_18}>${text}</option>`)}
        </select>
      </label>
      <label class="field">${words.water}
        <select name="water" .value=${fieldValue(kind)}
          @change=${(/** @type {any} */ event) => (event.target.value === "none" ? wanted.drop("water", () => edit({ water: null })) : wanted.ask("water", event.target.value, water?.kind))}>
          ${Object.entries(words.water_kinds).map(([value, text]) => html`<option value=${value} ?selected=${value === kind}>${text}</option>`)}
        </select>
      </label>
      ${kind === "pool"
        ? html`<label class="field">${words.pool_length}
            <input name="pool_length" inputmode="decimal" .value=${fieldValue(water?.kind === "pool" ? String(water.length_m) : "")}
              @change=${(/** @type {any} */ event) => numberFrom(event, (length_m) => wanted.drop("water", () => edit({ water: { kind: "pool", length_m } })))}>
            ${wanting}
          </label>`
        : nothing}
      ${kind === "flume"
        ? html`<label class="field">${words.flume_speed}
            <input name="flume_speed" inputmode="decimal" .value=${fieldValue(water?.kind === "flume" ? String(water.speed_m_per_s) : "")}
              @change=${(/** @type {any} */ event) => numberFrom(event, (speed_m_per_s) => wanted.drop("water", () => edit({ water: { kind: "flume", speed_m_per_s } })))}>
            ${wanting}
          </label>`
        : nothing}
      ${athlete.under_18 || athlete.consent
        ? html`<label class="field field-wide">${words.consent}
            <input name="consent" autocomplete="off" placeholder=${words.consent_hint} .value=${fieldValue(athlete.consent)}
              @change=${(/** @type {any} */ event) => edit({ athlete: { consent: event.target.value } })}>
          </label>`
        : nothing}
      <label class="field field-whole">${words.session_notes}
        <textarea name="session_notes" rows="1" .value=${fieldValue(notes)} @change=${(/** @type {any} */ event) => edit({ notes: event.target.value })}></textarea>
      </label>
    </fieldset>
  `;
}

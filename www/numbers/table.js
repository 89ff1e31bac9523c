// Every measure in one table: sorted, filtered, copied; each row leads to its frames.

import { html, nothing } from "../vendor/lit-html/lit-html.js";
import { live } from "../vendor/lit-html/directives/live.js";
import { repeat } from "../vendor/lit-html/directives/repeat.js";
import { numbers } from "../words/numbers.js";
import { rateTag } from "./basis.js";
import { DASH, plainMinus, shown } from "./format.js";

/** @typedef {import("./types.js").Measure} Measure */
/** @typedef {"all"|"rate"|"phases"|"coordination"|"breathing"|"legs"|"symmetry"} Family */
/** @typedef {"measure"|"side"|"breathing"|"cycle"|"value"|"uncertainty"|"unit"|"sd"|"n"|"interval"} Column */

const words = numbers.table;

/** @type {Column[]} */
const COLUMNS = ["measure", "side", "breathing", "cycle", "value", "uncertainty", "unit", "sd", "n", "interval"];
/** @type {Set<Column>} */
const FIGURES = new Set(["cycle", "value", "uncertainty", "sd", "n", "interval"]);

/** @param {string} kind @returns {Family} */
export function familyOf(kind) {
  if (kind.startsWith("symmetry_") || kind.endsWith("_difference")) return "symmetry";
  if (kind.startsWith("phase_") || kind === "propulsive_share") return "phases";
  if (kind.startsWith("propulsive_gap") || kind === "index_of_coordination" || kind === "lead_arm_lag") return "coordination";
  if (kind.startsWith("kick_")) return "legs";
  if (/breath|exhale/.test(kind)) return "breathing";
  return "rate";
}

/** How the table is shown now; kept by the view from one drawing to the next. */
export class TableState {
  /** @type {Family} */
  family = "all";
  eachCycle = false;
  absent = false;
  /** @type {{column: Column, down: boolean}|null} */
  sorted = null;
}

/**
 * @typedef {object} Row
 * @property {string} key
 * @property {Measure} measure
 * @property {Record<Column, string>} cells
 * @property {Record<Column, string|number>} order
 */

/** @param {Measure} measure @returns {Row} */
function rowOf(measure) {
  const number = shown(measure);
  const side = measure.side === null ? words.both : numbers.side(measure.side);
  const cycle = measure.cycle === null ? words.mean : String(measure.cycle + 1);
  const last = Number.POSITIVE_INFINITY;
  return {
    key: `${measure.kind} ${measure.side} ${measure.cycle} ${measure.breathing}`,
    measure,
    cells: {
      measure: numbers.measure(measure.kind),
      side,
      breathing: numbers.breathing(measure.breathing),
      cycle,
      value: number?.value ?? DASH,
      uncertainty: number?.uncertainty ?? "",
      unit: number?.unit ?? "",
      sd: number?.sd ?? "",
      n: number ? String(number.n) : "",
      interval: number?.interval ? words.interval(number.interval[0], number.interval[1]) : "",
    },
    order: {
      measure: numbers.measure(measure.kind),
      side,
      breathing: numbers.breathing(measure.breathing),
      cycle: measure.cycle ?? -1,
      value: measure.quantity?.value ?? last,
      uncertainty: measure.quantity?.uncertainty ?? last,
      unit: measure.quantity?.unit ?? "\uffff",
      sd: measure.sd ?? last,
      n: number ? measure.n : last,
      interval: measure.interval ? measure.interval[0] : last,
    },
  };
}

/**
 * The rows in the order and choice of `state`.
 * @param {Measure[]} measures
 * @param {TableState} state
 */
export function rowsOf(measures, state) {
  const chosen = measures.filter(
    (measure) =>
      (state.family === "all" || familyOf(measure.kind) === state.family) &&
      (state.eachCycle || measure.cycle === null) &&
      (state.absent || measure.quantity !== null),
  );
  const rows = chosen.map(rowOf);
  const { sorted } = state;
  if (sorted) {
    const way = sorted.down ? -1 : 1;
    const missing = (/** @type {string|number} */ value) => value === Number.POSITIVE_INFINITY || value === "\uffff";
    rows.sort((one, other) => {
      const [a, b] = [one.order[sorted.column], other.order[sorted.column]];
      // What has no number stays at the end, whichever way the rest is sorted.
      if (missing(a) || missing(b)) return Number(missing(a)) - Number(missing(b));
      return way * (typeof a === "number" && typeof b === "number" ? a - b : String(a).localeCompare(String(b)));
    });
  }
  return rows;
}

/** The rows as tab-separated text with a heading line. @param {Row[]} rows */
export function asTsv(rows) {
  const lines = [COLUMNS.map((column) => words.columns[column]), ...rows.map((row) => COLUMNS.map((column) => plainMinus(row.cells[column])))];
  return lines.map((cells) => cells.join("\t")).join("\n");
}

/**
 * @param {import("../sitting/types.js").Context} context
 * @param {{measures: Measure[], analysis: any, clip: import("../sitting/types.js").ClipRecord, frames: import("./frames.js").Frames, state: TableState, redraw: () => void}} shown
 */
export function table(context, { measures, analysis, clip, frames, state, redraw }) {
  const rows = rowsOf(measures, state);
  const absent = rowsOf(measures, { ...state, absent: true, sorted: null }).length - rowsOf(measures, { ...state, absent: false, sorted: null }).length;
  const families = /** @type {[Family, string][]} */ (Object.entries(words.families));
  const copy = async () => {
    try {
      await navigator.clipboard.writeText(asTsv(rows));
      context.say(words.copied(rows.length));
    } catch (refusal) {
      context.notify({ kind: "copy_refused", message: words.copy_refused, hint: refusal instanceof Error ? refusal.message : undefined, severity: "caution" });
    }
  };
  return html`<section class="numbers-table" aria-labelledby="numbers-table-title">
    <div class="numbers-group-head">
      <h2 id="numbers-table-title">${words.title}</h2>
      ${rateTag({ clip, analysis })}
    </div>
    <div class="numbers-table-tools">
      <label class="choice">${words.filter}
        <select
          .value=${live(state.family)}
          @change=${(/** @type {Event} */ event) => {
            state.family = /** @type {Family} */ (/** @type {HTMLSelectElement} */ (event.target).value);
            redraw();
          }}
        >
          ${families.map(([family, name]) => html`<option value=${family}>${name}</option>`)}
        </select>
      </label>
      ${tick(words.each_cycle, state.eachCycle, (on) => { state.eachCycle = on; redraw(); })}
      ${tick(words.absent(absent), state.absent, (on) => { state.absent = on; redraw(); })}
      <button @click=${copy}>${words.copy}</button>
      <span class="soft small">${words.count(rows.length)}. ${words.copy_hint}</span>
    </div>
    ${rows.length === 0
      ? html`<p class="soft">${words.none}</p>`
      : html`<div class="table-scroll" tabindex="0" role="region" aria-labelledby="numbers-table-title">
          <table @copy=${(/** @type {ClipboardEvent} */ event) => copySelected(event, rows)}>
            <thead><tr>${COLUMNS.map((column) => heading(column, state, redraw))}</tr></thead>
            <tbody>${repeat(rows, (row) => row.key, (row) => line(row, frames, analysis))}</tbody>
          </table>
        </div>`}
    ${rows.some((row) => familyOf(row.measure.kind) === "breathing") ? html`<p class="numbers-caution" data-caution="breathing">${numbers.breathing_caution}</p>` : nothing}
    ${rows.some((row) => familyOf(row.measure.kind) === "symmetry") ? html`<p class="soft">${numbers.symmetry_note}</p>` : nothing}
  </section>`;
}

/** @param {string} label @param {boolean} on @param {(on: boolean) => void} change */
function tick(label, on, change) {
  return html`<label class="choice">
    <input type="checkbox" .checked=${live(on)} @change=${(/** @type {Event} */ event) => change(/** @type {HTMLInputElement} */ (event.target).checked)} />
    ${label}
  </label>`;
}

/** @param {Column} column @param {TableState} state @param {() => void} redraw */
function heading(column, state, redraw) {
  const sorted = state.sorted?.column === column ? state.sorted : null;
  const sort = () => {
    // Up, down, and back to the order in which the measures are defined.
    state.sorted = sorted === null ? { column, down: false } : sorted.down ? null : { column, down: true };
    redraw();
  };
  return html`<th scope="col" class=${FIGURES.has(column) ? "number" : ""} aria-sort=${sorted === null ? "none" : sorted.down ? "descending" : "ascending"}>
    <button class="quiet" @click=${sort}>${words.columns[column]}<span aria-hidden="true">${sorted === null ? "" : sorted.down ? "▾" : "▴"}</span></button>
  </th>`;
}

/** @param {Row} row @param {import("./frames.js").Frames} frames @param {any} analysis */
function line({ measure, cells, key }, frames, analysis) {
  const name = [cells.measure, cells.side, cells.breathing, cells.cycle === words.mean ? "" : `${words.columns.cycle.toLowerCase()} ${cells.cycle}`].filter(Boolean).join(", ");
  const flags = measure.flags.map((index) => analysis.flags[index].message);
  return html`<tr data-key=${key} data-kind=${measure.kind} data-side=${measure.side ?? ""} data-cycle=${measure.cycle ?? ""} data-breathing=${measure.breathing}>
    <th scope="row">${cells.measure}</th>
    <td>${cells.side}</td>
    <td>${cells.breathing}</td>
    <td class="number">${cells.cycle}</td>
    ${measure.quantity === null
      ? html`<td class="number">${DASH}</td><td colspan="5" class="numbers-why">${measure.absence?.message} ${measure.absence?.hint}</td>`
      : html`<td class="number">
            <button class="quiet numbers-value" aria-label=${numbers.to_frames(name, numbers.breathing(measure.breathing), numbers.with_unit(cells.value, cells.uncertainty || null, cells.unit), measure.n)} @click=${() => frames.go(measure.marks)}>${cells.value}</button>
          </td>
          <td class="number">${cells.uncertainty}</td>
          <td>${cells.unit}</td>
          <td class="number">${cells.sd}</td>
          <td class="number">
            <button class="quiet numbers-n" aria-label=${numbers.frames.open(name, measure.n)} @click=${(/** @type {Event} */ event) => frames.list(/** @type {HTMLElement} */ (event.currentTarget), name, measure.marks)}>${cells.n}</button>
          </td>
          <td class="number">${cells.interval}${flags.length === 0 ? nothing : html`<span class="numbers-flagged" title=${flags.join(" ")}> ${numbers.flagged}</span>`}</td>`}
  </tr>`;
}

/**
 * Ctrl+C over a selection copies whole rows, tab-separated, and not the page's text.
 * @param {ClipboardEvent} event
 * @param {Row[]} rows
 */
function copySelected(event, rows) {
  const selection = document.getSelection();
  const body = /** @type {HTMLTableElement} */ (event.currentTarget).tBodies[0];
  if (!selection || selection.isCollapsed || !event.clipboardData) {
    return;
  }
  const keys = new Set([...body.rows].filter((row) => selection.containsNode(row, true)).map((row) => row.dataset.key));
  const selected = rows.filter((row) => keys.has(row.key));
  if (selected.length > 0) {
    event.clipboardData.setData("text/plain", asTsv(selected));
    event.preventDefault();
  }
}

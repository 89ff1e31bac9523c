// Every measure in one table: sorted, filtered, copied; each row leads to its frames.

import { html, nothing } from "../vendor/lit-html/lit-html.js";
import { live } from "../vendor/lit-html/directives/live.js";
import { repeat } from "../vendor/lit-html/directives/repeat.js";
import { numbers } from "../words/numbers.js";
import { rateTag } from "./basis.js";
import { DASH, shown } from "./format.js";
import { LAST, copySelected, copyText, heading, sortRows, tsvOf } from "./sortable.js";

/** @typedef {import("./types.js").Measure} Measure */
/** @typedef {"all"|"rate"|"phases"|"coordination"|"breathing"|"legs"|"symmetry"} Family */
/** @typedef {"measure"|"side"|"cycle"|"value"|"uncertainty"|"unit"|"sd"|"n"|"interval"|"breathing"|"non_breathing"} Column */

const words = numbers.table;

/** @type {Column[]} */
const COLUMNS = ["measure", "side", "cycle", "value", "uncertainty", "unit", "sd", "n", "interval", "breathing", "non_breathing"];
/** @type {Set<Column>} */
const FIGURES = new Set(["value", "uncertainty", "sd", "n", "interval", "breathing", "non_breathing"]);

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
 * One kind of one arm: the mean over all strokes with its two halves by breathing, or one cycle.
 * @typedef {object} Row
 * @property {string} key
 * @property {Measure} measure
 * @property {Measure|undefined} breathing
 * @property {Measure|undefined} non_breathing
 */

/** @param {Measure[]} measures @returns {Row[]} */
function rowsFrom(measures) {
  /** @type {Map<string, Row>} */
  const rows = new Map();
  for (const measure of measures) {
    const key = `${measure.kind} ${measure.side} ${measure.cycle}`;
    const row = rows.get(key) ?? { key, measure, breathing: undefined, non_breathing: undefined };
    if (measure.breathing === "all" || measure.cycle !== null) {
      row.measure = measure;
    } else {
      row[measure.breathing] = measure;
    }
    rows.set(key, row);
  }
  return [...rows.values()];
}

/** @param {Row} row */
function sideOf({ measure }) {
  return measure.side === null ? words.both : numbers.side(measure.side);
}

/** @param {Row} row */
function cycleOf({ measure }) {
  if (measure.cycle === null) {
    return words.mean;
  }
  return measure.breathing === "all" ? String(measure.cycle + 1) : `${measure.cycle + 1}, ${numbers.breathing(measure.breathing)}`;
}

/** What a column is sorted by. @param {Row} row @param {Column} column @returns {string|number} */
function orderOf(row, column) {
  const { measure } = row;
  switch (column) {
    case "measure": return numbers.measure(measure.kind);
    case "side": return sideOf(row);
    case "cycle": return measure.cycle ?? -1;
    case "value": return measure.quantity?.value ?? LAST;
    case "uncertainty": return measure.quantity?.uncertainty ?? LAST;
    case "unit": return measure.quantity?.unit ?? LAST;
    case "sd": return measure.sd ?? LAST;
    case "n": return measure.quantity ? measure.n : LAST;
    case "interval": return measure.interval?.[0] ?? LAST;
    case "breathing":
    case "non_breathing": return row[column]?.quantity?.value ?? LAST;
  }
}

/**
 * The rows in the order and choice of `state`.
 * @param {Measure[]} measures
 * @param {{family: Family, eachCycle: boolean, absent: boolean, sorted: {column: Column, down: boolean}|null}} state
 */
export function rowsOf(measures, { family, eachCycle, absent, sorted }) {
  const rows = rowsFrom(measures).filter(
    ({ measure }) =>
      (family === "all" || familyOf(measure.kind) === family) &&
      (eachCycle || measure.cycle === null) &&
      (absent || measure.quantity !== null),
  );
  sortRows(rows, sorted, orderOf);
  return rows;
}

/** The rows as tab-separated text with a heading line; numbers rounded as they are shown. @param {Row[]} rows */
export function asTsv(rows) {
  const { columns } = words;
  const three = (/** @type {Measure|undefined} */ measure) => {
    const number = measure ? shown(measure) : null;
    return number ? [number.value, number.uncertainty ?? "", String(number.n)] : ["", "", ""];
  };
  const head = [
    columns.measure, columns.side, columns.cycle, columns.unit, columns.value, columns.uncertainty, columns.n, columns.sd, words.low, words.high,
    ...[columns.breathing, columns.non_breathing].flatMap((name) => [name, `${name} ${columns.uncertainty}`, `${name} ${columns.n}`]),
    words.reason,
  ];
  const lines = rows.map((row) => {
    const number = shown(row.measure);
    return [
      numbers.measure(row.measure.kind), sideOf(row), cycleOf(row), number?.unit ?? "", ...three(row.measure), number?.sd ?? "",
      number?.interval?.[0] ?? "", number?.interval?.[1] ?? "", ...three(row.breathing), ...three(row.non_breathing),
      row.measure.absence?.message ?? "",
    ];
  });
  return tsvOf([head, ...lines]);
}

/**
 * @param {import("../sitting/types.js").Context} context
 * @param {{measures: Measure[], analysis: any, clip: import("../sitting/types.js").ClipView, frames: import("./frames.js").Frames, state: TableState, redraw: () => void}} shown
 */
export function table(context, { measures, analysis, clip, frames, state, redraw }) {
  const rows = rowsOf(measures, state);
  const choice = { family: state.family, eachCycle: state.eachCycle, sorted: null };
  const absent = rowsOf(measures, { ...choice, absent: true }).length - rowsOf(measures, { ...choice, absent: false }).length;
  const families = /** @type {[Family, string][]} */ (Object.entries(words.families));
  return html`<section class="numbers-table" ?data-each-cycle=${state.eachCycle} aria-labelledby="numbers-table-title">
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
      <button @click=${() => copyText(context, asTsv(rows), words.copied(rows.length))}>${words.copy}</button>
      <span class="soft small">${words.count(rows.length)}. ${words.copy_hint}</span>
    </div>
    ${rows.length === 0
      ? html`<p class="soft">${words.none}</p>`
      : html`<div class="table-scroll" tabindex="0" role="region" aria-label=${words.region}>
          <table @copy=${(/** @type {ClipboardEvent} */ event) => copySelected(event, rows, asTsv)}>
            <thead><tr>${COLUMNS.map((column) => heading({ column, name: words.columns[column], isFigure: FIGURES.has(column) }, state, redraw))}</tr></thead>
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

/** @param {Row} row @param {import("./frames.js").Frames} frames @param {any} analysis */
function line(row, frames, analysis) {
  const { measure, key } = row;
  const number = shown(measure);
  const name = [numbers.measure(measure.kind), sideOf(row), ...(measure.cycle === null ? [] : [`${words.columns.cycle.toLowerCase()} ${cycleOf(row)}`])].join(", ");
  const flags = measure.flags.map((index) => analysis.flags[index].message);
  return html`<tr data-key=${key} data-kind=${measure.kind} data-side=${measure.side ?? ""} data-cycle=${measure.cycle ?? ""}>
    <th scope="row">${numbers.measure(measure.kind)}${flags.length === 0 ? nothing : html` <span class="numbers-flagged">${numbers.flagged}<span class="only-heard">: ${flags.join(" ")}</span></span>`}</th>
    <td>${sideOf(row)}</td>
    <td>${cycleOf(row)}</td>
    ${number === null
      ? html`<td class="number">${DASH}</td><td colspan="7" class="numbers-why">${measure.absence?.message} ${measure.absence?.hint}</td>`
      : html`<td class="number">${toFrames(name, measure, frames)}</td>
          <td class="number">${number.uncertainty}</td>
          <td>${number.unit}</td>
          <td class="number">${number.sd}</td>
          <td class="number">
            <button class="quiet numbers-n" aria-label=${numbers.frames.open(name, number.n)} @click=${(/** @type {Event} */ event) => frames.list(/** @type {HTMLElement} */ (event.currentTarget), name, measure.marks)}>${number.n}</button>
          </td>
          <td class="number">${number.interval ? words.interval(number.interval[0], number.interval[1]) : ""}</td>
          ${half(name, row.breathing, frames)} ${half(name, row.non_breathing, frames)}`}
  </tr>`;
}

/** The value as a button to its frames. @param {string} name @param {Measure} measure @param {import("./frames.js").Frames} frames */
function toFrames(name, measure, frames) {
  const number = shown(measure);
  return number === null
    ? DASH
    : html`<button
        class="quiet numbers-value"
        aria-label=${numbers.to_frames(name, numbers.breathing(measure.breathing), numbers.with_unit(number.value, number.uncertainty, number.unit), number.n)}
        @click=${() => frames.go(measure.marks)}
      >${number.value}</button>`;
}

/** The half of the strokes with a breath, or without. @param {string} name @param {Measure|undefined} measure @param {import("./frames.js").Frames} frames */
function half(name, measure, frames) {
  const number = measure ? shown(measure) : null;
  if (!measure || !number) {
    return html`<td class="number soft" title=${measure?.absence?.message ?? ""}>${measure ? DASH : ""}</td>`;
  }
  return html`<td class="number" data-breathing=${measure.breathing}>
    ${toFrames(name, measure, frames)} <span class="soft small">${number.uncertainty === null ? nothing : `± ${number.uncertainty}`} ${numbers.n(number.n)}</span>
  </td>`;
}

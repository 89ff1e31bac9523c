// Every measure of both sets in one table: sorted, filtered, copied; each value leads to its cycles.

import { html, nothing } from "../vendor/lit-html/lit-html.js";
import { live } from "../vendor/lit-html/directives/live.js";
import { repeat } from "../vendor/lit-html/directives/repeat.js";
import { familyOf } from "../numbers/table.js";
import { LAST, copySelected, copyText, heading, sortRows, tsvOf } from "../numbers/sortable.js";
import { DASH } from "../numbers/format.js";
import { compare } from "../words/compare.js";
import { numbers } from "../words/numbers.js";
import { chance, nameOf, shownComparison } from "./format.js";
import { gatesInShapes } from "./gates.js";

/** @typedef {import("./types.js").MeasureComparison} MeasureComparison */
/** @typedef {"measure"|"side"|"before"|"before_n"|"after"|"after_n"|"difference"|"interval"|"unit"|"gates"|"verdict"} Column */
/** @typedef {{key: string, measure: MeasureComparison}} Row */
/** @typedef {"before"|"after"} Which */

const words = compare.table;
/** @type {Column[]} */
const COLUMNS = ["measure", "side", "before", "before_n", "after", "after_n", "difference", "interval", "unit", "gates", "verdict"];
/** @type {Set<Column>} */
const FIGURES = new Set(["before", "before_n", "after", "after_n", "difference", "interval"]);

/** How the table is shown now; kept by the view from one drawing to the next. */
export class TableState {
  /** @type {import("../numbers/table.js").Family} */
  family = "all";
  absent = false;
  /** @type {import("../numbers/sortable.js").Sorted<Column>} */
  sorted = null;
}

/** @param {MeasureComparison} measure */
const sideOf = ({ side }) => (side === null ? numbers.table.both : numbers.side(side));

/** How many gates are passed, then how many are not known. @param {MeasureComparison} measure */
const passedOf = ({ gates }) => Object.values(gates).reduce((sum, { passed }) => sum + (passed === null ? 0.1 : Number(passed)), 0);

/** What a column is sorted by. @param {Row} row @param {Column} column @returns {string|number} */
function orderOf({ measure }, column) {
  switch (column) {
    case "measure": return numbers.measure(measure.kind);
    case "side": return sideOf(measure);
    case "before": return measure.before?.mean ?? LAST;
    case "after": return measure.after?.mean ?? LAST;
    case "before_n": return measure.before?.n ?? LAST;
    case "after_n": return measure.after?.n ?? LAST;
    case "difference": return measure.difference?.value ?? LAST;
    case "interval": return measure.difference?.interval?.[0] ?? LAST;
    case "unit": return measure.unit;
    case "gates": return passedOf(measure);
    case "verdict": return compare.verdicts[measure.verdict];
  }
}

/** The rows in the order and choice of `state`. @param {MeasureComparison[]} measures @param {TableState} state */
export function rowsOf(measures, { family, absent, sorted }) {
  const rows = measures
    .filter((measure) => (family === "all" || familyOf(measure.kind) === family) && (absent || (measure.before && measure.after)))
    .map((measure) => ({ key: `${measure.kind} ${measure.side}`, measure }));
  sortRows(rows, sorted, orderOf);
  return rows;
}

/** The rows as tab-separated text with a heading line; numbers rounded as they are shown. @param {Row[]} rows */
export function asTsv(rows) {
  const { columns } = words;
  const head = [
    columns.measure, columns.side, columns.unit, columns.before, columns.before_n, columns.after, columns.after_n, columns.difference, words.low, words.high,
    ...Object.values(compare.gates).map(({ name }) => name), words.p, words.p_holm, columns.verdict, words.sentence, words.settle,
  ];
  const gate = (/** @type {boolean|null} */ passed) => (passed === null ? "not known" : passed ? "passed" : "not passed");
  const lines = rows.map(({ measure }) => {
    const number = shownComparison(measure);
    const { permutation, gates } = measure;
    return [
      numbers.measure(measure.kind), sideOf(measure), number.unit,
      number.before?.mean ?? "", String(number.before?.n ?? ""), number.after?.mean ?? "", String(number.after?.n ?? ""),
      number.difference?.value ?? "", number.difference?.interval?.[0] ?? "", number.difference?.interval?.[1] ?? "",
      gate(gates.frame.passed), gate(gates.operator.passed), gate(gates.strokes.passed),
      permutation ? chance(permutation.p) : "", permutation ? chance(permutation.p_holm) : "",
      compare.verdicts[measure.verdict], measure.sentence, measure.settle ?? "",
    ];
  });
  return tsvOf([head, ...lines]);
}

/**
 * @param {import("../sitting/types.js").Context} context
 * @param {{measures: MeasureComparison[], cycles: import("./cycles.js").Cycles, state: TableState, redraw: () => void}} shown
 */
export function table(context, { measures, cycles, state, redraw }) {
  const rows = rowsOf(measures, state);
  const families = /** @type {[import("../numbers/table.js").Family, string][]} */ (Object.entries(numbers.table.families));
  const absent = measures.filter(({ before, after }) => !before || !after).length;
  return html`<section class="numbers-table compare-table" aria-labelledby="compare-table-title">
    <h2 id="compare-table-title">${words.title}</h2>
    <div class="numbers-table-tools">
      <label class="choice">${words.filter}
        <select
          .value=${live(state.family)}
          @change=${(/** @type {Event} */ event) => {
            state.family = /** @type {TableState["family"]} */ (/** @type {HTMLSelectElement} */ (event.target).value);
            redraw();
          }}
        >
          ${families.map(([family, name]) => html`<option value=${family} ?selected=${family === state.family}>${name}</option>`)}
        </select>
      </label>
      ${absent === 0
        ? nothing
        : html`<label class="choice">
            <input type="checkbox" .checked=${live(state.absent)} @change=${(/** @type {Event} */ event) => { state.absent = /** @type {HTMLInputElement} */ (event.target).checked; redraw(); }} />
            ${words.absent} (${absent})
          </label>`}
      <button @click=${() => copyText(context, asTsv(rows), numbers.table.copied(rows.length))}>${words.copy}</button>
      <span class="soft small">${numbers.table.count(rows.length)}. ${numbers.table.copy_hint}</span>
    </div>
    ${rows.length === 0
      ? html`<p class="soft">${numbers.table.none}</p>`
      : html`<div class="table-scroll" tabindex="0" role="region" aria-label=${words.region}>
          <table @copy=${(/** @type {ClipboardEvent} */ event) => copySelected(event, rows, asTsv)}>
            <thead><tr>${COLUMNS.map((column) => heading({ column, name: words.columns[column], isFigure: FIGURES.has(column) }, state, redraw))}</tr></thead>
            <tbody>${repeat(rows, (row) => row.key, (row) => line(row, cycles))}</tbody>
          </table>
        </div>`}
    ${rows.some(({ measure }) => familyOf(measure.kind) === "breathing") ? html`<p class="numbers-caution" data-caution="breathing">${numbers.breathing_caution}</p>` : nothing}
    ${rows.some(({ measure }) => familyOf(measure.kind) === "symmetry") ? html`<p class="soft">${numbers.symmetry_note}</p>` : nothing}
  </section>`;
}

/** @param {Row} row @param {import("./cycles.js").Cycles} cycles */
function line({ key, measure }, cycles) {
  const number = shownComparison(measure);
  const name = nameOf(measure);
  const value = (/** @type {Which} */ which) => {
    const set = number[which];
    if (!set) return html`<td class="number">${DASH}</td><td></td>`;
    const label = compare.to_cycles(name, which, `${set.mean} ${number.unit}`, set.n);
    return html`<td class="number">
        <button class="quiet numbers-value" data-set=${which} aria-label=${label} @click=${(/** @type {Event} */ event) => cycles.list(/** @type {HTMLElement} */ (event.currentTarget), measure, which, name)}>${set.mean}</button>
      </td>
      <td class="number soft">${set.n}</td>`;
  };
  return html`<tr data-key=${key} data-kind=${measure.kind} data-side=${measure.side ?? ""}>
    <th scope="row">${numbers.measure(measure.kind)}</th>
    <td>${sideOf(measure)}</td>
    ${value("before")} ${value("after")}
    <td class="number"><strong>${number.difference?.value ?? DASH}</strong></td>
    <td class="number">${number.difference?.interval ? numbers.table.interval(...number.difference.interval) : ""}</td>
    <td>${number.unit_of_difference === number.unit ? number.unit : `${number.unit}, ${number.unit_of_difference}`}</td>
    ${measure.verdict === "not_comparable"
      ? html`<td colspan="2" class="numbers-why">${measure.absence ? `${measure.absence.message} ${measure.absence.hint}` : measure.sentence}</td>`
      : html`<td>${gatesInShapes(measure.gates)}</td><td title=${measure.sentence}>${compare.verdicts[measure.verdict]}</td>`}
  </tr>`;
}

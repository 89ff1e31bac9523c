// The chart's values as a table: read, copied, each leading to its session. The newest first; a long one is shown in
// part and copied whole.

import { html, nothing } from "../vendor/lit-html/lit-html.js";
import { repeat } from "../vendor/lit-html/directives/repeat.js";
import { DASH } from "../numbers/format.js";
import { numbers } from "../words/numbers.js";
import { visits } from "../words/visits.js";
import { barOf, entriesOf, sidesShown, valueOf, writerOf } from "./points.js";

/** @typedef {import("./types.js").HistoryEntry} HistoryEntry */
/** @typedef {import("./types.js").MeasureHistory} MeasureHistory */
/** @typedef {import("./types.js").Side} Side */

const words = visits.history;

/**
 * @param {MeasureHistory} history
 * @param {import("./points.js").Choice} choice
 * @param {{rows: number, more: () => void, open: (entry: HistoryEntry) => void, isOther: (label: string) => boolean}} how
 */
export function historyTable(history, choice, { rows, more, open, isOther }) {
  const sides = sidesShown(history, choice);
  const writer = writerOf(history);
  const entries = entriesOf(history, choice).toReversed();
  const { columns } = words;
  return html`<div class="visits-values table-scroll" tabindex="0" role="region" aria-label=${words.region}>
      <table>
        <caption class="only-heard">${words.axis(numbers.measure(history.kind), writer.unit)}</caption>
        <thead><tr>
          <th scope="col">${columns.date}</th>
          <th scope="col">${columns.clip}</th>
          ${sides.map((side) => html`<th scope="col" class="number">${side ? `${numbers.side(side)}, ` : ""}${writer.unit}</th><th scope="col" class="number">${columns.interval}</th><th scope="col" class="number">${columns.n}</th>`)}
        </tr></thead>
        <tbody>${repeat(entries.slice(0, rows), (entry) => `${entry.session} ${entry.clip}`, (entry) => line(entry, sides, writer.write, { open, isOther }))}</tbody>
      </table>
    </div>
    ${entries.length > rows ? html`<button type="button" class="quiet" data-action="more-values" @click=${more}>${visits.show_rest(entries.length - rows)}</button>` : nothing}`;
}

/** @param {HistoryEntry} entry @param {Side[]} sides @param {(value: number) => string} write @param {{open: (entry: HistoryEntry) => void, isOther: (label: string) => boolean}} how */
function line(entry, sides, write, { open, isOther }) {
  return html`<tr data-session=${entry.session} data-clip=${entry.clip}>
    <th scope="row"><button type="button" class="quiet" aria-label=${visits.open_named(entry.date, entry.title)} @click=${() => open(entry)}>${entry.date}</button></th>
    <td>${isOther(entry.athlete_label) ? html`<span class="visits-other">${entry.athlete_label || visits.unnamed}</span>: ` : nothing}${entry.title}${entry.changes.length === 0 ? nothing : html`<span class="visits-changes"><span aria-hidden="true">▴ </span><span class="only-heard">${words.changed}: </span>${entry.changes.join("; ")}</span>`}</td>
    ${sides.map((side) => cells(entry, side, write))}
  </tr>`;
}

/** @param {HistoryEntry} entry @param {Side} side @param {(value: number) => string} write */
function cells(entry, side, write) {
  const value = valueOf(entry, side);
  if (!value || value.value === null) {
    return html`<td class="number">${DASH}</td><td colspan="2" class="numbers-why">${value?.absence?.message}</td>`;
  }
  const { n, in_doubt } = value;
  return html`<td class="number"><strong>${write(value.value)}</strong>${in_doubt ? html` <span class="numbers-flagged">${words.flagged}</span>` : nothing}</td>
    <td class="number">${barOf(value, write)}</td>
    <td class="number">${n}</td>`;
}

/** All of it as lines of cells, by date, with a heading. @param {MeasureHistory} history @param {import("./points.js").Choice} choice */
export function historyLines(history, choice) {
  const sides = sidesShown(history, choice);
  const { unit, write } = writerOf(history);
  const { columns } = words;
  const ofSide = (/** @type {Side} */ side) => [columns.value, words.uncertainty, words.low, words.high, columns.n, words.reason].map((column) => words.of_side(column, side));
  const head = [columns.date, columns.clip, words.unit, ...sides.flatMap(ofSide), columns.changes];
  const lines = entriesOf(history, choice).map((entry) => [
    entry.date,
    entry.title,
    unit,
    ...sides.flatMap((side) => {
      const value = valueOf(entry, side);
      const number = (/** @type {number|null|undefined} */ one) => (one === null || one === undefined ? "" : write(one));
      return [number(value?.value), number(value?.uncertainty), number(value?.interval?.[0]), number(value?.interval?.[1]), String(value?.n ?? ""), value?.absence?.message ?? ""];
    }),
    entry.changes.join("; "),
  ]);
  return [head, ...lines];
}

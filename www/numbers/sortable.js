// What tables of measures have in common: headings that sort, and rows that are copied as tab-separated text.
// Not for: what a row is.

import { html } from "../vendor/lit-html/lit-html.js";
import { numbers } from "../words/numbers.js";
import { plainMinus } from "./format.js";

/** What has no number stays at the end, whichever way the rest is sorted. */
export const LAST = Number.POSITIVE_INFINITY;

/** @template {string} Column @typedef {{column: Column, down: boolean}|null} Sorted null: in the order in which the measures are defined */

/**
 * Sorts in place by what `orderOf` gives for the column.
 * @template Row
 * @template {string} Column
 * @param {Row[]} rows
 * @param {Sorted<Column>} sorted
 * @param {(row: Row, column: Column) => string|number} orderOf
 */
export function sortRows(rows, sorted, orderOf) {
  if (!sorted) {
    return;
  }
  const way = sorted.down ? -1 : 1;
  rows.sort((one, other) => {
    const [a, b] = [orderOf(one, sorted.column), orderOf(other, sorted.column)];
    if (a === LAST || b === LAST) return Number(a === LAST) - Number(b === LAST);
    return way * (typeof a === "number" && typeof b === "number" ? a - b : String(a).localeCompare(String(b)));
  });
}

/**
 * A heading: up, down, and back to the order in which the measures are defined.
 * @template {string} Column
 * @param {{column: Column, name: string, isFigure: boolean}} head
 * @param {{sorted: Sorted<Column>}} state
 * @param {() => void} redraw
 */
export function heading({ column, name, isFigure }, state, redraw) {
  const sorted = state.sorted?.column === column ? state.sorted : null;
  const sort = () => {
    state.sorted = sorted === null ? { column, down: false } : sorted.down ? null : { column, down: true };
    redraw();
  };
  return html`<th scope="col" class=${isFigure ? "number" : ""} aria-sort=${sorted === null ? "none" : sorted.down ? "descending" : "ascending"}>
    <button class="quiet" @click=${sort}>${name}<span aria-hidden="true">${sorted === null ? "" : sorted.down ? "▾" : "▴"}</span></button>
  </th>`;
}

/** Cells as tab-separated lines, with the minus that a spreadsheet reads. @param {string[][]} lines */
export function tsvOf(lines) {
  return lines.map((cells) => cells.map((cell) => plainMinus(cell).replaceAll(/\s+/g, " ")).join("\t")).join("\n");
}

/**
 * Puts text on the clipboard and says so, or says why not.
 * @param {import("../sitting/types.js").Context} context
 * @param {string} text
 * @param {string} done
 */
export async function copyText(context, text, done) {
  try {
    await navigator.clipboard.writeText(text);
    context.say(done);
  } catch (refusal) {
    context.notify({ kind: "copy_refused", message: numbers.table.copy_refused, hint: refusal instanceof Error ? refusal.message : undefined, severity: "warning" });
  }
}

/**
 * Ctrl+C over a selection copies whole rows, tab-separated, and not the page's text. Rows of the body carry the row's
 * key as `data-key`.
 * @template {{key: string}} Row
 * @param {ClipboardEvent} event
 * @param {Row[]} rows
 * @param {(rows: Row[]) => string} asTsv
 */
export function copySelected(event, rows, asTsv) {
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

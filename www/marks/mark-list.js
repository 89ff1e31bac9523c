// The marks as a table: what the roll shows, for those who read, with the same actions on each row.
//
// Shows a window of the marks around the playhead, so that thousands cost no more than a few.

import { html, nothing } from "../vendor/lit-html/lit-html.js";
import { repeat } from "../vendor/lit-html/directives/repeat.js";
import { marks as words } from "../words/marks.js";
import { clipTime } from "./figures.js";
import { BINDINGS } from "./keys.js";
import { sign } from "./pads.js";

/** @typedef {import("./shapes.js").MarkShown} MarkShown */
/** @typedef {import("./shapes.js").Flag} Flag */

const ROWS = 60;

/**
 * @typedef {object} ListWishes
 * @property {(mark: MarkShown) => void} select
 * @property {(mark: MarkShown, frames: number) => void} nudge
 * @property {(mark: MarkShown, action: string) => void} retype an event's action
 * @property {(mark: MarkShown) => void} remove
 * @property {(from: number) => void} window
 * @property {() => void} close
 */

/**
 * @param {{marks: readonly MarkShown[], flags: readonly Flag[], selected: number | null, from: number, seconds: (ticks: number) => number, can: boolean, canMove: boolean, wishes: ListWishes}} how
 * `marks` in the order of time; `from` the first row
 */
export function listTemplate({ marks, flags, selected, from, seconds, can, canMove, wishes }) {
  const start = Math.min(Math.max(from, 0), Math.max(marks.length - ROWS, 0));
  const rows = marks.slice(start, start + ROWS);
  return html`<section class="marks-list" aria-label=${words.list.heading}>
    <header><h2>${words.list.heading}</h2>
      ${marks.length > ROWS ? html`<p class="marks-small">${words.list.window(start + 1, start + rows.length, marks.length)}
        <button type="button" ?disabled=${start === 0} @click=${() => wishes.window(start - ROWS)}>${words.list.window_before}</button>
        <button type="button" ?disabled=${start + ROWS >= marks.length} @click=${() => wishes.window(start + ROWS)}>${words.list.window_after}</button></p>` : nothing}
      <button type="button" class="quiet" @click=${wishes.close}>${words.list.close}</button></header>
    ${marks.length === 0 ? html`<p>${words.list.empty}</p>` : html`<div class="marks-list-scroll"><table>
      <thead><tr><th scope="col">${words.list.columns.event}</th><th scope="col">${words.list.columns.frame}</th><th scope="col">${words.list.columns.change}</th></tr></thead>
      <tbody>${repeat(rows, (mark) => mark.id, (mark) => row(mark))}</tbody></table></div>`}
  </section>`;

  /** @param {MarkShown} mark */
  function row(mark) {
    const what = words.event(mark.kind, mark.side);
    const retype = (/** @type {Event} */ event) => wishes.retype(mark, /** @type {HTMLSelectElement} */ (event.target).value);
    return html`<tr class=${mark.id === selected ? "marks-row-chosen" : ""} data-mark=${mark.id}>
      <td><div class="marks-list-event">${sign(mark)}<select aria-label=${`${words.list.retype}: ${what}, ${words.frame.heading} ${mark.frame ?? words.now.absent}`} ?disabled=${!can} @change=${retype}>
        ${BINDINGS.map(({ action, mark: to }) => (to ? html`<option value=${action} .selected=${to.kind === mark.kind && to.side === mark.side}>${words.event(to.kind, to.side)}</option>` : nothing))}</select></div>
        ${mark.flags.map((index) => (flags[index] ? html`<p class="marks-flag-text">${flags[index].message}</p>` : nothing))}</td>
      <td><button type="button" class="quiet marks-row-go" aria-pressed=${mark.id === selected} @click=${() => wishes.select(mark)}><strong>${mark.frame ?? words.now.absent}</strong> ${clipTime(seconds(mark.time))}
        ${mark.proof === "decoded" ? nothing : html`<span class="marks-small marks-soft">${words.list.proof[mark.proof] ?? mark.proof}</span>`}</button></td>
      <td class="marks-row-change">
        <button type="button" ?disabled=${!canMove} @click=${() => wishes.nudge(mark, -1)}><span aria-hidden="true">−1</span><span class="only-heard">${what}: ${words.list.earlier}</span></button>
        <button type="button" ?disabled=${!canMove} @click=${() => wishes.nudge(mark, 1)}><span aria-hidden="true">+1</span><span class="only-heard">${what}: ${words.list.later}</span></button>
        <button type="button" ?disabled=${!can} @click=${() => wishes.remove(mark)}><span aria-hidden="true">✕</span><span class="only-heard">${what}: ${words.list.delete}</span></button></td></tr>`;
  }
}

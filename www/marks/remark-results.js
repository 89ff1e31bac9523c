// What came out of marking again: how closely each kind of mark and measure is hit a second time, in two small tables
// with the sentences that follow. Figures and sentences come from Rust; here they are only written.

import { html, nothing } from "../vendor/lit-html/lit-html.js";
import { numbers } from "../words/numbers.js";
import { remark as words } from "../words/remark.js";
import { shownUnit } from "../numbers/format.js";
import { decimal, decimalsFor } from "./figures.js";

/** @typedef {import("../sitting/types.js").Repeatability} Repeatability */
/** @typedef {[number, number] | null} Interval */

/** Said another way by a measure that stands in the table: the table stays small. */
const SAID_ELSEWHERE = /^(?:cycle_rate|stroke_interval|phase_.*_duration|stroke_index)$|_frames$|(?:gap|clear|open|exhale|hold)_share$/;

/**
 * @param {Repeatability} repeatability
 * @param {{notKnown: string, close: () => void, key: string}} how
 */
export function resultsTemplate(repeatability, { notKnown, close, key }) {
  const { passes, per_mark, per_measure, sentences } = repeatability;
  const shownMeasures = per_measure.filter(({ kind }) => !SAID_ELSEWHERE.test(kind));
  return html`<section class="marks-sheet remark-results" aria-label=${words.table.heading}>
    <header><h2>${words.table.heading}</h2><p class="marks-small marks-soft">${passes > 0 ? words.table.passes(passes) : words.table.none}</p>
      <button type="button" class="remark-close" @click=${close}>${words.close} <kbd>${key}</kbd></button></header>
    ${passes === 0 ? html`<p>${notKnown}</p>` : html`
    <ul class="remark-sentences">${sentences.map((sentence) => html`<li>${sentence}</li>`)}</ul>
    <div class="remark-tables">
      <table data-table="marks"><caption>${words.table.marks}</caption>${head(words.table.event, true)}
        <tbody>${per_mark.map((mark) => row({
    name: words.table.event_name(mark.kind), kind: mark.kind, n: mark.n, unit: null, factor: 1, decimals: 1,
    sem: mark.sem_ms, semInterval: mark.sem_interval_ms, mdc: mark.mdc_ms, shift: mark.shift_ms, shiftInterval: mark.shift_interval_ms,
    frames: mark.mdc_frames, semFrames: mark.sem_frames, tooFew: mark.too_few,
  }))}</tbody></table>
      ${shownMeasures.length === 0 ? nothing : html`<table data-table="measures"><caption>${words.table.measures}</caption>${head(words.table.measure, false)}
        <tbody>${shownMeasures.map((measure) => {
    const { unit, factor } = shownUnit(measure.kind, measure.unit);
    return row({
      name: numbers.measure(measure.kind), kind: measure.kind, n: measure.n, unit, factor,
      // Two figures of the SEM, or three.
      decimals: unit === "ms" ? 1 : decimalsFor(((measure.sem ?? 0) * factor) / 10),
      sem: measure.sem, semInterval: measure.sem_interval, mdc: measure.mdc, shift: measure.shift, shiftInterval: measure.shift_interval,
      frames: null, semFrames: null, tooFew: measure.too_few,
    });
  })}</tbody></table>`}
    </div>
    <p class="marks-small marks-soft">${words.table.frames_in_it} ${words.table.more}</p>`}
  </section>`;
}

/** @param {string} first @param {boolean} isInMs */
function head(first, isInMs) {
  const ms = isInMs ? html` <span class="marks-unit">${words.table.ms}</span>` : nothing;
  return html`<thead><tr><th scope="col">${first}</th><th scope="col" class="remark-number">${words.table.pairs}</th>
    <th scope="col" class="remark-number" title=${words.table.sem_long}>${words.table.sem}${ms}</th>
    <th scope="col" class="remark-number" title=${words.table.mdc_long}>${words.table.mdc}${ms}</th>
    <th scope="col" class="remark-number" title=${words.table.shift_long}>${words.table.shift}${ms}</th></tr></thead>`;
}

/**
 * @param {{name: string, kind: string, n: number, unit: string | null, factor: number, decimals: number, sem: number | null, semInterval: Interval,
 *   mdc: number | null, shift: number | null, shiftInterval: Interval, frames: number | null, semFrames: number | null, tooFew: {message: string, hint: string} | null}} line
 */
function row(line) {
  const written = (/** @type {number} */ value) => decimal(value * line.factor, line.decimals);
  const small = (/** @type {unknown} */ what) => html`<span class="remark-small">${what}</span>`;
  const interval = (/** @type {Interval} */ ends) => (ends ? small(words.table.interval(written(ends[0]), written(ends[1]))) : nothing);
  const inFrames = (/** @type {number | null} */ frames) => (frames === null ? nothing : small(words.table.frames(decimal(frames, 1))));
  const shift = html`<td class="remark-number">${line.shift === null ? "–" : html`${line.shift > 0 ? "+" : ""}${written(line.shift)}`}${interval(line.shiftInterval)}</td>`;
  return html`<tr data-kind=${line.kind}><th scope="row">${line.name}${line.unit === null ? nothing : html` <span class="marks-unit">${line.unit}</span>`}</th><td class="remark-number">${line.n}</td>
    ${line.sem === null || line.mdc === null ? html`<td colspan="2" class="remark-few">${line.tooFew ? `${line.tooFew.message} ${line.tooFew.hint}` : ""}</td>` : html`
    <td class="remark-number"><strong data-figure="sem">${written(line.sem)}</strong>${interval(line.semInterval)}${inFrames(line.semFrames)}</td>
    <td class="remark-number"><strong data-figure="mdc">${written(line.mdc)}</strong>${inFrames(line.frames)}</td>`}
    ${shift}</tr>`;
}

// The board: the few numbers that are read at arm's length, each with unit, ±, n, and its way to the frames.

import { html, nothing } from "../vendor/lit-html/lit-html.js";
import { numbers as words } from "../words/numbers.js";
import { rateTag } from "./basis.js";
import { DASH, shown } from "./format.js";

/** @typedef {import("./types.js").Measure} Measure */
/** @typedef {import("./types.js").Breathing} Breathing */

/**
 * @typedef {object} Board
 * @property {Measure[]} measures
 * @property {any} analysis
 * @property {import("../sitting/types.js").ClipView} clip
 * @property {import("./frames.js").Frames} frames
 */

/** @type {{name: "rate"|"gap"|"coordination", kinds: string[]}[]} The first kind is the headline. */
const GROUPS = [
  { name: "rate", kinds: ["stroke_rate", "cycle_rate", "stroke_interval"] },
  { name: "gap", kinds: ["propulsive_gap", "propulsive_gap_frames", "propulsive_gap_share"] },
  { name: "coordination", kinds: ["index_of_coordination"] },
];

/**
 * The mean over the clip of one kind.
 * @param {Measure[]} measures
 * @param {string} kind
 * @param {"left"|"right"|null} side
 * @param {Breathing} breathing
 */
export function meanOf(measures, kind, side, breathing) {
  return measures.find((measure) => measure.kind === kind && measure.side === side && measure.breathing === breathing && measure.cycle === null);
}

/** The signs of the charts. @type {Record<string, string>} */
const SHAPES = { left: "square", right: "square", breathing: "diamond", "non-breathing": "circle" };

/** @param {Board} board */
export function figures(board) {
  return html`<div class="numbers-board">
    ${GROUPS.map(({ name, kinds }) => {
      const group = words.groups[name];
      const heading = `numbers-${name}`;
      return html`<section class="numbers-group" data-group=${name} aria-labelledby=${heading}>
        <div class="numbers-group-head">
          <h2 id=${heading}>${group.title}</h2>
          ${rateTag(board)}
        </div>
        <div class="numbers-headline">
          ${kinds.map((kind, index) => figure(board, meanOf(board.measures, kind, null, "all"), index === 0 ? "large" : "plain"))}
          ${group.note ? html`<p class="numbers-note soft">${group.note}</p>` : nothing}
        </div>
        <dl class="numbers-splits">
          ${split(board, group.left, meanOf(board.measures, kinds[0], "left", "all"), "left")}
          ${split(board, group.right, meanOf(board.measures, kinds[0], "right", "all"), "right")}
          ${split(board, words.split.breathing, meanOf(board.measures, kinds[0], null, "breathing"), "breathing")}
          ${split(board, words.split.non_breathing, meanOf(board.measures, kinds[0], null, "non_breathing"), "non-breathing")}
        </dl>
      </section>`;
    })}
  </div>`;
}

/**
 * @param {Board} board
 * @param {string} label
 * @param {Measure|undefined} measure
 * @param {string} sort
 */
function split(board, label, measure, sort) {
  return html`<div class="numbers-split" data-split=${sort}>
    <dt><span class="numbers-shape" data-shape=${SHAPES[sort]} data-side=${sort}></span>${label}</dt>
    <dd>${figure(board, measure, "plain")}</dd>
  </div>`;
}

/**
 * One number: a button to its frames, or a dash with the reason.
 * @param {Board} board
 * @param {Measure|undefined} measure
 * @param {"large"|"plain"} size
 */
function figure(board, measure, size) {
  if (!measure) {
    return nothing;
  }
  const name = words.measure(measure.kind);
  const of = [
    ...(measure.side === null ? [] : [words.side(measure.side)]),
    words.breathing(measure.breathing),
  ].join(", ");
  const number = shown(measure);
  const flags = measure.flags.map((index) => board.analysis.flags[index]);
  return html`<div class="numbers-figure ${size}" data-kind=${measure.kind} data-side=${measure.side ?? ""} data-breathing=${measure.breathing}>
    ${number === null
      ? noNumber(measure, name, of)
      : html`<button
            class="quiet numbers-value"
            aria-label=${words.to_frames(name, of, words.with_unit(number.value, number.uncertainty, number.unit), number.n)}
            @click=${() => board.frames.go(measure.marks)}
          >${number.value}</button>
          <button
            class="quiet numbers-n"
            aria-label=${words.frames.open(`${name}, ${of}`, number.n)}
            @click=${(/** @type {Event} */ event) => board.frames.list(/** @type {HTMLElement} */ (event.currentTarget), `${name}, ${of}`, measure.marks)}
          >${words.n(number.n)}</button>
          <span class="rest">${number.uncertainty === null ? nothing : html`<span class="spread">± ${number.uncertainty}</span>`} <span class="unit">${number.unit}</span></span>
          ${size === "large" && number.interval ? html`<span class="interval">${words.interval(number.interval[0], number.interval[1])}</span>` : nothing}`}
    ${flags.length === 0 ? nothing : flagged(flags)}
  </div>`;
}

let reasons = 0;

/**
 * @param {Measure} measure
 * @param {string} name
 * @param {string} of
 */
function noNumber(measure, name, of) {
  const absence = measure.absence;
  const id = `numbers-reason-${(reasons = (reasons + 1) % 1e6)}`;
  return html`<span class="numbers-none">
    <button class="quiet" aria-label=${words.no_number(name, of)} aria-describedby=${id}>${DASH}</button>
    <span class="numbers-reason" role="tooltip" id=${id}>${absence?.message} ${absence?.hint}</span>
  </span>`;
}

/** @param {any[]} flags */
function flagged(flags) {
  const id = `numbers-reason-${(reasons = (reasons + 1) % 1e6)}`;
  return html`<span class="numbers-none">
    <button class="quiet numbers-flagged" aria-describedby=${id}>${words.flagged}</button>
    <span class="numbers-reason" role="tooltip" id=${id}>${words.flagged_why(flags.length)} ${flags.map((flag) => flag.message).join(" ")}</span>
  </span>`;
}

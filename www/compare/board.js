// The answer first: rate, gap and coordination before and after, each with its difference, what may be said of it, and
// the three gates; beside it the same for each arm and for breathing and other strokes.

import { html, nothing } from "../vendor/lit-html/lit-html.js";
import { decimal } from "../marks/figures.js";
import { compare as words } from "../words/compare.js";
import { numbers } from "../words/numbers.js";
import { USUAL_KINDS } from "./choice.js";
import { chance, nameOf, shownComparison } from "./format.js";
import { gateReasons, gatesInShapes, gatesInWords } from "./gates.js";

/** @typedef {import("./types.js").MeasureComparison} MeasureComparison */
/** @typedef {import("./types.js").Comparison} Comparison */
/** @typedef {import("./cycles.js").Cycles} Cycles */
/** @typedef {"before"|"after"} Which */

/** What the splits by arm are called, where an arm alone would not say it. @type {Record<string, {left: string, right: string}>} */
const SPLITS = { propulsive_gap: words.groups.gap, propulsive_gap_frames: words.groups.gap, propulsive_gap_share: words.groups.gap, lead_arm_lag: words.groups.gap, index_of_coordination: words.groups.coordination };

/** What stands on the board: what is asked, or the usual where everything is. @param {string[]} kinds */
export function boardKinds(kinds) {
  return kinds.length > 0 ? kinds : USUAL_KINDS;
}

/**
 * @typedef {object} Answer
 * @property {Comparison} comparison
 * @property {string[]} kinds                  what is asked
 * @property {Comparison|null} breathing       the breathing strokes of both sets alone; null where the sets are chosen by breathing
 * @property {Comparison|null} non_breathing
 * @property {boolean} paired
 * @property {Cycles} cycles
 */

/**
 * One kind of one arm, or of both.
 * @param {Comparison|null} comparison
 * @param {string} kind
 * @param {"left"|"right"|null} side
 */
export function find(comparison, kind, side = null) {
  return comparison?.measures.find((measure) => measure.kind === kind && measure.side === side) ?? null;
}

/** @param {Answer} answer */
export function board(answer) {
  return html`<div class="compare-board">
    ${boardKinds(answer.kinds).map((kind) => {
      const group = SPLITS[kind] ?? words.groups.arms;
      const heading = `compare-group-${kind}`;
      return html`<section class="compare-group" data-group=${kind} aria-labelledby=${heading}>
        <h2 id=${heading}>${numbers.measure(kind)}</h2>
        ${headline(answer, find(answer.comparison, kind))}
        <ul class="compare-splits">
          ${split(answer, group.left, find(answer.comparison, kind, "left"), "left")}
          ${split(answer, group.right, find(answer.comparison, kind, "right"), "right")}
          ${answer.breathing ? split(answer, words.split.breathing, find(answer.breathing, kind), "breathing") : nothing}
          ${answer.non_breathing ? split(answer, words.split.non_breathing, find(answer.non_breathing, kind), "non-breathing") : nothing}
        </ul>
      </section>`;
    })}
  </div>`;
}

/** @param {Answer} answer @param {MeasureComparison|null} measure */
function headline(answer, measure) {
  if (!measure) {
    return html`<p class="compare-none">${words.no_value}</p>`;
  }
  return html`<div class="compare-answer" data-kind=${measure.kind} data-verdict=${measure.verdict}>
    <div class="compare-figures">
      <p class="compare-values large">
        ${values(measure, nameOf(measure), answer.cycles)} <span class="unit">${shownComparison(measure).unit}</span>
      </p>
      ${difference(measure)} ${measure.verdict === "not_comparable" ? nothing : gatesInWords(measure.gates)}
    </div>
    <div class="compare-said">
      <p class="compare-sentence">${measure.sentence} ${measure.settle ? html`<span class="compare-settle">${measure.settle}</span>` : nothing}</p>
      ${measure.verdict === "not_comparable" ? absence(measure) : nothing} ${decided(measure, answer.paired)}
    </div>
  </div>`;
}

/** @param {MeasureComparison} measure */
function absence({ absence: why, sentence }) {
  if (!why) return nothing;
  // The sentence may already say it.
  const said = [why.message, why.hint].filter((text) => text && !sentence.includes(text));
  return said.length === 0 ? nothing : html`<p class="soft">${said.join(" ")}</p>`;
}

/**
 * Before and after: two buttons to their cycles.
 * @param {MeasureComparison} measure
 * @param {string} name
 * @param {Cycles} cycles
 */
export function values(measure, name, cycles) {
  const number = shownComparison(measure);
  const one = (/** @type {Which} */ which) => {
    const set = number[which];
    return set === null ? html`<span class="soft" data-set=${which}>${words.no_value}</span>` : html`<button
      class="quiet numbers-value"
      data-set=${which}
      aria-label=${words.to_cycles(name, which, `${set.mean} ${number.unit}`, set.n)}
      @click=${(/** @type {Event} */ event) => cycles.list(/** @type {HTMLElement} */ (event.currentTarget), measure, which, name)}
    >${set.mean}</button>`;
  };
  return html`${one("before")} <span aria-hidden="true" class="compare-arrow">${words.arrow}</span><span class="only-heard">${words.arrow_heard}</span> ${one("after")}`;
}

/** @param {MeasureComparison} measure */
function difference(measure) {
  const { difference: number, unit_of_difference: unit } = shownComparison(measure);
  if (!number) return nothing;
  return html`<p class="compare-difference">
    <span class="soft">${words.difference}</span>
    <strong>${number.value} ${unit}</strong>
    <span class="interval">${number.interval ? words.interval(...number.interval) : words.no_interval}</span>
  </p>`;
}

/** @param {MeasureComparison} measure @param {boolean} paired */
function decided({ gates, welch, permutation, hedges_g, verdict }, paired) {
  if (verdict === "not_comparable") return nothing;
  return html`<details class="compare-how">
    <summary>${words.how}</summary>
    <ul>
      ${gateReasons(gates)}
      ${welch ? html`<li>${words.tests[paired ? "paired" : "welch"](decimal(welch.t, 2), decimal(welch.degrees_of_freedom, 1), chance(welch.p), chance(welch.p_holm))}</li>` : nothing}
      ${permutation ? html`<li>${words.tests.permutation(chance(permutation.p), chance(permutation.p_holm), permutation.arrangements, permutation.exact)}</li>` : nothing}
      ${hedges_g === null ? nothing : html`<li>${words.tests.hedges(decimal(hedges_g, 2))}</li>`}
      <li><a href="methods.html">${words.methods}</a></li>
    </ul>
  </details>`;
}

/** The signs of the charts. @type {Record<string, string>} */
const SHAPES = { left: "square", right: "square", breathing: "diamond", "non-breathing": "circle" };

/**
 * @param {Answer} answer
 * @param {string} label
 * @param {MeasureComparison|null} measure
 * @param {"left"|"right"|"breathing"|"non-breathing"} sort
 */
function split({ cycles }, label, measure, sort) {
  const title = html`<h3><span class="numbers-shape" data-shape=${SHAPES[sort]} data-side=${sort}></span>${label}</h3>`;
  if (!measure) {
    return html`<li class="compare-split" data-split=${sort}>${title}<p class="soft">${words.no_value}</p></li>`;
  }
  const { difference: number, unit_of_difference: unit } = shownComparison(measure);
  return html`<li class="compare-split" data-split=${sort} data-kind=${measure.kind} data-verdict=${measure.verdict}>
    ${title}
    <p class="compare-values">${values(measure, `${nameOf({ ...measure, side: null })}, ${label}`, cycles)}</p>
    ${number
      ? html`<p class="small"><strong>${number.value} ${unit}</strong>${number.interval ? html`<br /><span class="soft">${words.interval(...number.interval)}</span>` : nothing}</p>`
      : nothing}
    <p class="compare-split-verdict small" title=${measure.sentence}>
      ${measure.verdict === "not_comparable" ? nothing : gatesInShapes(measure.gates)}
      ${words.verdicts[measure.verdict]}
    </p>
  </li>`;
}

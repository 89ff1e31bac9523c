// The now column: the frame under the playhead and the cycle it lies in, in figures to be read from a distance.
//
// Asks the sitting only when the playhead enters another cycle. Not for: means over the clip (numbers view).

import { html, nothing, svg } from "../vendor/lit-html/lit-html.js";
import { marks as words } from "../words/marks.js";
import { clipTime, decimal, decimalsFor, frameRate, valueAndError } from "./figures.js";
import { PHASES, PHASE_HEIGHT } from "./textures.js";

/** @typedef {import("./shapes.js").Measure} Measure */
/** @typedef {import("./shapes.js").NowView} NowView */
/** @typedef {import("./shapes.js").Phase} Phase */
/** @typedef {import("./clip-clock.js").ClipClock} ClipClock */

/** @type {readonly ("left" | "right")[]} */
const SIDES = ["left", "right"];

/**
 * @param {NowView | null} now
 * @param {string} kind
 * @param {"left" | "right"} side
 * @returns {Measure | null}
 */
function measureOf(now, kind, side) {
  const index = side === "left" ? now?.left_cycle : now?.right_cycle;
  if (index === null || index === undefined) return null;
  return now?.measures.find((measure) => measure.kind === kind && measure.side === side && measure.cycle === index) ?? null;
}

/** @param {NowView | null} now @param {string} kind @param {"left" | "right"} side */
function reasonOf(now, kind, side) {
  const index = side === "left" ? now?.left_cycle : now?.right_cycle;
  if (index === null || index === undefined) return words.now.no_cycle;
  const absence = measureOf(now, kind, side)?.absence;
  return absence ? `${absence.message} ${absence.hint}`.trim() : words.now.no_measure;
}

/** A dash that gives its reason on focus. @param {string} reason */
function absent(reason) {
  return html`<button type="button" class="marks-absent" aria-label=${`${words.now.absent} ${reason}`}>${words.now.absent}<span
    class="marks-reason" aria-hidden="true">${reason}</span></button>`;
}

/** @param {NowView | null} now @param {string} kind @param {"left" | "right"} side @param {number} [scale] */
function largeFigure(now, kind, side, scale = 1) {
  const quantity = measureOf(now, kind, side)?.quantity;
  if (!quantity) return html`<span class="marks-figure">${absent(reasonOf(now, kind, side))}</span>`;
  const { value, error } = valueAndError(quantity, scale);
  return html`<span class="marks-figure">${value}<span class="marks-error">±${error}</span></span>`;
}

/** A gap below nought is an overlap, and is called so. @param {NowView | null} now @param {"left" | "right"} side */
function gapFigures(now, side) {
  const gap = measureOf(now, "propulsive_gap", side)?.quantity;
  return html`${largeFigure(now, "propulsive_gap", side, 1000)}
    ${gap && gap.value < 0 ? html`<span class="marks-small">${words.now.overlap}</span>` : nothing}
    ${smallFigure(now, "propulsive_gap_frames", side, words.now.frames)}
    ${smallFigure(now, "propulsive_gap_share", side, words.now.of_cycle)}`;
}

/** @param {NowView | null} now @param {string} kind @param {"left" | "right"} side @param {string} unit @param {number} [scale] */
function smallFigure(now, kind, side, unit, scale = 1) {
  const quantity = measureOf(now, kind, side)?.quantity;
  if (!quantity) return nothing;
  const { value, error } = valueAndError(quantity, scale);
  return html`<span class="marks-small">${value} <span class="marks-soft">±${error}</span> ${unit}</span>`;
}

/** @param {NowView | null} now @param {string} kind @param {number} [scale] */
function meanOf(now, kind, scale = 1) {
  const means = now?.means.filter((measure) => measure.kind === kind && measure.breathing === "all" && measure.quantity) ?? [];
  const both = means.find((measure) => measure.side === null) ?? null;
  if (!both?.quantity) return nothing;
  const { value, error } = valueAndError(both.quantity, scale);
  return html`<span class="marks-mean">${words.now.mean(value, error, both.n)}</span>`;
}

/** @param {"rate" | "gap" | "coordination" | "phases"} name @param {string} title @param {unknown} unit @param {unknown} mean @param {(side: "left" | "right") => unknown} cell */
function block(name, title, unit, mean, cell) {
  return html`<section class=${`marks-block marks-block-${name}`}>
    <h3><span class="marks-long">${title}</span><span class="marks-short" aria-hidden="true">${words.now[`${name}_short`]}</span> <span class="marks-unit">${unit}</span> ${mean}</h3>
    <div class="marks-two">${SIDES.map((side) => html`<div class=${`marks-cell marks-cell-${side}`}><span class="only-heard">${words.Side[side]}</span>${cell(side)}</div>`)}</div>
  </section>`;
}

/** One cycle as four stretches, as tall and as textured as on the roll. @param {NowView | null} now @param {"left" | "right"} side */
function phaseBar(now, side) {
  const shares = PHASES.map((phase) => measureOf(now, `phase_${phase}`, side)?.quantity?.value ?? null);
  if (shares.some((share) => share === null)) return html`<span class="marks-figure marks-figure-less">${absent(reasonOf(now, "phase_entry_and_catch", side))}</span>`;
  let x = 0;
  const bars = PHASES.map((phase, index) => {
    const wide = /** @type {number} */ (shares[index]);
    const tall = 22 * PHASE_HEIGHT[phase];
    const y = side === "left" ? 24 - tall : 0;
    const bar = svg`<rect x=${x} y=${y} width=${wide} height=${tall} class=${`marks-phase marks-phase-${phase} marks-phase-${side}`}
      fill=${phase === "push" || phase === "recovery" ? nothing : `url(#marks-${phase}-${side})`}></rect>`;
    x += wide;
    return bar;
  });
  const decimals = Math.min(decimalsFor(phaseError(now) ?? 1), 1);
  return html`<svg class="marks-phase-bar" viewBox="0 0 100 24" preserveAspectRatio="none" aria-hidden="true">${bars}</svg>
    <dl class="marks-phase-list">${PHASES.map((phase, index) => html`<div><dt>${words.phase_short[phase]}</dt><dd>${decimal(/** @type {number} */ (shares[index]), decimals)}</dd></div>`)}</dl>`;
}

/** The largest uncertainty of a phase in these cycles, % of the cycle. @param {NowView | null} now */
function phaseError(now) {
  const errors = SIDES.flatMap((side) => PHASES.map((phase) => measureOf(now, `phase_${phase}`, side)?.quantity?.uncertainty ?? 0));
  const most = Math.max(...errors);
  return most > 0 ? most : null;
}

/** The textures of the phase bars; once in the page. */
export function phaseTextures() {
  return html`<svg class="marks-textures" width="0" height="0" aria-hidden="true"><defs>${SIDES.map((side) => svg`
    <pattern id=${`marks-entry_and_catch-${side}`} width="5" height="5" patternUnits="userSpaceOnUse"><rect width="5" height="5" class=${`marks-ground-${side}`}></rect><circle cx="1.5" cy="1.5" r="1" class=${`marks-ink-${side}`}></circle></pattern>
    <pattern id=${`marks-pull-${side}`} width="4" height="4" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><rect width="4" height="4" class=${`marks-ground-${side}`}></rect><rect width="2" height="4" class=${`marks-ink-${side}`}></rect></pattern>`)}
  </defs></svg>`;
}

/** @param {NowView | null} now @param {(side: "left" | "right") => boolean | null} breathing */
export function nowTemplate(now, breathing) {
  const heading = (/** @type {"left" | "right"} */ side) => {
    const index = side === "left" ? now?.left_cycle : now?.right_cycle;
    const named = index === null || index === undefined ? words.now.cycle_none : words.now.cycle(index);
    const breath = breathing(side);
    return html`<div class=${`marks-head marks-cell-${side}`}><strong>${words.Side[side]}</strong> <span>${named}</span>
      <span class=${`marks-breath marks-breath-${String(breath)}`} title=${breath === null ? words.now.breath_unknown : words.now.breath_state[String(breath)]}>${words.now.breath_short[String(breath)]}</span></div>`;
  };
  const error = phaseError(now);
  return html`
    <h2 class="only-heard">${words.now.heading}</h2>
    <div class="marks-two marks-heads">${SIDES.map(heading)}</div>
    ${block("rate", words.now.rate, words.now.strokes_per_min, meanOf(now, "stroke_rate"), (side) => html`
      ${largeFigure(now, "stroke_rate", side)}
      ${smallFigure(now, "cycle_rate", side, words.now.cycles_per_min)}
      ${smallFigure(now, "stroke_interval", side, words.now.s_per_stroke)}`)}
    ${block("gap", words.now.gap, html`ms<span class="marks-long"> ${words.now.gap_where}</span>`, meanOf(now, "propulsive_gap", 1000), (side) => gapFigures(now, side))}
    ${block("coordination", words.now.coordination, html`%<span class="marks-long"> ${words.now.coordination_where}</span>`, meanOf(now, "index_of_coordination"), (side) => largeFigure(now, "index_of_coordination", side))}
    ${block("phases", words.now.phases, error === null ? "" : words.now.each(decimal(error, decimalsFor(error))), nothing, (side) => phaseBar(now, side))}`;
}

/**
 * Where the playhead stands and how far that can be trusted.
 * @param {{frame: number, ticks: number, proof: string}} playhead
 * @param {ClipClock} clock
 * @param {number | null} frameErrorMs
 */
export function frameTemplate(playhead, clock, frameErrorMs) {
  const rate = frameRate(clock.filmedRate ?? clock.frameRate);
  return html`<section class="marks-frame">
    <h2 class="only-heard">${words.frame.heading}</h2>
    <p class="marks-frame-line"><span class="marks-figure marks-frame-number">${playhead.frame}</span>
      <span class="marks-soft">${words.frame.of(clock.frameCount - 1)}</span>
      <span class="marks-clip-time">${clipTime(clock.seconds(playhead.ticks))}</span>
      <span class=${`marks-proof marks-proof-${playhead.proof}`} title=${words.frame.proof_help[playhead.proof] ?? ""}>${words.frame.proof[playhead.proof] ?? playhead.proof}</span></p>
    <p class="marks-small marks-soft">${clock.filmedRate === null ? words.frame.rate_as_written(rate) : words.frame.rate_stated(rate)}${frameErrorMs ? html`<span class="marks-long">; ${words.frame.error(decimal(frameErrorMs, 1))}</span>` : nothing}</p>
  </section>`;
}

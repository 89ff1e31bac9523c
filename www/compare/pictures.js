// The comparison's pictures: every cycle with the difference, phases as pairs, a wheel for each set. Drawn in Rust
// (crates/report); here they get their places, their legend, their ways to the frames, and the same as a table.

import { html, nothing } from "../vendor/lit-html/lit-html.js";
import { live } from "../vendor/lit-html/directives/live.js";
import { putPicture } from "../numbers/wheel.js";
import { compare } from "../words/compare.js";
import { numbers } from "../words/numbers.js";
import { boardKinds, find } from "./board.js";
import { clipName, nameOf, shownComparison } from "./format.js";

/** @typedef {import("./types.js").Comparison} Comparison */
/** @typedef {import("./types.js").MeasureComparison} MeasureComparison */
/** @typedef {import("./types.js").Sets} Sets */
/** @typedef {"before"|"after"} Which */

const words = compare.charts;
const PHASES = ["phase_entry_and_catch", "phase_pull", "phase_push", "phase_recovery"];
/**
 * Widths of a chart in its own units, of which letters are 15 high: as wide as its place, so that they are 15 px too.
 * Two stand beside each other on paper and on a wide screen.
 */
const WIDE = 600;
const NARROW = 350;

/** What the pictures section shows now; kept by the view from one drawing to the next. */
export class PictureState {
  /** Kind and side of the fourth chart. */
  another = "propulsive_share null";
  /** @type {"left"|"right"} */
  near = "left";
}

export class Pictures {
  #context;
  #cycles;
  /** Whether the page is being put on paper. */
  isPrinting = false;
  /** What was put where, so that a picture is parsed once. @type {Map<Element, string|null>} */
  #put = new Map();

  /** @param {import("../sitting/types.js").Context} context @param {import("./cycles.js").Cycles} cycles */
  constructor(context, cycles) {
    this.#context = context;
    this.#cycles = cycles;
  }

  /**
   * @param {{comparison: Comparison, kinds: string[], sets: Sets, state: PictureState, redraw: () => void}} shown
   */
  sections({ comparison, kinds, sets, state, redraw }) {
    const several = comparison.measures.filter(({ before, after }) => before || after);
    const another = several.find(({ kind, side }) => `${kind} ${side}` === state.another) ?? null;
    const headlines = boardKinds(kinds).map((kind) => find(comparison, kind)).filter((measure) => measure !== null);
    const choose = html`<select
      aria-label=${words.another}
      .value=${live(state.another)}
      @change=${(/** @type {Event} */ event) => {
        state.another = /** @type {HTMLSelectElement} */ (event.target).value;
        redraw();
      }}
    >
      ${several.map((measure) => {
        const key = `${measure.kind} ${measure.side}`;
        return html`<option value=${key} ?selected=${key === state.another}>${nameOf(measure)}</option>`;
      })}
    </select>`;
    return html`<section class="compare-charts" aria-labelledby="compare-charts-title">
        <h2 id="compare-charts-title">${words.title}</h2>
        <p class="soft small">${words.hint}</p>
        ${legend([...headlines, ...(another ? [another] : [])], comparison.operator_error)}
        <div class="compare-chart-grid">
          ${headlines.map((measure) => this.#chart(measure, html`<h3>${nameOf(measure)}</h3>`))}
          ${this.#chart(another, choose)}
        </div>
      </section>
      <section class="compare-stroke" aria-labelledby="compare-stroke-title">
        <h2 id="compare-stroke-title">${compare.phases.title}</h2>
        <div class="compare-stroke-grid">
          ${/** @type {const} */ (["before", "after"]).map((which) => this.#wheel(which, comparison, sets, state.near))}
          <div class="compare-stroke-phases">${/** @type {const} */ (["left", "right"]).map((side) => this.#phases(comparison, side))}</div>
        </div>
        <div class="numbers-wheel-choice" role="group" aria-label=${compare.phases.near}>
          <span>${compare.phases.near}</span>
          ${/** @type {const} */ (["left", "right"]).map(
            (side) => html`<button
              aria-pressed=${state.near === side}
              @click=${() => {
                state.near = side;
                redraw();
              }}
            >${numbers.side(side)}</button>`,
          )}
        </div>
      </section>`;
  }

  /** Puts the drawings into the places that `sections` made. @param {Element} root */
  update(root) {
    const places = root.querySelectorAll("[data-picture]");
    for (const known of this.#put.keys()) {
      if (!known.isConnected) this.#put.delete(known);
    }
    for (const place of places) {
      const svg = this.#drawn.get(/** @type {HTMLElement} */ (place).dataset.picture ?? "") ?? null;
      if (this.#put.get(place) !== svg || !this.#put.has(place)) {
        putPicture(place, svg);
        this.#put.set(place, svg);
      }
    }
  }

  /** This drawing's pictures by the name of their place. @type {Map<string, string|null>} */
  #drawn = new Map();

  /** @param {MeasureComparison|null} measure @param {unknown} title */
  #chart(measure, title) {
    if (!measure) {
      return html`<figure class="compare-chart"><figcaption>${title}</figcaption><p class="soft">${words.none}</p></figure>`;
    }
    const key = `chart-${measure.kind}-${measure.side}`;
    const width = this.isPrinting || matchMedia("(max-width: 820px)").matches ? NARROW : WIDE;
    this.#drawn.set(key, this.#context.page.difference_svg(measure, nameOf(measure), words.words, { id_prefix: key, width }));
    const go = (/** @type {Event} */ event) => {
      const dot = /** @type {Element} */ (event.target).closest(".difference-dot");
      const which = /** @type {Which|undefined} */ (/** @type {HTMLElement|null|undefined} */ (dot?.closest("[data-set]"))?.dataset.set);
      if (dot && which) {
        const value = measure[which]?.values[Number(/** @type {HTMLElement} */ (dot).dataset.index)];
        if (value) this.#cycles.go(value);
      }
    };
    return html`<figure class="compare-chart" data-chart=${measure.kind}>
      <figcaption>${title}</figcaption>
      <div data-picture=${key} @click=${go}></div>
      <details class="numbers-as-table">
        <summary>${words.as_table}</summary>
        <div class="table-scroll" tabindex="0" role="region" aria-label="${nameOf(measure)}: ${words.as_table}">${this.#equivalent(measure)}</div>
      </details>
    </figure>`;
  }

  /** @param {MeasureComparison} measure */
  #equivalent(measure) {
    const { write, unit } = shownComparison(measure);
    const clips = this.#context.store.session?.clips ?? [];
    const rows = /** @type {Which[]} */ (["before", "after"]).flatMap((which) => (measure[which]?.values ?? []).map((value) => ({ which, value })));
    const { columns } = words;
    return html`<table>
      <thead><tr>${[columns.set, columns.clip, columns.cycle, columns.stroke].map((name) => html`<th scope="col">${name}</th>`)}<th scope="col" class="number">${columns.value}, ${unit}</th></tr></thead>
      <tbody>
        ${rows.map(({ which, value }) => html`<tr>
          <td>${words.words[which]}</td>
          <td>${clipName(clips.find(({ id }) => id === value.clip))}</td>
          <td>${value.cycle === null ? "" : `${value.side === null ? "" : `${numbers.side(value.side)} `}${value.cycle + 1}`}</td>
          <td>${numbers.stroke(value.breathing)}${value.flagged ? `, ${words.legend.flagged}` : ""}</td>
          <td class="number">${value.span
            ? html`<button class="quiet" aria-label=${this.#cycles.said(measure, value)} @click=${() => this.#cycles.go(value)}>${write(value.value)}</button>`
            : write(value.value)}</td>
        </tr>`)}
      </tbody>
    </table>`;
  }

  /** @param {Which} which @param {Comparison} comparison @param {Sets} sets @param {"left"|"right"} near */
  #wheel(which, comparison, sets, near) {
    const key = `wheel-${which}`;
    const title = compare.phases.wheel(which);
    const gapUntil = (/** @type {"left"|"right"} */ side) => find(comparison, "propulsive_gap", side)?.[which] ?? null;
    const gaps = { left: gapUntil("left"), right: gapUntil("right") };
    const svg = this.#context.store.wheelOf(sets[which], near, gaps, { ...numbers.wheel.svg, title: `${title}: ${numbers.wheel.svg.title}` }, key);
    this.#drawn.set(key, svg);
    return html`<figure class="compare-wheel" data-wheel=${which}>
      <figcaption><h3>${title}</h3></figcaption>
      ${svg === null ? html`<p class="soft">${compare.phases.no_wheel}</p>` : nothing}
      <div data-picture=${key}></div>
    </figure>`;
  }

  /** @param {Comparison} comparison @param {"left"|"right"} side */
  #phases(comparison, side) {
    const key = `phases-${side}`;
    const measures = PHASES.map((kind) => find(comparison, kind, side)).filter((measure) => measure !== null);
    const title = compare.phases.of(side);
    const some = measures.some((measure) => measure.before || measure.after);
    const { before, after } = compare.phases;
    const { interval, to, nothing: none } = words.words;
    this.#drawn.set(key, some ? this.#context.page.phase_pairs_svg(measures, side, { title, before, after, phases: numbers.phases, interval, to, nothing: none }, key) : null);
    return html`<figure class="compare-phases" data-phases=${side}>
      <figcaption><h3>${title}</h3></figcaption>
      ${some ? nothing : html`<p class="soft">${compare.phases.none}</p>`}
      <div data-picture=${key}></div>
    </figure>`;
  }
}

/** A zone's hatching, its lines so far apart. @param {number} apart */
function zoneKey(apart) {
  const lines = Array.from({ length: Math.floor(38 / apart) }, (_, index) => `M${(index + 1) * apart} 0l-14 14`).join("");
  return html`<svg class="compare-key-zone" viewBox="0 0 24 14" width="24" height="14" aria-hidden="true"><path d=${lines}></path></svg>`;
}

/** What the signs mean; only those that are drawn. @param {MeasureComparison[]} measures @param {Comparison["operator_error"]} operator_error */
function legend(measures, operator_error) {
  const values = measures.flatMap(({ before, after }) => [...(before?.values ?? []), ...(after?.values ?? [])]);
  const sign = (/** @type {string} */ shape, /** @type {string} */ side, /** @type {string} */ text) => html`<li><span class="numbers-shape" data-shape=${shape} data-side=${side}></span>${text}</li>`;
  return html`<ul class="numbers-legend">
    ${values.some(({ breathing }) => breathing === true) ? sign("diamond", "", words.legend.breathing) : nothing}
    ${values.some(({ breathing }) => breathing === false) ? sign("circle", "", words.legend.non_breathing) : nothing}
    ${values.some(({ breathing }) => breathing === null) ? sign("square", "", words.legend.unknown) : nothing}
    ${values.some(({ side }) => side === "left") ? sign("circle", "left", words.legend.left) : nothing}
    ${values.some(({ side }) => side === "right") ? sign("circle", "right", words.legend.right) : nothing}
    ${values.some(({ side }) => side === null) ? sign("circle", "both", words.legend.both) : nothing}
    <li><span class="compare-key-mean"></span>${words.legend.mean}</li>
    <li>${zoneKey(5)}${words.legend.frame}</li>
    ${operator_error === "known" ? html`<li>${zoneKey(11)}${words.legend.operator}</li>` : nothing}
    ${values.some(({ flagged }) => flagged) ? html`<li><span class="compare-key-flagged"></span>${words.legend.flagged}</li>` : nothing}
  </ul>`;
}

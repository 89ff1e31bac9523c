// The three charts' places on the page: heading, legend, plot, and the same numbers as a table.

import { html, nothing, render } from "../vendor/lit-html/lit-html.js";
import { numbers } from "../words/numbers.js";
import { rateTag } from "./basis.js";
import { written } from "./format.js";
import { gapChart } from "./gap-chart.js";
import { phaseChart } from "./phase-chart.js";
import { Plot } from "./plot.js";
import { rateChart } from "./rate-chart.js";

/** @typedef {import("./types.js").Plots} Plots */
/** @typedef {import("./frames.js").Frames} Frames */
/** @typedef {"gaps"|"phases"|"rates"} ChartName as in Plots */

const words = numbers.charts;
const OF = { gaps: words.gap, phases: words.phases, rates: words.rate };

export class Charts {
  /** @type {Map<ChartName, Plot>} */
  #plots = new Map();
  #frames;
  #beforePrint = () => this.#plots.forEach((plot) => plot.draw(true));
  #afterPrint = () => this.#plots.forEach((plot) => plot.draw(false));

  /** @param {Frames} frames */
  constructor(frames) {
    this.#frames = frames;
    addEventListener("beforeprint", this.#beforePrint);
    addEventListener("afterprint", this.#afterPrint);
  }

  /**
   * Draws into the sections that `chartSection` made.
   * @param {Element} root
   * @param {Plots} plots
   */
  update(root, plots) {
    for (const section of root.querySelectorAll("[data-chart]")) {
      const name = /** @type {ChartName} */ (/** @type {HTMLElement} */ (section).dataset.chart);
      const place = /** @type {HTMLElement} */ (section.querySelector(".numbers-plot"));
      const known = this.#plots.get(name);
      const plot = known?.place === place ? known : new Plot(place, this.#frames);
      if (plot !== known) {
        known?.close();
        this.#plots.set(name, plot);
      }
      if (name === "gaps") {
        plot.set(plots.gaps, gapChart);
      } else if (name === "phases") {
        plot.set(plots.phases, phaseChart);
      } else {
        plot.set(plots.rates, rateChart);
      }
      render(equivalent(name, plots, this.#frames), /** @type {HTMLElement} */ (section.querySelector(".numbers-equivalent")));
    }
  }

  close() {
    removeEventListener("beforeprint", this.#beforePrint);
    removeEventListener("afterprint", this.#afterPrint);
    this.#plots.forEach((plot) => plot.close());
    this.#plots.clear();
  }
}

/**
 * @param {ChartName} name
 * @param {{clip: import("../sitting/types.js").ClipView, analysis: any, plots: Plots}} shown
 */
export function chartSection(name, { clip, analysis, plots }) {
  const heading = `numbers-chart-${name}`;
  const empty = plots[name].length === 0;
  return html`<section class="numbers-chart" data-chart=${name} aria-labelledby=${heading}>
    <div class="numbers-group-head">
      <h2 id=${heading}>${OF[name].title}</h2>
      ${rateTag({ clip, analysis })}
    </div>
    ${empty ? html`<p class="soft">${OF[name].none}</p>` : legend(name, plots)}
    <div class="numbers-plot-scroll" ?hidden=${empty}>
      <div class="numbers-plot" role="group" aria-label="${OF[name].title}. ${words.keys}"></div>
    </div>
    <details class="numbers-as-table" ?hidden=${empty}>
      <summary>${words.as_table}</summary>
      <div class="numbers-equivalent table-scroll" tabindex="0" role="region" aria-label="${OF[name].title}: ${words.as_table}"></div>
    </details>
  </section>`;
}

/** @param {ChartName} name @param {Plots} plots */
function legend(name, plots) {
  if (name === "phases") {
    return html`<ul class="numbers-legend">
      ${numbers.phases.map((phase, index) => html`<li><span class="numbers-swatch" data-phase=${index}></span>${phase}</li>`)}
      ${plots.phases.some((bar) => bar.breathing === true) ? html`<li><span class="numbers-shape" data-shape="diamond"></span>${words.phases.breath_legend}</li>` : nothing}
    </ul>`;
  }
  const { left, right, until_left, until_right, breathing, non_breathing, unknown, bar } = words.legend;
  const signs = /** @type {[boolean|null, string, string][]} */ ([[true, "diamond", breathing], [false, "circle", non_breathing], [null, "square", unknown]]);
  const strokes = plots[name];
  return html`<ul class="numbers-legend">
    ${signs
      .filter(([is]) => strokes.some((stroke) => stroke.breathing === is))
      .map(([, shape, text]) => html`<li><span class="numbers-shape" data-shape=${shape}></span>${text}</li>`)}
    <li><span class="numbers-shape" data-shape="circle" data-side="left"></span>${name === "gaps" ? until_left : left}</li>
    <li><span class="numbers-shape" data-shape="circle" data-side="right"></span>${name === "gaps" ? until_right : right}</li>
    <li><span class="numbers-shape" data-shape="bar"></span>${bar}</li>
  </ul>`;
}

/** The chart's numbers as a table. @param {ChartName} name @param {Plots} plots @param {Frames} frames */
function equivalent(name, plots, frames) {
  const { columns } = words;
  const go = (/** @type {number[]} */ marks, /** @type {string} */ text) => html`<button class="quiet" @click=${() => frames.go(marks)}>${text}</button>`;
  switch (name) {
    case "gaps":
      return tableOf(
        [columns.time, columns.waiting, columns.breathing, columns.gap, columns.frames, columns.share],
        plots.gaps.map((gap) => [
          go(gap.marks, words.at(gap.time_s)),
          numbers.side(gap.waiting),
          numbers.stroke(gap.breathing),
          written(gap.gap_ms, "ms"),
          gap.frames === null ? nothing : written(gap.frames, "frames"),
          gap.share_percent === null ? nothing : written(gap.share_percent, "%"),
        ]),
      );
    case "phases":
      return tableOf(
        [columns.cycle, columns.side, columns.breathing, ...numbers.phases],
        plots.phases.map((bar) => [
          go(bar.marks, words.cycle_at(bar.cycle + 1, bar.start_s)),
          numbers.side(bar.side),
          numbers.stroke(bar.breathing),
          ...bar.shares_percent.map((share) => written(share, "%")),
        ]),
      );
    case "rates":
      return tableOf(
        [columns.cycle, columns.side, columns.breathing, columns.rate, columns.cycles],
        plots.rates.map((rate) => [
          go(rate.marks, words.cycle_at(rate.cycle + 1, rate.time_s)),
          numbers.side(rate.side),
          numbers.stroke(rate.breathing),
          written(rate.strokes_per_min, "strokes/min"),
          written(rate.cycles_per_min, "cycles/min"),
        ]),
      );
  }
}

/** @param {string[]} columns @param {unknown[][]} rows */
function tableOf(columns, rows) {
  return html`<table>
    <thead><tr>${columns.map((column) => html`<th scope="col">${column}</th>`)}</tr></thead>
    <tbody>${rows.map((cells) => html`<tr>${cells.map((cell) => html`<td>${cell}</td>`)}</tr>`)}</tbody>
  </table>`;
}

// One chart on the page: uPlot draws it, and over each stroke lies a button (focus, Enter, click: its frames).
// Draws itself again when its data, its width or the theme changes. Not for: what is drawn.

import uPlot from "../vendor/uplot/uPlot.js";
import { PAPER_WIDTH, colours } from "./chart-look.js";

/**
 * @typedef {object} Chart
 * @property {number} least_width CSS pixels; a narrower place scrolls
 * @property {boolean} bars       whether a stroke is a whole bar, from the bottom to the top
 * @property {any} data
 * @property {Omit<uPlot.Options, "width"|"height">} options
 * @property {{x: number, y: number, name: string, marks: number[]}[]} spots in the plot's own units
 */

export class Plot {
  /** @type {uPlot|null} */
  #plot = null;
  #drawn = "";
  #data = "";
  /** @type {((colour: import("./chart-look.js").Colours) => Chart)|null} */
  #make = null;
  #watch = new ResizeObserver(() => this.draw(false));

  /** @param {HTMLElement} place @param {import("./frames.js").Frames} frames */
  constructor(place, frames) {
    this.place = place;
    this.frames = frames;
    this.#watch.observe(place);
  }

  /**
   * @template T
   * @param {T[]} strokes
   * @param {(strokes: T[], colour: import("./chart-look.js").Colours) => Chart} chart
   */
  set(strokes, chart) {
    this.#data = JSON.stringify(strokes);
    this.#make = strokes.length === 0 ? null : (colour) => chart(strokes, colour);
    this.draw(false);
  }

  /** @param {boolean} print */
  draw(print) {
    const colour = colours(print);
    const { clientWidth, clientHeight: height } = this.place;
    const width = print ? PAPER_WIDTH : clientWidth;
    const key = [this.#data, JSON.stringify(colour), width, height, devicePixelRatio].join();
    if (key === this.#drawn || clientWidth === 0) {
      return;
    }
    this.#drawn = key;
    this.#plot?.destroy();
    this.#plot = null;
    if (this.#make) {
      const chart = this.#make(colour);
      // Its scales are there only after its first drawing.
      const hooks = { ...chart.options.hooks, ready: [(/** @type {uPlot} */ plot) => this.#putButtons(plot, chart)] };
      this.#plot = new uPlot({ ...chart.options, hooks, width: print ? width : Math.max(width, chart.least_width), height }, chart.data, this.place);
    }
  }

  /**
   * One of the buttons is in the tab order; arrows go from one stroke to the next.
   * @param {uPlot} plot @param {Chart} chart
   */
  #putButtons(plot, chart) {
    const buttons = chart.spots.map((spot, index) => {
      const [x, y] = [plot.valToPos(spot.x, "x"), plot.valToPos(spot.y, "y")];
      const button = document.createElement("button");
      button.className = "numbers-spot";
      button.dataset.marks = spot.marks.join(" ");
      button.tabIndex = index === 0 ? 0 : -1;
      button.setAttribute("aria-label", spot.name);
      button.style.left = `${x}px`;
      button.style.top = `${y}px`;
      if (chart.bars) {
        button.classList.add("bar");
        button.style.height = `${plot.over.clientHeight}px`;
        button.style.width = `${plot.valToPos(1, "x") - plot.valToPos(0, "x")}px`;
      }
      const tip = document.createElement("span");
      tip.className = x > plot.over.clientWidth / 2 ? "numbers-spot-tip to-left" : "numbers-spot-tip";
      tip.textContent = spot.name;
      button.append(tip);
      button.addEventListener("click", () => this.frames.go(spot.marks));
      return button;
    });
    plot.over.addEventListener("keydown", (event) => {
      const here = buttons.findIndex((button) => button === document.activeElement);
      const step = { ArrowRight: 1, ArrowLeft: -1, Home: -buttons.length, End: buttons.length }[event.key];
      if (here < 0 || step === undefined) {
        return;
      }
      const next = buttons[Math.max(0, Math.min(buttons.length - 1, here + step))];
      buttons[here].tabIndex = -1;
      next.tabIndex = 0;
      next.focus();
      event.preventDefault();
      event.stopPropagation();
    });
    plot.over.append(...buttons);
  }

  close() {
    this.#watch.disconnect();
    this.#plot?.destroy();
  }
}

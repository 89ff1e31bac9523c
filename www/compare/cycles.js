// From a value of a comparison to its cycles, and from a cycle to its frames.

import { ListBeside } from "../numbers/list-beside.js";
import { compare as words } from "../words/compare.js";
import { clipName, shownComparison } from "./format.js";

/** @typedef {import("./types.js").MeasureComparison} MeasureComparison */
/** @typedef {import("./types.js").CycleValue} CycleValue */
/** @typedef {"before"|"after"} Which */

export class Cycles {
  /** @type {import("../sitting/types.js").Context} */
  #context;
  /** @type {ListBeside} */
  #list;

  /** @param {import("../sitting/types.js").Context} context @param {HTMLElement} root the view */
  constructor(context, root) {
    this.#context = context;
    this.#list = new ListBeside(root);
  }

  /** Opens the marking view where a cycle starts. @param {CycleValue} value */
  go({ clip, span }) {
    if (span) this.#context.navigate("marks", { clip, at: span.start });
  }

  /** What is said of one cycle. @param {MeasureComparison} measure @param {CycleValue} value */
  said(measure, { clip, cycle, side, breathing, value, flagged }) {
    const { unit, write } = shownComparison(measure);
    const name = clipName(this.#context.store.session?.clips.find(({ id }) => id === clip));
    return words.cycle(name, cycle, side, breathing, `${write(value)} ${unit}`, flagged);
  }

  /**
   * Lists the cycles behind a mean beside `button`.
   * @param {HTMLElement} button
   * @param {MeasureComparison} measure
   * @param {Which} which
   * @param {string} name
   */
  list(button, measure, which, name) {
    const lines = (measure[which]?.values ?? [])
      .filter(({ span }) => span !== null)
      .map((value) => ({ text: this.said(measure, value), act: () => this.go(value) }));
    this.#list.show(button, words.cycles_of(name, which), lines);
  }

  close() {
    this.#list.close();
  }
}

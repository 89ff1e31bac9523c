// How a measure is written: its unit on the screen, its decimals, its words. Values come from Rust and are only
// rounded here; gaps are written in milliseconds. Not for: finding or sorting measures.

import { decimal, decimalsFor } from "../marks/figures.js";
import { numbers as words } from "../words/numbers.js";

/** @typedef {import("./types.js").Measure} Measure */

/** Times of this kind are written in ms. */
const IN_MS = new Set(["propulsive_gap", "lead_arm_lag"]);

/** Said in full where "s" alone would not tell of what. @type {Record<string, string>} */
const UNITS = { stroke_interval: "s per stroke" };

/** Decimals of a number that frames do not blur (a count, a stated speed). @type {Record<string, number>} */
const EXACT_DECIMALS = { "m/s": 2, "m": 2, "s": 2 };

/** An uncertainty below this place is written as nothing. */
const MOST_DECIMALS = 6;

export const DASH = "–";

/**
 * The unit a measure is shown in and what its value is multiplied by for that.
 * @param {string} kind
 * @param {string} unit
 */
export function shownUnit(kind, unit) {
  return IN_MS.has(kind) && unit === "s" ? { unit: "ms", factor: 1000 } : { unit: UNITS[kind] ?? unit, factor: 1 };
}

/**
 * Decimals for a value with this uncertainty, as in the marking view; whole milliseconds; more of them rather than an
 * uncertainty written as nothing.
 * @param {string} unit
 * @param {number} uncertainty
 */
export function decimalsOf(unit, uncertainty) {
  if (!(uncertainty > 0)) {
    return EXACT_DECIMALS[unit] ?? 1;
  }
  let decimals = unit === "ms" ? Number(uncertainty < 0.95) : decimalsFor(uncertainty);
  while (decimals < MOST_DECIMALS && Number(uncertainty.toFixed(decimals)) === 0) {
    decimals += 1;
  }
  return decimals;
}

/**
 * A measure as the screen writes it; null while it has no number.
 * @param {Measure} measure
 */
export function shown(measure) {
  const { quantity } = measure;
  if (quantity === null) {
    return null;
  }
  const { unit, factor } = shownUnit(measure.kind, quantity.unit);
  const uncertainty = Math.abs(quantity.uncertainty * factor);
  const decimals = decimalsOf(unit, uncertainty);
  const write = (/** @type {number} */ value) => decimal(value * factor, decimals);
  return {
    value: write(quantity.value),
    uncertainty: uncertainty > 0 ? decimal(uncertainty, decimals) : null,
    unit,
    decimals,
    n: measure.n,
    sd: measure.sd === null ? null : write(measure.sd),
    interval: measure.interval === null ? null : [write(measure.interval[0]), write(measure.interval[1])],
  };
}

/**
 * A chart's figure as the table and the tips write it.
 * @param {import("./types.js").Figure} figure
 * @param {string} unit
 */
export function written({ value, uncertainty }, unit) {
  const decimals = decimalsOf(unit, uncertainty);
  return words.with_unit(decimal(value, decimals), uncertainty > 0 ? decimal(uncertainty, decimals) : null, unit);
}

/** The minus that a spreadsheet reads. @param {string} text */
export function plainMinus(text) {
  return text.replaceAll("−", "-");
}

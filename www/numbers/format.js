// How a measure is written: its unit on the screen, its decimals, its words. Values come from Rust and are only
// rounded here; gaps are written in milliseconds. Not for: finding or sorting measures.

/** @typedef {import("./types.js").Measure} Measure */

/** Times of this kind are written in ms. */
const IN_MS = new Set(["propulsive_gap", "lead_arm_lag"]);

/** Said in full where "s" alone would not tell of what. @type {Record<string, string>} */
const UNITS = { stroke_interval: "s per stroke" };

/** Decimals that a unit has on the screen, before the uncertainty asks for more. @type {Record<string, number>} */
const DECIMALS = {
  "ms": 0,
  "s": 3,
  "s per stroke": 3,
  "strokes/min": 1,
  "cycles/min": 1,
  "%": 1,
  "points": 1,
  "frames": 1,
  "m": 2,
  "m/s": 2,
  "m²/s": 2,
};

const MINUS = "\u2212";
export const DASH = "–";

/**
 * A number with a true minus sign and without "-0".
 * @param {number} value
 * @param {number} decimals
 */
export function fixed(value, decimals) {
  const text = value.toFixed(decimals);
  const bare = text.startsWith("-") ? text.slice(1) : text;
  return text.startsWith("-") && Number(bare) !== 0 ? MINUS + bare : bare;
}

/**
 * The unit a measure is shown in and what its value is multiplied by for that.
 * @param {string} kind
 * @param {string} unit
 */
export function shownUnit(kind, unit) {
  return IN_MS.has(kind) && unit === "s" ? { unit: "ms", factor: 1000 } : { unit: UNITS[kind] ?? unit, factor: 1 };
}

/**
 * Decimals for a value with this uncertainty: the unit's own, or as many more (two at most) as it takes for the
 * uncertainty not to be written as nothing.
 * @param {string} unit
 * @param {number|null} uncertainty
 */
export function decimalsOf(unit, uncertainty) {
  const own = DECIMALS[unit] ?? 2;
  let decimals = own;
  while (uncertainty !== null && uncertainty > 0 && decimals < own + 2 && Number(uncertainty.toFixed(decimals)) === 0) {
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
  const uncertainty = quantity.uncertainty === null ? null : quantity.uncertainty * factor;
  const decimals = decimalsOf(unit, uncertainty);
  const write = (/** @type {number} */ value) => fixed(value * factor, decimals);
  return {
    value: write(quantity.value),
    uncertainty: uncertainty === null || uncertainty === 0 ? null : uncertainty.toFixed(decimals),
    unit,
    decimals,
    n: measure.n,
    sd: measure.sd === null ? null : write(measure.sd),
    interval: measure.interval === null ? null : [write(measure.interval[0]), write(measure.interval[1])],
  };
}

/** The minus that a spreadsheet reads. @param {string} text */
export function plainMinus(text) {
  return text.replaceAll(MINUS, "-");
}

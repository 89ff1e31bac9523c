// How a comparison is written: the numbers view's units and decimals, and a sign before a difference. Values come from
// Rust and are only rounded here.

import { decimal } from "../marks/figures.js";
import { decimalsOf, shownUnit } from "../numbers/format.js";
import { compare as words } from "../words/compare.js";
import { numbers } from "../words/numbers.js";

/** @typedef {import("./types.js").MeasureComparison} MeasureComparison */
/** @typedef {import("./types.js").SetValues} SetValues */

/** @param {string} text a number as `decimal` writes it */
const withPlus = (text) => (/^[−0]/.test(text) && !/^0.*[1-9]/.test(text) ? text : `+${text}`);

/**
 * A measure of both sets as the screen writes it.
 * @param {MeasureComparison} measure
 */
export function shownComparison({ kind, unit, before, after, difference }) {
  const { unit: shown, factor } = shownUnit(kind, unit);
  const uncertainties = [difference?.frame_uncertainty, before?.frame_uncertainty, after?.frame_uncertainty];
  const decimals = decimalsOf(shown, (uncertainties.find((one) => one !== undefined) ?? 0) * factor);
  const write = (/** @type {number} */ value) => decimal(value * factor, decimals);
  const signed = (/** @type {number} */ value) => withPlus(write(value));
  const set = (/** @type {SetValues|null} */ values) =>
    values && {
      mean: write(values.mean),
      n: values.n,
      interval: values.interval && /** @type {[string, string]} */ (values.interval.map(write)),
    };
  return {
    unit: shown,
    unit_of_difference: words.unit_of_difference(shown),
    before: set(before),
    after: set(after),
    difference: difference && {
      value: signed(difference.value),
      interval: difference.interval && /** @type {[string, string]} */ (difference.interval.map(signed)),
    },
    /** One cycle's value, or a threshold. */
    write,
  };
}

/** The measure's name with its arm. @param {{kind: string, side: "left"|"right"|null}} measure */
export function nameOf({ kind, side }) {
  return side === null ? numbers.measure(kind) : `${numbers.measure(kind)}, ${numbers.side(side)}`;
}

/** A share of chance as statistics are written. @param {number} p */
export function chance(p) {
  return p < 0.001 ? "below 0.001" : decimal(p, 3);
}

/** How a clip is called where room is short. @param {{label: string, name: string}|undefined} clip */
export function clipName(clip) {
  return clip ? clip.label || clip.name : "";
}

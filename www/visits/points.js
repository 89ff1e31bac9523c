// What of a history is shown: the period, the arms; each mean in words. Values come from Rust and are only rounded here.

import { decimal } from "../marks/figures.js";
import { decimalsOf, shownUnit } from "../numbers/format.js";
import { visits } from "../words/visits.js";

/** @typedef {import("./types.js").MeasureHistory} MeasureHistory */
/** @typedef {import("./types.js").HistoryEntry} HistoryEntry */
/** @typedef {import("./types.js").HistoryValue} HistoryValue */
/** @typedef {import("./types.js").Side} Side */
/** @typedef {"all"|"year"|"quarter"} Period */
/** @typedef {{arms: "both"|"apart", period: Period}} Choice */

const words = visits.history;

/** @type {Record<Period, number>} */
const MONTHS = { all: Infinity, year: 12, quarter: 3 };

/**
 * One mean as the chart draws it.
 * @typedef {object} Point
 * @property {HistoryEntry} entry
 * @property {Side} side
 * @property {number} at        seconds since 1970 at 0:00 UTC of its day
 * @property {number} value     in the unit shown
 * @property {[number, number]} bar
 * @property {boolean} isInterval  whether the bar is the 95 % interval
 * @property {boolean} isOther  whether it is another swimmer's than the open session's
 * @property {string} name      everything about it in words
 */

/** The sides a measure has. @param {MeasureHistory} history @returns {Side[]} */
export function sidesOf(history) {
  const sides = new Set(history.entries.flatMap(({ values }) => values.map(({ side }) => side)));
  return /** @type {Side[]} */ ([null, "left", "right"]).filter((side) => sides.has(side));
}

/** The sides that are shown. @param {MeasureHistory} history @param {Choice} choice */
export function sidesShown(history, { arms }) {
  const sides = sidesOf(history);
  const wanted = sides.filter((side) => (side === null) === (arms === "both"));
  return wanted.length > 0 ? wanted : sides;
}

/** The clips of the period, by date. @param {MeasureHistory} history @param {Choice} choice */
export function entriesOf({ entries }, { period }) {
  const last = entries.at(-1)?.date;
  if (period === "all" || last === undefined) return entries;
  const from = new Date(`${last}T00:00:00Z`);
  const day = from.getUTCDate();
  from.setUTCMonth(from.getUTCMonth() - MONTHS[period]);
  if (from.getUTCDate() !== day) from.setUTCDate(0); // that month has no such day: its last one
  const first = from.toISOString().slice(0, 10);
  return entries.filter(({ date }) => date >= first);
}

/** A history's numbers as the screen writes them. @param {MeasureHistory} history */
export function writerOf({ kind, unit, entries }) {
  const shown = shownUnit(kind, unit);
  const uncertainties = entries.flatMap(({ values }) => values.map(({ uncertainty }) => uncertainty ?? 0)).filter((one) => one > 0);
  // One number of decimals for the whole column: that of the surest value.
  const least = uncertainties.reduce((one, other) => Math.min(one, other), Infinity);
  const decimals = decimalsOf(shown.unit, Number.isFinite(least) ? least * shown.factor : 0);
  return { unit: shown.unit, factor: shown.factor, write: (/** @type {number} */ value) => decimal(value * shown.factor, decimals) };
}

/** @param {HistoryEntry} entry @param {Side} side */
export function valueOf(entry, side) {
  return entry.values.find((value) => value.side === side);
}

/** @param {MeasureHistory} history @param {Choice} choice @param {(label: string) => boolean} isOther whether a label is another swimmer's @returns {Point[]} */
export function pointsOf(history, choice, isOther) {
  const { unit, factor, write } = writerOf(history);
  const sides = sidesShown(history, choice);
  return entriesOf(history, choice).flatMap((entry) =>
    sides.flatMap((side) => {
      const value = valueOf(entry, side);
      if (!value || value.value === null || value.bar === null) return [];
      const other = isOther(entry.athlete_label);
      const said = { ...entry, swimmer: other ? entry.athlete_label || visits.unnamed : null, side, value: `${write(value.value)} ${unit}`, bar: barOf(value, write), isInterval: intervalHolds(value), n: value.n, in_doubt: value.in_doubt };
      const [low, high] = value.bar;
      return [
        {
          entry,
          side,
          at: Date.parse(`${entry.date}T00:00:00Z`) / 1000,
          value: value.value * factor,
          bar: /** @type {[number, number]} */ ([low * factor, high * factor]),
          isInterval: intervalHolds(value),
          isOther: other,
          name: words.point(said),
        },
      ];
    }),
  );
}

/** Whether the 95 % interval is what the bar shows: not below three values, nor where the frames allow less. @param {HistoryValue} value */
function intervalHolds({ interval, bar }) {
  return interval !== null && bar !== null && interval[0] <= bar[0] && interval[1] >= bar[1];
}

/** The interval in words, or the frames' error. @param {HistoryValue} value @param {(value: number) => string} write */
export function barOf(value, write) {
  const { interval, uncertainty } = value;
  return interval && intervalHolds(value) ? words.interval(write(interval[0]), write(interval[1])) : words.frames(write(uncertainty ?? 0));
}

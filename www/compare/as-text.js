// The comparison as plain text: for a message to the swimmer or a note in a diary.

import { compare as words } from "../words/compare.js";
import { numbers } from "../words/numbers.js";
import { boardKinds, find } from "./board.js";
import { shownComparison } from "./format.js";
import { GATES, stateOf } from "./gates.js";

/**
 * @param {string} title
 * @param {string[]} sets       both sets in words
 * @param {import("./types.js").Comparison} comparison
 * @param {string[]} kinds      what is asked
 */
export function asText(title, sets, comparison, kinds) {
  const lines = [title, ...sets];
  if (comparison.confounders.length > 0) {
    lines.push("", `${words.confounders}:`, ...comparison.confounders.map(({ message }) => `- ${message}`));
  }
  for (const kind of boardKinds(kinds)) {
    const measure = find(comparison, kind);
    if (!measure) continue;
    const number = shownComparison(measure);
    const { before, after, difference } = number;
    lines.push("", numbers.measure(kind));
    if (before && after && difference) {
      const interval = difference.interval ? ` (${words.interval(...difference.interval)})` : "";
      lines.push(`${before.mean} ${words.arrow} ${after.mean} ${number.unit}; ${words.difference} ${difference.value} ${number.unit_of_difference}${interval}`);
    }
    lines.push(measure.sentence);
    if (measure.verdict !== "not_comparable") lines.push(GATES.map((gate) => words.gates[gate][stateOf(measure.gates[gate])]).join("; ") + ".");
    if (measure.settle) lines.push(measure.settle);
  }
  if (comparison.operator_error === "not_known") lines.push("", words.operator.not_known);
  return lines.join("\n");
}

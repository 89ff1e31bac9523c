// The three gates of a difference: each passed, not passed or not known, told by shape and word and by no colour.

import { html, nothing, svg } from "../vendor/lit-html/lit-html.js";
import { compare as words } from "../words/compare.js";

/** @typedef {import("./types.js").Gate} Gate */
/** @typedef {import("./types.js").GateName} GateName */
/** @typedef {"passed"|"not_passed"|"not_known"} GateState */

export const GATES = /** @type {GateName[]} */ (["frame", "operator", "strokes"]);

/** @param {Gate} gate @returns {GateState} */
export function stateOf({ passed }) {
  if (passed === null) return "not_known";
  return passed ? "passed" : "not_passed";
}

/** A full disc with a tick, a ring with a bar, a broken ring with a question mark. @param {GateState} state */
function shape(state) {
  const drawn = {
    passed: svg`<circle class="compare-gate-full" cx="10" cy="10" r="8.5"></circle><path class="compare-gate-tick" d="m6 10.2 2.8 2.8L14 7.4"></path>`,
    not_passed: svg`<circle class="compare-gate-ring" cx="10" cy="10" r="7.5"></circle><path class="compare-gate-line" d="M6.5 10h7"></path>`,
    not_known: svg`<circle class="compare-gate-ring" cx="10" cy="10" r="7.5" stroke-dasharray="2.6 2.6"></circle><path class="compare-gate-line" d="M7.6 8.2a2.4 2.4 0 1 1 3.5 2.1c-.8.4-1.1.8-1.1 1.6M10 14v.2"></path>`,
  }[state];
  return svg`<svg class="compare-gate-shape" viewBox="0 0 20 20" width="20" height="20" aria-hidden="true">${drawn}</svg>`;
}

/**
 * The gates in words, one line each.
 * @param {Record<GateName, Gate>} gates
 */
export function gatesInWords(gates) {
  return html`<ul class="compare-gates" aria-label=${words.gates_label}>
    ${GATES.map((name) => {
      const state = stateOf(gates[name]);
      return html`<li class="compare-gate" data-gate=${name} data-state=${state} title=${gates[name].reason}>${shape(state)}<span>${words.gates[name][state]}</span></li>`;
    })}
  </ul>`;
}

/**
 * The gates as three shapes in a row, said in full to those who do not see them.
 * @param {Record<GateName, Gate>} gates
 */
export function gatesInShapes(gates) {
  return html`<span class="compare-gates-small">
    ${GATES.map((name) => {
      const state = stateOf(gates[name]);
      return html`<span data-gate=${name} data-state=${state} title=${words.gates[name][state]}>${shape(state)}<span class="only-heard">${words.gates[name][state]}. </span></span>`;
    })}
  </span>`;
}

/** Why each gate is as it is. @param {Record<GateName, Gate>} gates */
export function gateReasons(gates) {
  return GATES.map((name) => (gates[name].reason ? html`<li>${gates[name].reason}</li>` : nothing));
}

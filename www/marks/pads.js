// The events as buttons: under the thumbs on a phone, a row with their keys on a desk.

import { html } from "../vendor/lit-html/lit-html.js";
import { marks as words } from "../words/marks.js";
import { BINDINGS, markAction } from "./keys.js";
import { signPoints } from "./signs.js";

/** @typedef {import("./shapes.js").MarkKind} MarkKind */
/** @typedef {import("./shapes.js").Side} Side */
/** @typedef {"arms" | "breath" | "legs"} PadSet */

/** @type {Readonly<Record<PadSet, readonly MarkKind[]>>} */
const KINDS = Object.freeze({
  arms: ["entry", "catch", "mid_pull", "exit"],
  breath: ["exhale_start", "face_turn", "mouth_clear", "face_return"],
  legs: ["kick_out_start", "kick_out_end", "downbeat", "pass"],
});
/** @type {readonly PadSet[]} */
const SETS = ["arms", "breath", "legs"];

/** Where an event's button lies. @param {MarkKind} kind @returns {PadSet} */
export function padSetOf(kind) {
  return SETS.find((set) => KINDS[set].includes(kind)) ?? "arms";
}

/** @param {{kind: MarkKind, side: Side | null}} mark */
export function sign({ kind, side }) {
  return html`<svg class=${`marks-sign marks-sign-${side ?? "none"}`} viewBox="-1.4 -1.4 2.8 2.8" width="14" height="14" aria-hidden="true"><polygon points=${signPoints(kind)}></polygon></svg>`;
}

/**
 * @param {{set: PadSet, choose: (set: PadSet) => void, press: (action: string) => void, label: (action: string) => string, asked: string | null, can: boolean}} how
 * `asked`: the action that the guided pass or the tap-along asks for
 */
export function padsTemplate({ set, choose, press, label, asked, can }) {
  const pad = (/** @type {Side} */ side) => {
    const bindings = BINDINGS.filter((binding) => binding.mark && KINDS[set].includes(binding.mark.kind) && binding.mark.side === side);
    if (bindings.length === 0) return "";
    return html`<div class=${`marks-pad marks-pad-${side}`} role="group" aria-label=${set === "arms" ? words.lanes[/** @type {"left" | "right"} */ (side)] : words.Side[side]}>
      ${bindings.map(button)}</div>`;
  };
  const button = (/** @type {import("./keys.js").Binding} */ { action, mark }) => {
    if (!mark) return "";
    const name = words.event(mark.kind, mark.side);
    const heard = name.slice(0, name.toLowerCase().lastIndexOf(words.kind[mark.kind]));
    return html`<button type="button" class=${`marks-event ${asked === action ? "marks-event-asked" : ""}`} ?disabled=${!can} data-action=${action} @click=${() => press(action)}>
      <span class="marks-event-top">${sign(mark)}<kbd>${label(action)}</kbd></span><span class="marks-event-name"><span class="only-heard">${heard}</span>${words.kind[mark.kind]}</span></button>`;
  };
  const pass = BINDINGS.find(({ action }) => action === markAction("pass", null));
  return html`<div class="marks-pads" data-set=${set}>
    ${pad("left")}
    ${set === "legs" ? html`${pad("both")}<div class="marks-pad marks-pad-none">${pass ? button(pass) : ""}</div>` : ""}
    ${pad("right")}
    ${padSetChooser(set, choose)}
  </div>`;
}

/** @param {PadSet} set @param {(set: PadSet) => void} choose */
export function padSetChooser(set, choose) {
  const chosen = (/** @type {Event} */ event) => choose(/** @type {PadSet} */ (/** @type {HTMLSelectElement} */ (event.target).value));
  return html`<label class="marks-pad-sets"><span class="only-heard">${words.pads.sets}</span><select @change=${chosen}>
    ${SETS.map((name) => html`<option value=${name} .selected=${name === set}>${words.pads.set[name]}</option>`)}</select></label>`;
}

// The row that steps and plays: buttons with their keys, the speed, and the field for a frame or a time.

import { html, nothing } from "../vendor/lit-html/lit-html.js";
import { marks as words } from "../words/marks.js";

/** Seconds of the clip in a second. */
export const RATES = Object.freeze([0.05, 0.1, 0.25, 0.5, 1, 2]);

/**
 * A typed place: a whole number is a frame, anything with a point, a comma or “s” is seconds.
 * @param {string} text
 * @returns {{frame: number} | {seconds: number} | null}
 */
export function placeTyped(text) {
  const plain = text.trim().toLowerCase().replace(",", ".");
  const typed = /^(\d+(?:\.\d+)?|\.\d+)\s*(s?)$/.exec(plain);
  if (!typed) return null;
  const value = Number(typed[1]);
  return typed[2] === "s" || plain.includes(".") ? { seconds: value } : { frame: value };
}

/**
 * @param {{act: (action: string) => void, label: (action: string) => string, can: boolean, playing: boolean, rate: number,
 *   looping: boolean, setRate: (rate: number) => void, goTo: (text: string) => boolean}} how
 */
export function transportTemplate({ act, label, can, playing, rate, looping, setRate, goTo }) {
  const button = (/** @type {string} */ action, /** @type {unknown} */ face, pressed = false) => html`<button type="button" class="marks-tool" data-action=${action}
    ?disabled=${!can} aria-pressed=${action === "loop_cycle" ? String(pressed) : nothing} title=${`${words.actions[action]} (${label(action)})`}
    @click=${() => act(action)}><span aria-hidden="true">${face}</span><kbd aria-hidden="true">${label(action)}</kbd><span class="only-heard">${words.actions[action]}</span></button>`;
  const typed = (/** @type {KeyboardEvent} */ event) => {
    const field = /** @type {HTMLInputElement} */ (event.target);
    if (event.key === "Escape") {
      field.value = "";
      field.blur();
    }
    if (event.key !== "Enter") return;
    if (goTo(field.value)) {
      field.value = "";
      field.blur();
    }
  };
  return html`<div class="marks-transport" role="group" aria-label=${words.transport.label}>
    ${button("frame_back", "−1")}
    ${button("play", playing ? words.transport.pause : words.transport.play)}
    ${button("frame_forward", "+1")}
    <label class="marks-rate"><span class="only-heard">${words.transport.speed_label}</span>
      <select ?disabled=${!can} title=${`${words.actions.slower} (${label("slower")}), ${words.actions.faster} (${label("faster")})`}
        @change=${(/** @type {Event} */ event) => setRate(Number(/** @type {HTMLSelectElement} */ (event.target).value))}>
        ${RATES.map((step) => html`<option value=${step} .selected=${step === rate}>${words.transport.speed(step)}</option>`)}</select></label>
    ${button("loop_cycle", words.transport.loop, looping)}
    <label class="marks-go"><span class="only-heard">${words.transport.frame_field}</span>
      <input type="text" inputmode="decimal" autocomplete="off" ?disabled=${!can} placeholder=${`${words.transport.frame_field} (${label("go_to")})`} title=${words.transport.frame_field_help}
        @keydown=${typed}></label>
  </div>`;
}

// Over and under each picture: which clip and cycle it is, what the arms do on the frame shown.

import { html, nothing } from "../vendor/lit-html/lit-html.js";
import { live } from "../vendor/lit-html/directives/live.js";
import { together as words } from "../words/together.js";
import { FROM_START } from "./choices.js";
import { clipName } from "../compare/format.js";

/** @typedef {import("./view.js").View} View */

/** @param {View} view @param {number} index */
export function headTemplate(view, index) {
  const { choices, context: { store } } = view;
  const clips = store.session?.clips ?? [];
  return html`<header class="together-head">
    <select class="together-clip" data-clip-of=${index} aria-label=${words.clip(index)}
      @change=${(/** @type {any} */ event) => view.chooseClip(index, Number(event.target.value))}>
      ${clips.map((clip) => html`<option value=${clip.id} .selected=${live(clip.id === choices.clips[index])}>${clipName(clip)}</option>`)}
    </select>
    ${choices.by === "phase" ? cycleTemplate(view, index) : markTemplate(view, index)}
    ${marksTemplate(view, index)}
  </header>`;
}

/** The way to the marks of the frame that is shown. @param {View} view @param {number} index */
function marksTemplate(view, index) {
  const shown = view.pair.shown?.frames[index];
  const clip = view.records[index];
  if (!shown || !view.plan) return nothing;
  return html`<button type="button" class="quiet together-to-marks" data-action="marks" @click=${() => view.context.navigate("marks", { clip: clip.id, at: shown.time })}>${words.to_marks}<span class="only-heard">${words.of_frame(clipName(clip), shown.frame)}</span></button>`;
}

/** @param {View} view @param {number} index */
function cycleTemplate(view, index) {
  const { choices, context: { store } } = view;
  const cycles = choices.cyclesOf(store, index);
  if (cycles.length === 0) return nothing;
  const seen = view.pair.moment?.frames[index].cycle ?? choices.cycles[index];
  const at = cycles.findIndex((cycle) => cycle.index === seen);
  const all = choices.run === "all";
  const name = clipName(view.records[index]);
  // Where all cycles are gone through, both go on together.
  const turn = (/** @type {1|-1} */ way) => (all ? view.turnCycle(way) : view.chooseCycle(index, cycles[at + way].index));
  const strokes = view.facts?.strokes.length ?? 0;
  const stroke = view.pair.moment?.stroke ?? 0;
  const isFirst = all ? stroke <= 0 : at <= 0;
  const isLast = all ? stroke >= strokes - 1 : at < 0 || at >= cycles.length - 1;
  return html`<div class="together-cycle" role="group" aria-label=${words.cycle_of(name)}>
    <button type="button" ?disabled=${isFirst} aria-label="${words.cycle_before}, ${name}" data-cycle="before" @click=${() => turn(-1)}>‹</button>
    <span class="together-cycle-name"><b>${words.cycle(at + 1, cycles.length)}</b> <span class="together-soft">${words.breath(cycles[at]?.breathing ?? null)}</span></span>
    <button type="button" ?disabled=${isLast} aria-label="${words.cycle_after}, ${name}" data-cycle="after" @click=${() => turn(1)}>›</button>
  </div>`;
}

/** @param {View} view @param {number} index */
function markTemplate(view, index) {
  const { choices, context: { store } } = view;
  const clip = view.records[index];
  const marks = store.marking(clip.id)?.marks ?? [];
  return html`<label class="together-from"><span>${words.from}</span>
    <select data-from-of=${index} @change=${(/** @type {any} */ event) => view.choose(() => { choices.from[index] = Number(event.target.value); })}>
      <option value=${FROM_START} .selected=${live(choices.from[index] === FROM_START)}>${words.from_start}</option>
      ${marks.map((/** @type {any} */ mark) => html`<option value=${mark.id} .selected=${live(choices.from[index] === mark.id)}>${words.mark(mark.kind, mark.side, mark.frame)}</option>`)}
    </select></label>`;
}

/** @param {View} view @param {number} index */
export function captionTemplate(view, index) {
  const shown = view.pair.shown?.frames[index];
  const pane = view.pair.panes[index];
  if (!shown || !view.plan) return nothing;
  const frame = pane.player?.current?.frame ?? shown.frame;
  const doing = shown.drive === "none" && shown.waiting ? words.waiting(shown.waiting) : shown.drive ? words.drive[shown.drive] : words.drive_unknown;
  return html`<p class="together-caption">
    ${driveSign(shown.drive)}
    <b class="together-drive">${doing}</b>
    <span class="together-arms">${(/** @type {const} */ (["left", "right"])).map((side, arm) => html`<span class="together-arm together-arm-${side}">${words.arm_now(side, shown.arms[arm] ? words.phase[shown.arms[arm]].toLowerCase() : words.not_marked)}</span>`)}</span>
    <span class="together-frame figures">${shown.held ? html`<b class="together-held">${words.held}</b> ` : nothing}${words.frame(frame)}${pane.player?.current && pane.player.current.proof !== "decoded" ? ` · ${words.proof[pane.player.current.proof]}` : ""}</span>
  </p>`;
}

/** The drive as the roll draws it, small: left above, right below. @param {import("./shapes.js").DriveArms|null} drive */
function driveSign(drive) {
  const on = (/** @type {string} */ side) => drive === "both" || drive === side;
  return html`<svg class="together-sign" viewBox="0 0 28 24" aria-hidden="true" focusable="false">
    <rect class="together-sign-left" data-on=${on("left")} x="1" y="2" width="26" height="9" rx="1.5"></rect>
    <rect class="together-sign-right" data-on=${on("right")} x="1" y="13" width="26" height="9" rx="1.5"></rect>
  </svg>`;
}

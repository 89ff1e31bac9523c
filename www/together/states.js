// What the together view says where there is nothing to hold together yet, or a picture is missing.

import { html, nothing } from "../vendor/lit-html/lit-html.js";
import { chooseFiles } from "../sitting/files.js";
import { together as words } from "../words/together.js";
import { clipName } from "../compare/format.js";

/** @typedef {import("./view.js").View} View */

/** The session has fewer than two clips. @param {View} view */
export function tooFewClips(view) {
  const { store, navigate } = view.context;
  const [only] = store.session?.clips ?? [];
  const twice = only && (["left", "right"]).some((side) => (store.phaseMap(only.id, /** @type {any} */ (side))?.cycles.length ?? 0) > 1);
  return html`<section class="together-nothing">
    <h2>${only ? words.nothing.one_title : words.nothing.title}</h2>
    <p>${only ? words.nothing.one(clipName(only)) : words.nothing.text}</p>
    <div class="actions">
      <button type="button" class="primary" @click=${() => navigate("clips")}>${words.nothing.add}</button>
      ${twice ? html`<button type="button" data-action="twice" @click=${() => view.chooseClip(1, only.id)}>${words.nothing.twice}</button>` : nothing}
    </div>
  </section>`;
}

/** By phase, but a clip has no complete cycle of the arm. @param {View} view */
export function noCycle(view) {
  const { choices, context: { store, navigate } } = view;
  const lacking = [0, 1].filter((index) => choices.cyclesOf(store, index).length === 0);
  const clips = [...new Set(lacking.map((index) => view.records[index]))];
  const other = choices.side === "left" ? "right" : "left";
  return html`<section class="together-nothing" role="status">
    <p><strong>${words.nothing.no_cycle(clips.map((clip) => clipName(clip)), choices.side)}</strong> ${words.nothing.no_cycle_hint(choices.side)}</p>
    <div class="actions">
      ${clips.map((clip, index) => html`<button type="button" class=${index === 0 ? "primary" : ""} data-action="mark" @click=${() => navigate("marks", { clip: clip.id })}>${words.nothing.mark(clipName(clip))}</button>`)}
      ${choices.can(store, other) ? html`<button type="button" data-action="other-arm" @click=${() => view.choose(() => choices.setSide(store, other))}>${words.nothing.other_arm(other)}</button>` : nothing}
      <button type="button" data-action="by-time" @click=${() => view.choose(() => { choices.by = "time"; })}>${words.nothing.by_time}</button>
    </div>
  </section>`;
}

/** What stands in the place of a picture that is not there. @param {View} view @param {number} index */
export function inPlaceOfPicture(view, index) {
  const { context } = view;
  const pane = view.pair.panes[index];
  const clip = view.records[index];
  const files = context.files();
  const trouble = pane.trouble ?? pane.missed;
  if (trouble) return html`<div class="together-instead" role="alert"><p><strong>${trouble.message}</strong> ${trouble.hint}</p></div>`;
  if (pane.opening) {
    return html`<div class="together-instead" role="status"><p>${words.missing.opening(clip.name)}</p><progress aria-label=${words.missing.opening(clip.name)}></progress></div>`;
  }
  if (pane.player !== null) return nothing;
  const tried = async (/** @type {() => Promise<void>} */ task) => {
    try {
      await task();
      if (files.fileOf(clip.id)) context.say(words.missing.linked(clip.name));
    } catch (error) {
      context.notify(error, clip.name);
    }
  };
  const choose = async () => {
    const [chosen] = await chooseFiles({ what: "clip" });
    if (chosen) await files.relink(clip.id, chosen);
  };
  return html`<div class="together-instead" data-missing=${clip.id}>
    <p><strong>${words.missing.title(clip.name)}.</strong> ${words.missing.text}</p>
    <div class="actions">
      ${files.hasHandle(clip.id) ? html`<button type="button" class="primary" data-action="reopen" @click=${() => tried(() => files.reopen(clip.id))}>${words.missing.reopen(clip.name)}</button>` : nothing}
      <button type="button" data-action="choose-again" @click=${() => tried(choose)}>${words.missing.choose(clip.name)}</button>
    </div>
  </div>`;
}

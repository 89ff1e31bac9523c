// One clip of the session: what it is, where its file is, how it was filmed, what was swum, how far its marks are.

import { html, nothing } from "../vendor/lit-html/lit-html.js";
import { live } from "../vendor/lit-html/directives/live.js";
import { fieldValue } from "./field-value.js";
import { clips as words } from "../words.js";
import { numberFrom, wanting } from "./number-field.js";

/**
 * @typedef {object} CardState
 * @property {import("../sitting/types.js").ClipView} clip
 * @property {import("../sitting/clip-files.js").ClipFiles} files
 * @property {boolean} isOpen     whether it is the clip that Marks and Numbers show
 * @property {boolean} readOnly
 * @property {{done: number, of: number}|null} check  how far the comparison of pictures is
 * @property {import("./number-field.js").Wanted} wanted
 * @property {(change: object) => void} edit
 * @property {number|null} frame_error_ms  SD of an interval between two marks, from the frames' spacing alone
 * @property {boolean} isUnfolded
 * @property {(isUnfolded: boolean) => void} unfold
 * @property {() => void} mark
 * @property {() => void} remove
 * @property {() => void} choose
 * @property {() => void} reopen
 * @property {() => void} startCheck
 * @property {() => void} cancelCheck
 */

/** @param {CardState} state */
export function clipCard(state) {
  const { clip, files, isOpen, readOnly } = state;
  const isAtHand = files.fileOf(clip.id) !== null;
  return html`
    <article class="clip" data-clip=${clip.id} data-open=${isOpen} aria-labelledby="clip-${clip.id}-title">
      <header class="clip-head">
        <div class="poster">${files.posterOf(clip.id) ?? nothing}</div>
        <div class="clip-name">
          <h3 id="clip-${clip.id}-title">${clip.label || clip.name}</h3>
          <p class="soft small">${clip.label ? `${clip.name} · ` : nothing}${words.reached(clip.cycles_marked, clip.marks_count, clip.flags_count)}</p>
          ${isAtHand
            ? nothing
            : html`
                <div class="needs-file">
                  <p><b>${words.needs_file}.</b> ${words.needs_file_text}</p>
                  <div class="actions">
                    ${files.hasHandle(clip.id) ? html`<button type="button" class="primary" data-action="reopen" @click=${state.reopen}>${words.reopen(clip.name)}</button>` : nothing}
                    <button type="button" data-action="choose-again" @click=${state.choose}>${words.choose_again(clip.name)}</button>
                  </div>
                </div>
              `}
        </div>
        <div class="actions clip-actions">
          <button type="button" class=${isAtHand ? "primary" : ""} data-action="mark" @click=${state.mark}>${words.mark_this}</button>
          <button type="button" class="quiet" data-action="remove" ?disabled=${readOnly} aria-label="${words.remove_clip}: ${clip.label || clip.name}" @click=${state.remove}>${words.remove}</button>
        </div>
      </header>
      <details class="clip-details" .open=${live(state.isUnfolded)} @toggle=${(/** @type {any} */ event) => state.unfold(event.target.open)}>
        <summary>${words.inShort(inShort(clip))}</summary>
        ${state.isUnfolded ? html`<div class="clip-body">${aboutFile(state)} ${aboutFilming(state)} ${aboutSwim(state)}</div>` : nothing}
      </details>
    </article>
  `;
}

/**
 * What is stated about a clip, for the line that stays when it is folded.
 * @param {import("../sitting/types.js").ClipView} clip
 */
function inShort(clip) {
  return {
    view: clip.view,
    frame_rate: rate(clip.frame_rate_fps),
    isRateStated: clip.filmed_rate_fps !== null,
    kick: clip.kick,
    aids: clip.aids,
    speed: clip.speed,
    duration: clip.duration_s.toFixed(1),
  };
}

/** @param {CardState} state */
function aboutFile({ clip, files, check, readOnly, startCheck, cancelCheck }) {
  const facts = files.factsOf(clip.id);
  const ms = (/** @type {number} */ ticks) => ((1000 * ticks) / clip.timescale).toFixed(2);
  return html`
    <section class="clip-part" aria-label=${words.facts_heading}>
      <h4>${words.facts_heading}</h4>
      <dl class="facts">
        <dt>${words.fact.codec}</dt><dd>${words.format(clip.container, clip.codec)}</dd>
        <dt>${words.fact.picture}</dt><dd class="figures">${clip.width} × ${clip.height}</dd>
        <dt>${words.fact.frames}</dt><dd class="figures">${clip.frame_count.toLocaleString("en")}</dd>
        ${facts ? html`<dt>${words.fact.spacing}</dt><dd class="figures">${words.spacing(ms(facts.spacing.minimum), ms(facts.spacing.median), ms(facts.spacing.maximum))}</dd>` : nothing}
        <dt>${words.fact.length}</dt><dd class="figures">${clip.duration_s.toFixed(2)} s</dd>
        <dt>${words.fact.size}</dt><dd class="figures">${sizeOf(clip.size_bytes)}</dd>
      </dl>
      ${facts ? html`<p class="small soft">${words.dropped(facts.suspected_dropped.length)}</p>` : nothing}
      ${[...(facts?.warnings ?? []), ...(facts?.cautions ?? [])].map((/** @type {import("../sitting/types.js").Trouble} */ told) => html`<p class="small caution">${told.message} ${told.hint}</p>`)}
      ${clip.frame_count === 1 ? html`<p class="small caution">${words.one_frame}</p>` : nothing}
      ${check
        ? html`
            <label class="field small">${words.checking(check.done, check.of)}<progress max=${check.of} value=${check.done}></progress></label>
            <button type="button" data-action="cancel-check" @click=${cancelCheck}>${words.cancel}</button>
          `
        : html`
            <p class="small soft">${clip.duplicated_frames === null ? words.duplicates_unchecked : words.duplicated(clip.duplicated_frames.length)}</p>
            ${facts && clip.duplicated_frames === null
              ? html`<button type="button" data-action="check" ?disabled=${readOnly} @click=${startCheck}>${words.check_duplicates}</button>`
              : nothing}
          `}
    </section>
  `;
}

/** @param {CardState} state */
function aboutFilming({ clip, files, readOnly, edit, frame_error_ms }) {
  const facts = files.factsOf(clip.id);
  return html`
    <fieldset class="clip-part" ?disabled=${readOnly}>
      <legend class="part-title">${words.filmed_heading}</legend>
      <div class="two">
      <label class="field">${words.label}
        <input name="label" autocomplete="off" placeholder=${words.label_hint} .value=${fieldValue(clip.label)} @change=${(/** @type {any} */ event) => edit({ label: event.target.value.trim() })}>
      </label>
      <label class="field">${words.view}
        <select name="view" @change=${(/** @type {any} */ event) => edit({ view: event.target.value || null })}>${options(words.views, clip.view ?? "")}</select>
      </label>
      </div>
      <label class="field">${words.filmed_rate}
        <input name="filmed_rate" inputmode="decimal" placeholder=${words.filmed_rate_hint} .value=${fieldValue(clip.filmed_rate_fps === null ? "" : String(clip.filmed_rate_fps))}
          @change=${(/** @type {any} */ event) => numberFrom(event, (filmed_rate_fps) => edit({ filmed_rate_fps }), { empty: () => edit({ filmed_rate_fps: null }) })}>
        ${wanting}
      </label>
      <div class="rate small">${rateText(clip, facts, frame_error_ms, edit)}</div>
    </fieldset>
  `;
}

/**
 * What the file, the camera and the coach say of the rate, and what that does to every second.
 * @param {import("../sitting/types.js").ClipView} clip
 * @param {any} facts
 * @param {number|null} frame_error_ms
 * @param {(change: object) => void} edit
 */
function rateText(clip, facts, frame_error_ms, edit) {
  const plays = facts ? clip.timescale / facts.spacing.median : null;
  const stated = clip.filmed_rate_fps;
  const capture = clip.capture_rate_fps;
  const differs = capture !== null && plays !== null && Math.abs(capture - plays) > 0.02 * plays;
  return html`
    ${plays === null ? nothing : html`<p>${words.file_plays(rate(plays))}</p>`}
    ${capture !== null
      ? html`<p>${words.capture_rate(rate(capture))}
          ${differs && stated !== capture ? html`<button type="button" class="inline" data-action="use-capture-rate" @click=${() => edit({ filmed_rate_fps: capture })}>${words.use_capture_rate}</button>` : nothing}</p>`
      : nothing}
    <p>${stated === null ? words.rate_as_file : effectOf(stated, plays)}</p>
    ${frame_error_ms === null ? nothing : html`<p>${words.rate_error((1000 / clip.frame_rate_fps).toFixed(2), frame_error_ms.toFixed(1))}</p>`}
  `;
}

/** @param {number} stated @param {number|null} plays */
function effectOf(stated, plays) {
  if (plays === null || Math.abs(stated - plays) < 0.005 * plays) return words.rate_same;
  return stated > plays ? words.rate_stated(rate(stated), (stated / plays).toPrecision(3)) : words.rate_faster(rate(stated), (plays / stated).toPrecision(3));
}

/** @param {number} bytes */
function sizeOf(bytes) {
  return bytes < 1e6 ? `${(bytes / 1e3).toFixed(0)} kB` : `${(bytes / 1e6).toFixed(1)} MB`;
}

/** A frame rate as people write it: 30, 29.97, 240. @param {number} fps */
function rate(fps) {
  return String(Number(fps.toFixed(2)));
}

/** @param {CardState} state */
function aboutSwim({ clip, readOnly, edit, wanted }) {
  const key = `speed ${clip.id}`;
  const speed = clip.speed;
  const kind = wanted.kindOf(key, speed?.kind ?? "none");
  /** @param {object} stated */
  const state = (stated) => wanted.drop(key, () => edit({ speed: stated }));
  return html`
    <fieldset class="clip-part" ?disabled=${readOnly}>
      <legend class="part-title">${words.swum_heading}</legend>
      <div class="two">
      <label class="field">${words.kick}
        <select name="kick" @change=${(/** @type {any} */ event) => edit({ kick: event.target.value || null })}>${options(words.kicks, clip.kick ?? "")}</select>
      </label>
      <label class="field">${words.speed}
        <select name="speed" @change=${(/** @type {any} */ event) => (event.target.value === "none" ? wanted.drop(key, () => edit({ speed: null })) : wanted.ask(key, event.target.value, speed?.kind))}>
          ${options(words.speeds, kind)}
        </select>
      </label>
      </div>
      <div class="field" role="group" aria-label=${words.aids_label}>
        <span class="label">${words.aids_label}</span>
        <div class="choices">
          ${Object.entries(words.aids).map(
            ([aid, text]) => html`<label class="choice"><input type="checkbox" name="aid_${aid}" .checked=${live(clip.aids.includes(aid))}
              @change=${(/** @type {any} */ event) => edit({ aids: event.target.checked ? [...clip.aids, aid] : clip.aids.filter((/** @type {string} */ other) => other !== aid) })}>${text}</label>`,
          )}
        </div>
      </div>
      ${kind === "flume"
        ? html`<div class="pair">
            <label class="field">${words.speed_m_per_s}
              <input name="flume_speed" inputmode="decimal" .value=${fieldValue(speed?.kind === "flume" ? String(speed.m_per_s) : "")}
                @change=${(/** @type {any} */ event) => numberFrom(event, (m_per_s) => state({ kind: "flume", m_per_s, uncertainty_m_per_s: speed?.kind === "flume" ? (speed.uncertainty_m_per_s ?? null) : null }))}>
              ${wanting}
            </label>
            ${speed?.kind === "flume"
              ? html`<label class="field">${words.speed_uncertainty}
                  <input name="flume_uncertainty" inputmode="decimal" .value=${fieldValue(speed.uncertainty_m_per_s == null ? "" : String(speed.uncertainty_m_per_s))}
                    @change=${(/** @type {any} */ event) =>
                      numberFrom(event, (uncertainty_m_per_s) => state({ ...speed, uncertainty_m_per_s }), { empty: () => state({ ...speed, uncertainty_m_per_s: null }) })}>
                  ${wanting}
                </label>`
              : nothing}
          </div>`
        : nothing}
      ${kind === "pace"
        ? html`<label class="field">${words.speed_pace}
            <input name="pace" inputmode="decimal" .value=${fieldValue(speed?.kind === "pace" ? String(speed.s_per_100_m) : "")}
              @change=${(/** @type {any} */ event) => numberFrom(event, (s_per_100_m) => state({ kind: "pace", s_per_100_m }))}>
            ${wanting}
          </label>`
        : nothing}
      ${kind === "passes"
        ? html`<label class="field">${words.speed_distance}
            <input name="distance" inputmode="decimal" .value=${fieldValue(speed?.kind === "passes" ? String(speed.distance_m) : "")}
              @change=${(/** @type {any} */ event) => numberFrom(event, (distance_m) => state({ kind: "passes", distance_m }))}>
            ${wanting}
            <span class="soft small">${words.speed_passes_hint}</span>
          </label>`
        : nothing}
      <label class="field">${words.notes}
        <textarea name="notes" rows="1" .value=${fieldValue(clip.notes)} @change=${(/** @type {any} */ event) => edit({ notes: event.target.value })}></textarea>
      </label>
    </fieldset>
  `;
}

/** @param {Record<string, string>} texts @param {string} chosen */
function options(texts, chosen) {
  return Object.entries(texts).map(([value, text]) => html`<option value=${value} .selected=${live(value === chosen)}>${text}</option>`);
}

// Choosing the two sets: one or several clips each, a stretch of each by its cycles, all strokes or one kind of them.

import { html, nothing } from "../vendor/lit-html/lit-html.js";
import { live } from "../vendor/lit-html/directives/live.js";
import { compare } from "../words/compare.js";
import { numbers } from "../words/numbers.js";
import { clipName } from "./format.js";
import { countedCycles, endWith, heldBy, startFrom } from "./stretch.js";

/** @typedef {import("../sitting/types.js").ClipView} ClipView */
/** @typedef {import("../sitting/types.js").CycleSet} CycleSet */
/** @typedef {import("./types.js").Breathing} Breathing */
/** @typedef {import("./types.js").Sets} Sets */
/** @typedef {import("./types.js").SetSummary} SetSummary */
/** @typedef {"before"|"after"} Which */

const words = compare.sets;
/** @type {Breathing[]} */
const STROKES = ["all", "breathing", "non_breathing"];

/**
 * @typedef {object} SetsShown
 * @property {import("../sitting/store.js").Store} store
 * @property {Sets} sets
 * @property {Record<Which, SetSummary>|null} held
 * @property {string[]} kinds   all that could be asked about
 * @property {boolean} open
 * @property {(open: boolean) => void} unfold
 * @property {(change: Partial<Sets>) => void} change
 */

/** What is compared, in one line each; unfolded, the form to change it. @param {SetsShown} shown */
export function sets(shown) {
  return html`<details
    class="compare-sets"
    .open=${live(shown.open)}
    @toggle=${(/** @type {Event} */ event) => shown.unfold(/** @type {HTMLDetailsElement} */ (event.currentTarget).open)}
  >
    <summary>
      <span class="compare-sets-said">${said(shown).map((line) => html`<span>${line}</span>`)}</span>
      <span class="compare-sets-change" aria-hidden="true">${words.change}</span>
    </summary>
    <div class="compare-sets-pair">${/** @type {Which[]} */ (["before", "after"]).map((which) => form(shown, which))}</div>
    ${asked(shown)}
    <div class="compare-paired">
      <label class="choice">
        <input
          type="checkbox"
          .checked=${live(shown.sets.paired)}
          ?disabled=${shown.store.readOnly}
          @change=${(/** @type {Event} */ event) => shown.change({ paired: /** @type {HTMLInputElement} */ (event.target).checked })}
        />
        ${words.paired}
      </label>
      <p class="soft small">${words.paired_why}</p>
    </div>
  </details>`;
}

/** What is asked about: each kind with a way to drop it, and one to add another. @param {SetsShown} shown */
function asked({ store, sets, kinds, change }) {
  const put = (/** @type {string[]} */ next) => change({ kinds: next });
  const free = kinds.filter((kind) => !sets.kinds.includes(kind));
  return html`<fieldset class="compare-asked" ?disabled=${store.readOnly}>
    <legend>${words.asked}</legend>
    ${sets.kinds.map(
      (kind) => html`<span class="compare-asked-kind" data-kind=${kind}>${numbers.measure(kind)}
        ${sets.kinds.length < 2 ? nothing : html`<button type="button" class="quiet" aria-label=${words.ask_not(numbers.measure(kind))} @click=${() => put(sets.kinds.filter((one) => one !== kind))}>×</button>`}
      </span>`,
    )}
    <select
      aria-label=${words.ask}
      data-field="ask"
      .value=${live("")}
      @change=${(/** @type {Event} */ event) => put([...sets.kinds, /** @type {HTMLSelectElement} */ (event.target).value])}
    >
      <option value="" selected>${words.ask}</option>
      ${free.map((kind) => html`<option value=${kind}>${numbers.measure(kind)}</option>`)}
    </select>
    <span class="soft small">${words.asked_why}</span>
  </fieldset>`;
}

/** Both sets in words, one line each. @param {{store: SetsShown["store"], sets: Sets, held: SetsShown["held"]}} shown */
export function said({ store, sets, held }) {
  return /** @type {Which[]} */ (["before", "after"]).map((which) => {
    const { parts, breathing } = sets[which];
    const names = parts.map((part) => {
      const [from, to] = endsOf(store, part);
      return words.part(clipName(clipOf(store, part.clip)), from, to);
    });
    return words.said(which, names, breathing, heldSaid(held, which));
  });
}

/** @param {SetsShown["held"]} held @param {Which} which */
function heldSaid(held, which) {
  return held ? words.held(held[which].cycles, held[which].frame_rate_fps) : "";
}

/** @param {SetsShown["store"]} store @param {number} id */
function clipOf(store, id) {
  return store.session?.clips.find((clip) => clip.id === id);
}

/** @param {SetsShown["store"]} store @param {{clip: number, from: number|null, to: number|null}} part */
function placesOf(store, part) {
  const { side, cycles } = countedCycles(store.marking(part.clip)?.analysis);
  return { side, cycles, held: heldBy(cycles, part) };
}

/** The ends of a stretch in words; null where it is the clip's own. @param {SetsShown["store"]} store @param {{clip: number, from: number|null, to: number|null}} part */
function endsOf(store, part) {
  const { side, cycles, held } = placesOf(store, part);
  const name = (/** @type {number|null} */ given, /** @type {number|undefined} */ place) =>
    given === null ? null : place === undefined ? words.elsewhere : words.cycle(cycles[place].index + 1, side);
  return [name(part.from, held?.first), name(part.to, held?.last)];
}

/** @param {SetsShown} shown @param {Which} which */
function form({ store, sets, held, change }, which) {
  const set = sets[which];
  const put = (/** @type {Partial<CycleSet>} */ part) => change({ [which]: { ...set, ...part } });
  const free = (store.session?.clips ?? []).filter(({ id }) => !set.parts.some(({ clip }) => clip === id));
  return html`<fieldset class="compare-set" data-set=${which} ?disabled=${store.readOnly}>
    <legend>${words.names[which]}</legend>
    ${set.parts.map((part, index) =>
      stretch(store, part, {
        put: (next) => put({ parts: set.parts.map((one, place) => (place === index ? next : one)) }),
        remove: set.parts.length < 2 ? null : () => put({ parts: set.parts.filter((_, place) => place !== index) }),
      }),
    )}
    <div class="compare-set-foot">
      <label class="field">
        <span class="label">${words.strokes}</span>
        <select .value=${live(set.breathing)} data-field="breathing" @change=${(/** @type {Event} */ event) => put({ breathing: /** @type {Breathing} */ (/** @type {HTMLSelectElement} */ (event.target).value) })}>
          ${STROKES.map((one) => html`<option value=${one} ?selected=${one === set.breathing}>${words.breathing(one)}</option>`)}
        </select>
      </label>
      ${free.length === 0
        ? nothing
        : html`<button type="button" data-action="add-part" @click=${() => put({ parts: [...set.parts, { clip: free[0].id, from: null, to: null }] })}>${words.add_clip}</button>`}
      <span class="soft figures" data-held>${heldSaid(held, which)}</span>
    </div>
  </fieldset>`;
}

/**
 * One clip of a set and the stretch of it.
 * @param {SetsShown["store"]} store
 * @param {{clip: number, from: number|null, to: number|null}} part
 * @param {{put: (part: {clip: number, from: number|null, to: number|null}) => void, remove: (() => void)|null}} act
 */
function stretch(store, part, { put, remove }) {
  const clips = store.session?.clips ?? [];
  const clip = clipOf(store, part.clip);
  const { side, cycles, held } = placesOf(store, part);
  if (!clip) return nothing;
  const chosen = (/** @type {Event} */ event) => /** @type {HTMLSelectElement} */ (event.target).value;
  const fromClip = (/** @type {Event} */ event) => put({ clip: Number(chosen(event)), from: null, to: null });
  const from = (/** @type {Event} */ event) => {
    const place = chosen(event);
    put({ ...part, from: place === "" ? null : startFrom(cycles[Number(place)], clip.first) });
  };
  const to = (/** @type {Event} */ event) => {
    const place = chosen(event);
    put({ ...part, to: place === "" ? null : endWith(cycles[Number(place)], clip.end) });
  };
  const first = part.from === null ? "" : String(held?.first ?? "elsewhere");
  const last = part.to === null ? "" : String(held?.last ?? "elsewhere");
  const end = (/** @type {"from"|"to"} */ field, /** @type {string} */ value, /** @type {string} */ own, /** @type {(event: Event) => void} */ change) => html`<label class="field">
    <span class="label">${words[field]}</span>
    <select .value=${live(value)} data-field=${field} @change=${change}>
      <option value="" ?selected=${value === ""}>${own}</option>
      ${value === "elsewhere" ? html`<option value="elsewhere" selected disabled>${words.elsewhere}</option>` : nothing}
      ${cycles.map((cycle, place) => html`<option value=${place} ?selected=${value === String(place)}>${words.cycle(cycle.index + 1, side)}</option>`)}
    </select>
  </label>`;
  return html`<div class="compare-part">
    <label class="field">
      <span class="label">${words.clip}</span>
      <select .value=${live(String(part.clip))} data-field="clip" @change=${fromClip}>
        ${clips.map((one) => html`<option value=${one.id} ?selected=${one.id === part.clip}>${one.label ? `${one.label} (${one.name})` : one.name}</option>`)}
      </select>
    </label>
    ${end("from", first, words.start, from)} ${end("to", last, words.end, to)}
    ${remove === null ? nothing : html`<button type="button" class="quiet compare-part-remove" data-action="remove-part" aria-label=${words.remove_clip(clipName(clip))} title=${words.remove_clip(clipName(clip))} @click=${remove}>×</button>`}
  </div>`;
}

// On what the numbers stand: the filmed rate, what ± means, how many marks are on frames that were not proven.

import { html, nothing } from "../vendor/lit-html/lit-html.js";
import { live } from "../vendor/lit-html/directives/live.js";
import { numbers } from "../words/numbers.js";

const words = numbers.basis;

/**
 * Seconds are the swimmer's only if the filmed rate is right: so it stands at every group, and leads to the choice.
 * @param {{clip: import("../sitting/types.js").ClipView, analysis: any}} shown
 */
export function rateTag({ clip, analysis }) {
  return html`<button class="quiet numbers-rate-tag" title=${words.tag_hint} @click=${toChoice}>
    ${words.tag(clip.filmed_rate_fps, analysis.frame_rate_fps)}
  </button>`;
}

function toChoice() {
  const choice = document.querySelector(".numbers-basis input:checked");
  if (choice instanceof HTMLElement) {
    choice.focus();
    choice.scrollIntoView({ block: "center" });
  }
}

/**
 * Whose numbers these are; another clip of the session is one choice away.
 * @param {import("../sitting/types.js").Context} context
 * @param {import("../sitting/types.js").ClipView} clip
 */
function clipChoice({ store, navigate }, clip) {
  const clips = store.session?.clips ?? [];
  if (clips.length < 2) {
    return html`<strong class="numbers-clip">${words.clip(clip)}</strong>`;
  }
  return html`<select
    class="numbers-clip"
    aria-label=${words.clip_choice}
    .value=${live(String(clip.id))}
    @change=${(/** @type {Event} */ event) => navigate("numbers", { clip: Number(/** @type {HTMLSelectElement} */ (event.target).value) })}
  >
    ${clips.map((one) => html`<option value=${one.id} ?selected=${one.id === clip.id}>${words.clip(one)}</option>`)}
  </select>`;
}

/**
 * @param {import("../sitting/types.js").Context} context
 * @param {{clip: import("../sitting/types.js").ClipView, analysis: any, marks: import("./types.js").MarkOnFrame[]}} shown
 */
export function basis(context, { clip, analysis, marks }) {
  const { store } = context;
  const filmed = clip.filmed_rate_fps;
  const unproven = marks.filter((mark) => mark.proof === "not_proven").length;
  const state = (/** @type {number|null} */ rate) => {
    if (rate !== null && !(Number.isFinite(rate) && rate > 0)) {
      context.notify({ kind: "filmed_rate", message: words.bad_rate, severity: "warning" });
      return;
    }
    if (rate !== filmed) {
      store.apply({ command: "edit_clip", clip: clip.id, change: { filmed_rate_fps: rate } });
    }
  };
  // Nothing changes until a rate is typed: a guessed one would change every second on the page.
  const askForRate = (/** @type {Event} */ event) => {
    const field = /** @type {HTMLInputElement} */ (/** @type {HTMLElement} */ (event.target).closest("fieldset")?.querySelector("input[type=number]"));
    if (clip.capture_rate_fps !== null) {
      state(clip.capture_rate_fps);
    } else {
      field.focus();
    }
  };
  return html`<section class="numbers-basis" aria-label=${words.heading}>
    ${clipChoice(context, clip)}
    <fieldset ?disabled=${store.readOnly}>
      <legend class="only-heard">${words.legend}</legend>
      <span class="numbers-basis-name" aria-hidden="true">${words.legend}</span>
      <label class="choice">
        <input type="radio" name="filmed-rate" .checked=${live(filmed === null)} @change=${() => state(null)} />
        ${words.as_it_plays}
      </label>
      <label class="choice">
        <input type="radio" name="filmed-rate" .checked=${live(filmed !== null)} @change=${askForRate} />
        ${words.filmed_at}
      </label>
      <input
        type="number"
        class="numbers-rate"
        min="1"
        step="any"
        inputmode="decimal"
        aria-label=${words.rate_label}
        placeholder=${words.rate_example}
        .value=${live(String(filmed ?? clip.capture_rate_fps ?? ""))}
        @change=${(/** @type {Event} */ event) => state(/** @type {HTMLInputElement} */ (event.target).valueAsNumber)}
      />
      <span>${words.unit}</span>
      ${clip.capture_rate_fps === null ? nothing : html`<span class="soft">${words.camera_wrote(clip.capture_rate_fps)}</span>`}
    </fieldset>
    <p class="numbers-meaning">
      ${words.frame(1000 / analysis.frame_rate_fps)} ${words.uncertainty}
      <a href="methods.html">${words.methods}</a>
    </p>
    ${unproven === 0 ? nothing : html`<p class="numbers-caution" data-caution="not_proven">${words.not_proven(unproven, marks.length)}</p>`}
    ${analysis.flags.length === 0 ? nothing : html`<p class="numbers-caution" data-caution="flags">${words.flags(analysis.flags.length)}</p>`}
  </section>`;
}

// The band at the top: the sitting in order, each part saying how far it is; undo and redo saying what they would
// do; where the work is kept. On a narrow screen the way-finding moves to the foot, under the thumbs.

import { html, nothing, render } from "../vendor/lit-html/lit-html.js";
import { icons } from "./icons.js";
import { SITTING_WAYS, hashOf } from "./routes.js";
import { shownTheme } from "./theme.js";
import { shell as words } from "../words.js";

/** @typedef {import("../sitting/types.js").Way} Way */

/**
 * @typedef {object} HeaderState
 * @property {Way} way
 * @property {import("../sitting/store.js").Store} store
 * @property {number} withoutFile      clips whose file is not at hand
 * @property {{ever: boolean, since: number}} handedOver
 * @property {(way: Way) => import("./routes.js").Place} placeFor
 * @property {() => void} undo
 * @property {() => void} redo
 * @property {() => void} toggleTheme
 */

/**
 * @param {HTMLElement} root
 * @param {HeaderState} state
 */
export function drawHeader(root, state) {
  const { store, way } = state;
  const reached = reachedBy(state);
  const saved = store.readOnly ? "read_only" : store.saved.state;
  const theme = shownTheme();
  render(
    html`
      <a class="wordmark" href=${hashOf(state.placeFor("clips"))} aria-label="wetframe: ${words.ways.clips}">
        <svg class="mark" viewBox="0 0 34 20" width="34" height="20" aria-hidden="true">
          <rect x="0" y="5" width="13" height="10" fill="var(--drive)"></rect>
          <path d="M14 5.5h9M14 14.5h9" stroke="var(--drive)" stroke-dasharray="1.8 1.8"></path>
          <rect x="24" y="5" width="10" height="10" fill="var(--drive)"></rect>
        </svg>
        <span class="wordmark-name">${words.name}</span>
      </a>

      <nav class="ways" aria-label=${words.ways.label}>
        <ol>
          ${SITTING_WAYS.map(
            (name) => html`
              <li>
                <a class="way" href=${hashOf(state.placeFor(name))} aria-current=${name === way ? "page" : nothing} data-reached=${reached[name].some}>
                  ${icons[/** @type {keyof typeof icons} */ (name)]}
                  <span class="way-name">${nameOf(name)}</span>
                  <span class="way-state">${reached[name].text}</span>
                </a>
              </li>
            `,
          )}
        </ol>
      </nav>

      <div class="header-tools">
        ${store.session
          ? html`
              <button type="button" class="quiet tool" data-action="undo" ?disabled=${store.readOnly || store.undoLabel === null} @click=${state.undo}
                title="${words.undoWhat(store.undoLabel ?? words.nothing)} (Ctrl+Z)">
                ${icons.undo}<span class="tool-text"><span>${words.undo}</span> <small>${store.undoLabel ?? words.nothing}</small></span>
              </button>
              <button type="button" class="quiet tool" data-action="redo" ?disabled=${store.readOnly || store.redoLabel === null} @click=${state.redo}
                title="${words.redoWhat(store.redoLabel ?? words.nothing)} (Ctrl+Shift+Z)">
                ${icons.redo}<span class="tool-text"><span>${words.redo}</span> <small>${store.redoLabel ?? words.nothing}</small></span>
              </button>
              <p class="saved" data-saved=${saved} title=${words.written(store.written)}>
                ${icons[saved === "empty" ? "saved" : saved]}
                <span class="tool-text"><span>${words.saved[saved]}</span><small>${whereOf(saved)}</small></span>
              </p>
            `
          : nothing}
        <a class="button quiet icon-only" href=${hashOf(state.placeFor("guide"))} aria-label=${words.guide} title=${words.guide} aria-current=${way === "guide" ? "page" : nothing}>${icons.guide}</a>
        <a class="button quiet icon-only" href=${hashOf(state.placeFor("keys"))} aria-label=${words.keys} title="${words.keys} (?)" aria-current=${way === "keys" ? "page" : nothing}>${icons.keys}</a>
        <button type="button" class="quiet icon-only" data-action="theme" @click=${state.toggleTheme}
          aria-label=${theme === "dark" ? words.theme_to_light : words.theme_to_dark} title=${theme === "dark" ? words.theme_to_light : words.theme_to_dark}>
          ${theme === "dark" ? icons.light : icons.dark}
        </button>
      </div>
    `,
    root,
  );
}

/** @param {Way} way */
function nameOf(way) {
  return way === "hand-over" ? words.ways.hand_over : words.ways[/** @type {"clips"|"marks"|"numbers"|"compare"} */ (way)];
}

/** @param {"saved"|"saving"|"empty"|"memory_only"|"read_only"} saved */
function whereOf(saved) {
  if (saved === "memory_only") return words.memory_only_where;
  if (saved === "read_only") return words.read_only_where;
  return words.saved_where;
}

/**
 * How far each part of the sitting is, in a few words.
 * @param {HeaderState} state
 * @returns {Record<string, {text: string, some: boolean}>}
 */
function reachedBy({ store, withoutFile, handedOver }) {
  const clips = store.session?.clips ?? [];
  const cycles = total(clips, "cycles_marked");
  const questions = total(clips, "flags_count");
  const marked = clips.filter((clip) => clip.cycles_marked > 0).length;
  const kept = store.session?.comparisons?.length ?? 0;
  return {
    clips: {
      text: withoutFile > 0 ? `${words.clipsState(clips.length)}, ${words.clipsWithoutFile(withoutFile)}` : words.clipsState(clips.length),
      some: clips.length > 0,
    },
    marks: { text: words.marksState(cycles, questions), some: cycles > 0 },
    numbers: { text: words.numbersState(cycles), some: cycles > 0 },
    compare: { text: words.compareState(clips.length, marked, kept), some: marked > 1 || kept > 0 },
    "hand-over": { text: words.handOverState(handedOver.ever, handedOver.since), some: handedOver.ever && handedOver.since === 0 },
  };
}

/** @param {any[]} clips @param {string} field */
function total(clips, field) {
  return clips.reduce((sum, clip) => sum + clip[field], 0);
}

// One visit against another: choosing the other session, and the comparison's figures of the two. Not for: the figures
// themselves.

import { html, nothing, render } from "../vendor/lit-html/lit-html.js";
import { live } from "../vendor/lit-html/directives/live.js";
import { mount } from "../compare/figures.js";
import { bytesOfSession } from "../sitting/session-file.js";
import { PageTrouble } from "../sitting/trouble.js";
import { visits } from "../words/visits.js";
import { PairStore } from "./pair-store.js";

/** @typedef {import("./types.js").Visit} Visit */

const words = visits.pair;

/** Which session was chosen beside each; as long as the page lives. @type {Map<string, string>} */
const CHOSEN = new Map();

export class PairFace {
  #root;
  #context;
  #room;
  #head = document.createElement("div");
  #place = document.createElement("div");
  /** @type {{key: string, store: PairStore|null, view: import("../sitting/types.js").View|null}|null} */
  #shown = null;

  /** @param {HTMLElement} root @param {any} context @param {import("./room.js").VisitsRoom} room */
  constructor(root, context, room) {
    this.#root = root;
    this.#context = context;
    this.#room = room;
    root.setAttribute("aria-labelledby", "visits-pair-title");
    root.append(this.#head, this.#place);
  }

  update() {
    const { store } = this.#context;
    const others = this.#room.visits.filter((visit) => this.#room.sourceOf(visit.session) !== "open" && cyclesOf(visit) > 0);
    const own = this.#room.visits.find(({ session }) => session === store.id);
    const chosen = others.find(({ session }) => session === CHOSEN.get(store.id)) ?? usual(others, own);
    const isReady = chosen !== undefined && own !== undefined && cyclesOf(own) > 0;
    const choose = (/** @type {Event} */ event) => {
      CHOSEN.set(store.id, /** @type {HTMLSelectElement} */ (event.target).value);
      this.update();
    };
    render(
      html`<div class="visits-head">
        <h2 id="visits-pair-title">${words.title}</h2>
        ${isReady
          ? html`<label class="choice">${words.choose}
              <select name="other_visit" .value=${live(chosen.session)} @change=${choose}>
                ${others.toReversed().map((visit) => html`<option value=${visit.session} ?selected=${visit === chosen}>${words.option(visit.date, this.#context.page.same_swimmer(visit.athlete_label, own.athlete_label) ? "" : visit.athlete_label || visits.unnamed, cyclesOf(visit))}</option>`)}
              </select>
            </label>`
          : nothing}
      </div>
      ${isReady ? nothing : html`<p class="soft">${words.none}</p>`}`,
      this.#head,
    );
    const key = isReady ? `${store.id} ${chosen.session}` : "";
    if (this.#shown?.key === key) this.#shown.view?.update();
    else void this.#turnTo(key, chosen);
  }

  /** @param {string} key @param {Visit|undefined} visit */
  async #turnTo(key, visit) {
    this.#leave();
    if (key === "" || !visit) return;
    const turned = { key, store: /** @type {PairStore|null} */ (null), view: /** @type {import("../sitting/types.js").View|null} */ (null) };
    this.#shown = turned;
    try {
      const sitting = await this.#sittingOf(visit);
      if (this.#shown !== turned) {
        sitting.free();
        return;
      }
      turned.store = new PairStore(this.#context.store, sitting);
      turned.view = mount(this.#place, this.#contextOf(turned.store));
      turned.view.update();
    } catch (error) {
      this.#context.notify(error);
    }
  }

  /** The other session, read again whole: the room keeps only means. @param {Visit} visit @returns {Promise<any>} */
  async #sittingOf({ session, athlete_label, date }) {
    const { desk, page } = this.#context;
    const file = this.#room.fileOf(session);
    if (file) {
      let bytes;
      try {
        bytes = await bytesOfSession(file);
      } catch (error) {
        throw new PageTrouble("visit_file_changed", `${file.name}: ${words.changed_file}`, `Close it and open it again. (${error instanceof Error ? error.message : error})`, file.name);
      }
      return page.Sitting.open_file(bytes, file.name);
    }
    const kept = await desk.storage?.read(session);
    if (!kept) throw new PageTrouble("session_not_kept", `${visits.kept_name(athlete_label, date)}: it is no longer there.`, "It was deleted in another tab.");
    return page.Sitting.replay(kept.base_json, kept.lines);
  }

  /** @param {PairStore} store */
  #contextOf(store) {
    const { navigate } = this.#context;
    return {
      ...this.#context,
      store,
      /** A clip's name leads to its session. @param {string} way @param {{clip?: number, at?: number}} [where] */
      navigate: async (way, where = {}) => {
        const place = where.clip === undefined ? null : store.placeOf(where.clip);
        const file = place && this.#room.fileOf(place.session);
        try {
          const session = file ? await this.#context.desk.openFile(file) : place?.session;
          navigate(way, { ...where, ...(place ? { session, clip: place.clip } : {}) });
        } catch (error) {
          this.#context.notify(error);
        }
      },
    };
  }

  #leave() {
    this.#shown?.view?.unmount();
    this.#shown?.store?.close();
    this.#shown = null;
  }

  close() {
    this.#leave();
    render(nothing, this.#head);
    this.#root.replaceChildren();
  }
}

/** @param {Visit} visit */
function cyclesOf({ clips }) {
  return clips.reduce((sum, clip) => sum + clip.cycles_marked, 0);
}

/** The last visit before the open one, else the first after it. @param {Visit[]} others by date @param {Visit|undefined} own */
function usual(others, own) {
  return others.findLast(({ date }) => own !== undefined && date <= own.date) ?? others[0];
}

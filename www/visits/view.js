// An athlete's visits: which sessions lie side by side, one measure over their dates, one visit against another. Draws
// what Rust computed and listens. Not for: changing any session.

import { html, nothing, render } from "../vendor/lit-html/lit-html.js";
import { live } from "../vendor/lit-html/directives/live.js";
import { copyText, tsvOf } from "../numbers/sortable.js";
import { chooseFiles, fileName, isSessionFile, saveFile } from "../sitting/files.js";
import { numbers } from "../words/numbers.js";
import { visits as words } from "../words/visits.js";
import { HistoryChart } from "./chart.js";
import { visitList } from "./list.js";
import { pointsOf, sidesOf } from "./points.js";
import { VisitsRoom } from "./room.js";
import { historyLines, historyTable } from "./table.js";

/** @typedef {import("./points.js").Choice} Choice */
/** @typedef {import("./points.js").Period} Period */

/** Rows that are drawn before the coach asks for more. */
const FIRST_ROWS = 40;
/** More visits than this are folded away: the chart is what is looked at. */
const FEW = 6;

/** How the history is looked at; as long as the page lives. @type {Choice} */
const choice = { arms: "both", period: "all" };

/**
 * @param {HTMLElement} root
 * @param {any} context
 * @returns {import("../sitting/types.js").View}
 */
export function mount(root, context) {
  const { store } = context;
  const place = document.createElement("div");
  place.className = "visits";
  root.append(place);
  const pairPlace = document.createElement("section");
  pairPlace.className = "visits-pair";
  root.append(pairPlace);
  const room = VisitsRoom.of(context);
  /** @type {import("./pair-face.js").PairFace|null} */
  let pair = null;
  /** @type {HistoryChart|null} */
  let chart = null;
  const rows = { visits: FIRST_ROWS, values: FIRST_ROWS };
  /** @type {boolean|null} whether the list is unfolded; null: as it is usual */
  let unfolded = null;
  /** Whether the table's turn has come: the chart is drawn first. */
  let tableIsDue = false;
  let restIsComing = false;

  const told = (/** @type {Event} */ event) => context.notify(/** @type {CustomEvent} */ (event).detail);
  const keptChanged = () => room.follow();
  room.addEventListener("changed", draw);
  room.addEventListener("notice", told);
  context.desk.addEventListener("list", keptChanged);

  function draw() {
    const label = store.session?.athlete.label ?? "";
    const { history, reading } = room;
    const isOther = (/** @type {string} */ of) => of !== label && !context.page.same_swimmer(of, label);
    render(
      html`<section class="visits-sessions" aria-labelledby="visits-title">
          <div class="visits-head">
            <h2 id="visits-title">${words.heading(label, room.visits.length)}</h2>
            <button type="button" data-action="open-beside" @click=${chooseBeside}>${words.open_files}</button>
            ${room.closedCount > 0 ? html`<button type="button" class="quiet" data-action="bring-back" @click=${() => room.bringBack()}>${words.bring_back(room.closedCount)}</button>` : nothing}
          </div>
          <p class="soft">${words.beside(room.counts)} ${label.trim() === "" ? words.no_label : words.how}</p>
          ${reading
            ? html`<div class="visits-reading" role="status">
                <progress max=${reading.of} .value=${reading.done} aria-label=${words.reading(reading.done, reading.of)}></progress>
                <span>${words.reading(reading.done, reading.of)}</span>
                <button type="button" data-action="stop-reading" @click=${() => room.stop()}>${words.cancel}</button>
              </div>`
            : room.unread > 0
              ? html`<div class="visits-reading"><span>${words.stopped(room.unread)}</span> <button type="button" data-action="read-rest" @click=${() => room.readRest()}>${words.read_rest}</button></div>`
              : nothing}
        </section>
        <section class="visits-history" aria-labelledby="visits-history-title">
          <div class="visits-controls">
            <h2 id="visits-history-title">${words.history.title}</h2>
            ${history && room.kinds.length > 0 ? controls(history) : nothing}
          </div>
          ${history && room.kinds.length > 0 ? legend(history, isOther) : html`<p class="soft">${history ? words.history.nothing : ""}</p>`}
          <div class="visits-chart-and-table">
            <div class="visits-plot" role="group" aria-label="${words.history.title}. ${words.history.keys}" ?hidden=${!history || room.kinds.length === 0}></div>
            ${history && room.kinds.length > 0 && tableIsDue
              ? html`<div class="visits-table">${historyTable(history, choice, { rows: rows.values, more: () => more("values"), open: openVisit, isOther })}</div>`
              : nothing}
          </div>
        </section>
        <section class="visits-all">
          ${room.visits.length < 2
            ? nothing
            : html`<details .open=${live(unfolded ?? room.visits.length <= FEW)} @toggle=${(/** @type {Event} */ event) => { unfolded = /** @type {HTMLDetailsElement} */ (event.currentTarget).open; }}>
                <summary>${words.list}</summary>
                ${tableIsDue || room.visits.length <= FEW
                  ? visitList(room, { rows: rows.visits, more: () => more("visits"), open: openVisit, close: closeVisit, isOther })
                  : nothing}
              </details>`}
        </section>`,
      place,
    );
    const plot = /** @type {HTMLElement} */ (place.querySelector(".visits-plot"));
    chart ??= new HistoryChart(plot, { open: ({ entry }) => openVisit(entry), say: context.say });
    if (history) chart.set(history, choice, label, isOther);
    if (history && !restIsComing) {
      restIsComing = true;
      requestAnimationFrame(() => setTimeout(() => root.isConnected && void drawRest()));
    }
    pair?.update();
  }

  /** What stands below the chart: it must not keep the chart from the screen. */
  async function drawRest() {
    tableIsDue = true;
    draw();
    try {
      const { PairFace } = await import("./pair-face.js");
      if (!root.isConnected || pair) return;
      pair = new PairFace(pairPlace, context, room);
      pair.update();
    } catch (error) {
      context.notify(error);
    }
  }

  /** @param {import("./types.js").MeasureHistory} history */
  function controls(history) {
    const sides = sidesOf(history);
    const both = sides.includes(null) && sides.length > 1;
    return html`<label class="choice">${words.history.measure}
        <select name="measure" .value=${live(room.kind)} @change=${(/** @type {Event} */ event) => room.choose(valueIn(event))}>
          ${room.kinds.map((kind) => html`<option value=${kind} ?selected=${kind === room.kind}>${numbers.measure(kind)}</option>`)}
        </select>
      </label>
      ${both
        ? html`<label class="choice">${words.history.arms}
            <select name="arms" .value=${live(choice.arms)} @change=${(/** @type {Event} */ event) => look({ arms: /** @type {Choice["arms"]} */ (valueIn(event)) })}>
              <option value="both" ?selected=${choice.arms === "both"}>${words.history.both}</option>
              <option value="apart" ?selected=${choice.arms === "apart"}>${words.history.apart}</option>
            </select>
          </label>`
        : nothing}
      <label class="choice">${words.history.period}
        <select name="period" .value=${live(choice.period)} @change=${(/** @type {Event} */ event) => look({ period: /** @type {Period} */ (valueIn(event)) })}>
          ${Object.entries(words.history.periods).map(([period, name]) => html`<option value=${period} ?selected=${period === choice.period}>${name}</option>`)}
        </select>
      </label>
      <span class="visits-take not-printed">
        <button type="button" data-action="copy-history" @click=${() => copyText(context, tsvOf(historyLines(history, choice)), numbers.table.copied(historyLines(history, choice).length - 1))}>${words.history.copy}</button>
        <button type="button" data-action="history-csv" @click=${saveCsv}>${words.history.csv}</button>
      </span>`;
  }

  /** @param {import("./types.js").MeasureHistory} history @param {(label: string) => boolean} isOther */
  function legend(history, isOther) {
    const points = pointsOf(history, choice, isOther);
    if (points.length === 0) return html`<p class="soft">${words.history.none}</p>`;
    const { legend: names } = words.history;
    const sides = new Set(points.map(({ side }) => side));
    const most = Math.max(...points.map(({ entry }) => entry.of_day));
    const shapes = /** @type {[string, string][]} */ ([["circle", names.first], ["diamond", names.second], ["square", names.third], ["triangle", names.later]]);
    return html`<ul class="numbers-legend">
      ${sides.has("left") ? html`<li><span class="numbers-shape" data-shape="circle" data-side="left"></span>${names.left}</li>` : nothing}
      ${sides.has("right") ? html`<li><span class="numbers-shape" data-shape="circle" data-side="right"></span>${names.right}</li>` : nothing}
      ${most > 1 ? shapes.slice(0, most).map(([shape, text]) => html`<li><span class="visits-shape" data-shape=${shape} aria-hidden="true"></span>${text}</li>`) : nothing}
      ${points.some(({ isInterval }) => isInterval) ? html`<li><span class="numbers-shape" data-shape="bar"></span>${names.interval}</li>` : nothing}
      ${points.some(({ isInterval }) => !isInterval) ? html`<li><span class="visits-shape" data-shape="dashes" aria-hidden="true"></span>${names.frames}</li>` : nothing}
      ${points.some(({ isOther }) => isOther) ? html`<li><span class="visits-cross" aria-hidden="true">×</span>${names.other}</li>` : nothing}
      ${points.some(({ entry }) => entry.changes.length > 0) ? html`<li><span class="visits-shape" data-shape="foot" aria-hidden="true"></span>${words.history.changed}</li>` : nothing}
    </ul>`;
  }

  /** @param {Partial<Choice>} change */
  function look(change) {
    Object.assign(choice, change);
    draw();
  }

  /** @param {"visits"|"values"} which */
  function more(which) {
    rows[which] = Infinity;
    draw();
  }

  async function chooseBeside() {
    try {
      room.addFiles((await chooseFiles({ what: "session", several: true })).map(({ file }) => file));
    } catch (error) {
      context.notify(error);
    }
  }

  /** Sessions are opened beside; where a clip is among them, all go the usual way. @param {File[]} files */
  function receive(files) {
    const isForHere = files.length > 0 && files.every(isSessionFile);
    if (isForHere) room.addFiles(files);
    return isForHere;
  }

  /** Opens the session that a point or a row is of, as from the list on the clips page. @param {{session: string, clip: number|null}} where */
  async function openVisit({ session, clip }) {
    try {
      const file = room.fileOf(session);
      const id = file ? await context.desk.openFile(file) : session;
      if (file) context.say(context.words.clips.session_opened(file.name));
      context.navigate("numbers", { session: id, clip: clip ?? undefined });
    } catch (error) {
      context.notify(error);
    }
  }

  /** @param {import("./types.js").Visit} visit */
  function closeVisit({ session, date }) {
    const rowOf = place.querySelector(`tr[data-session="${CSS.escape(session)}"]`);
    const beside = rowOf?.nextElementSibling ?? rowOf?.previousElementSibling;
    const next = beside?.querySelector('[data-action="close-visit"]') ?? place.querySelector('[data-action="open-beside"]');
    room.close(session);
    context.say(words.closed(date));
    if (next instanceof HTMLElement) next.focus();
  }

  async function saveCsv() {
    try {
      const { athlete, date } = store.openSession();
      await saveFile({ bytes: await room.csv([room.kind]), name: fileName(athlete.label, date, "visits.csv"), type: "text/csv", description: "wetframe visits" });
    } catch (error) {
      context.notify(error);
    }
  }

  return {
    update() {
      draw();
      room.follow();
    },
    receive,
    unmount() {
      room.removeEventListener("changed", draw);
      room.removeEventListener("notice", told);
      context.desk.removeEventListener("list", keptChanged);
      chart?.close();
      pair?.close();
      render(nothing, place);
      place.remove();
      pairPlace.remove();
    },
  };
}

/** @param {Event} event */
function valueIn(event) {
  return /** @type {HTMLSelectElement} */ (event.target).value;
}

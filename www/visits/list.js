// The sessions side by side: what each is, how far, what was stated, and a click that lets it go.

import { html, nothing } from "../vendor/lit-html/lit-html.js";
import { repeat } from "../vendor/lit-html/directives/repeat.js";
import { visits as words } from "../words/visits.js";

/** @typedef {import("./types.js").Visit} Visit */

/**
 * @param {import("./room.js").VisitsRoom} room
 * @param {{rows: number, more: () => void, open: (where: {session: string, clip: number|null}) => void, close: (visit: Visit) => void, isOther: (label: string) => boolean}} how
 *   `isOther`: whether a label is another swimmer's than the open session's, which its row then says
 */
export function visitList(room, { rows, more, open, close, isOther }) {
  const { columns } = words;
  const newest = room.visits.toReversed();
  return html`<div class="table-scroll" tabindex="0" role="region" aria-label=${words.list}>
      <table class="visits-list">
        <thead><tr>
          <th scope="col">${columns.date}</th>
          <th scope="col">${columns.clips}</th>
          <th scope="col" class="number">${columns.cycles}</th>
          <th scope="col">${columns.conditions}</th>
          <th scope="col">${columns.where}</th>
          <th><span class="only-heard">${words.open}, ${words.close}</span></th>
        </tr></thead>
        <tbody>${repeat(newest.slice(0, rows), ({ session }) => session, (visit) => row(room, visit, { open, close, isOther }))}</tbody>
      </table>
    </div>
    ${newest.length > rows ? html`<button type="button" class="quiet" data-action="more-visits" @click=${more}>${words.show_rest(newest.length - rows)}</button>` : nothing}`;
}

/**
 * @param {import("./room.js").VisitsRoom} room
 * @param {Visit} visit
 * @param {{open: (where: {session: string, clip: number|null}) => void, close: (visit: Visit) => void, isOther: (label: string) => boolean}} how
 */
function row(room, visit, { open, close, isOther }) {
  const source = room.sourceOf(visit.session);
  const cycles = visit.clips.reduce((sum, clip) => sum + clip.cycles_marked, 0);
  const isMarked = visit.clips.some(({ marks }) => marks > 0);
  return html`<tr data-session=${visit.session} data-source=${source}>
    <th scope="row">${visit.date}${!isOther(visit.athlete_label) ? nothing : html`<br><span class="visits-other">${visit.athlete_label || words.unnamed}</span>`}</th>
    <td>${visit.clips.map(({ title }) => title).join(", ")}</td>
    <td class="number">${isMarked ? words.cycles(cycles) : words.no_marks}</td>
    <td>${stated(visit)}</td>
    <td>${words.source[source]}${source === "file" ? html`<br><span class="soft small">${room.fileOf(visit.session)?.name}</span>` : nothing}</td>
    <td class="visits-acts">
      ${source === "open"
        ? nothing
        : html`<button type="button" class="quiet" data-action="open-visit" aria-label=${words.open_named(visit.date, "")} @click=${() => open({ session: visit.session, clip: null })}>${words.open}</button>
            <button type="button" class="quiet" data-action="close-visit" aria-label=${words.close_named(visit.date, visit.athlete_label)} @click=${() => close(visit)}>${words.close}</button>`}
    </td>
  </tr>`;
}

/** What was stated of the clips, each kind of clip once. @param {Visit} visit */
function stated({ clips }) {
  const said = clips.map(({ conditions: { view, kick, aids, speed } }) => [view, kick, aids, speed].filter(Boolean).join(", ") || words.not_stated);
  return [...new Set(said)].map((line) => html`<span class="visits-stated">${line}</span>`);
}

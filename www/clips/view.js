// The first screen, and the first part of the sitting: clips in, what is known about them, the sessions kept here.

import { html, nothing, render } from "../vendor/lit-html/lit-html.js";
import { repeat } from "../vendor/lit-html/directives/repeat.js";
import { chooseFiles } from "../sitting/files.js";
import { openingBar } from "../shell/opening-bar.js";
import { clips as words } from "../words.js";
import { clipCard } from "./clip-card.js";
import { minorsNotice, minorsNoticeRead, noteMinorsNoticeRead } from "./minors-notice.js";
import { Wanted } from "./number-field.js";
import { pictureOfRhythm } from "./picture-of-rhythm.js";
import { receive, receiveDemo, receiveWorkedDemo, sayOrNotify } from "./receive.js";
import { sessionFields } from "./session-fields.js";
import { SessionList } from "./session-list.js";

/** @typedef {import("../sitting/types.js").View} View */

/**
 * @param {HTMLElement} root
 * @param {any} context
 * @returns {View}
 */
export function mount(root, context) {
  const { store, desk } = context;
  const files = context.files();
  const list = new SessionList(context, draw);
  const wanted = new Wanted(draw);
  /** @type {Map<number, {done: number, of: number, stop: AbortController}>} */
  const checks = new Map();
  /** Which clips show all that is stated about them; the open one does until it is folded. @type {Map<number, boolean>} */
  const unfolded = new Map();
  let isMinorsOpen = !minorsNoticeRead();
  let isBusy = false;
  const refresh = () => void list.refresh();

  desk.addEventListener("list", refresh);
  refresh();
  draw();
  return {
    update: draw,
    unmount() {
      desk.removeEventListener("list", refresh);
      for (const { stop } of checks.values()) stop.abort();
      render(nothing, root);
    },
  };

  function draw() {
    const { session } = store;
    render(
      html`
        <div class="clips-view" data-session-open=${session !== null}>
          <div class="clips-main">${session ? openSession(session) : welcome()}</div>
          <aside class="clips-aside">${list.template()}</aside>
        </div>
      `,
      root,
    );
  }

  function welcome() {
    return html`
      <h1>${words.welcome_title}</h1>
      <p class="lead">${words.welcome_text}</p>
      <section class="drop drop-first" aria-label=${words.drop_title}>
        <p class="drop-title">${words.drop_title}</p>
        <p class="soft">${words.drop_text}</p>
        <div class="actions">
          <button type="button" class="primary" data-action="choose" ?disabled=${isBusy} @click=${() => choose("clip")}>${words.choose}</button>
          <button type="button" data-action="demo" ?disabled=${isBusy} @click=${() => busy(() => receiveDemo(context))}>${words.open_demo}</button>
          <button type="button" data-action="worked-demo" ?disabled=${isBusy} @click=${() => busy(() => receiveWorkedDemo(context))}>${words.open_worked_demo}</button>
          <button type="button" class="quiet" data-action="open-session" ?disabled=${isBusy} @click=${() => choose("session")}>${words.open_session_file}</button>
        </div>
        ${onTheirWay()}
        ${pictureOfRhythm()}
      </section>
      ${minors()}
    `;
  }

  /** The files that are being read, each with its bar; short ones are gone before they would be seen. */
  function onTheirWay() {
    return files.readings.map((/** @type {import("../sitting/clip-files.js").Reading} */ reading) => html`
      <div class="on-its-way">
        <p class="small">${words.opening(reading.name)}</p>
        ${openingBar(reading, words.opening(reading.name))}
        <button type="button" class="quiet" data-action="stop-opening" aria-label=${words.stop_opening(reading.name)} @click=${() => reading.stop.abort()}>${words.stop}</button>
      </div>`);
  }

  /** @param {import("../sitting/types.js").SessionView} session */
  function openSession(session) {
    return html`
      <div class="session-head">
        <h1>${session.athlete.label || words.unnamed}</h1>
        <div class="actions">
          <button type="button" class="quiet" data-action="new-session" @click=${() => tried(async () => desk.close())}>${words.new_session}</button>
          <button type="button" class="quiet" data-action="open-session" @click=${() => choose("session")}>${words.open_session_file}</button>
        </div>
      </div>
      ${sessionFields({ session, readOnly: store.readOnly, wanted, edit: (change) => apply({ command: "edit_session", change }) })}
      <div class="clips-list">
        <h2>${session.clips.length === 0 ? words.no_clips_title : words.clips_heading}</h2>
        ${repeat(session.clips, (clip) => clip.id, (clip) => card(clip))}
        <section class="drop drop-small" aria-label=${words.add_clip}>
          <button type="button" class=${session.clips.length === 0 ? "primary" : ""} data-action="choose" ?disabled=${store.readOnly || isBusy} @click=${() => choose("clip")}>${words.add_clip}</button>
          <p class="soft">${words.add_clip_text}</p>
        </section>
        ${onTheirWay()}
        ${minors()}
      </div>
    `;
  }

  /** @param {import("../sitting/types.js").ClipView} clip */
  function card(clip) {
    return clipCard({
      clip,
      files,
      wanted,
      isOpen: clip.id === store.clip_id,
      readOnly: store.readOnly,
      check: checks.get(clip.id) ?? null,
      frame_error_ms: store.marking(clip.id)?.analysis.frame_error_ms ?? null,
      isUnfolded: unfolded.get(clip.id) ?? clip.id === store.clip_id,
      unfold: (isUnfolded) => {
        if ((unfolded.get(clip.id) ?? clip.id === store.clip_id) === isUnfolded) return;
        unfolded.set(clip.id, isUnfolded);
        draw();
      },
      edit: (change) => apply({ command: "edit_clip", clip: clip.id, change }),
      mark: () => context.navigate("marks", { clip: clip.id }),
      remove: () => {
        apply({ command: "remove_clip", clip: clip.id });
        context.say(words.removed(clip.label || clip.name));
      },
      choose: () => tried(async () => {
        const [chosen] = await chooseFiles({ what: "clip" });
        if (!chosen) return;
        await files.relink(clip.id, chosen);
        context.say(words.linked(clip.name));
      }, clip.name),
      reopen: () => tried(async () => {
        await files.reopen(clip.id);
        if (files.fileOf(clip.id)) context.say(words.linked(clip.name));
      }, clip.name),
      startCheck: () => void check(clip),
      cancelCheck: () => checks.get(clip.id)?.stop.abort(),
    });
  }

  function minors() {
    return minorsNotice({
      open: isMinorsOpen,
      toggle: (open) => {
        isMinorsOpen = open;
        if (!open) noteMinorsNoticeRead();
        draw();
      },
    });
  }

  /** @param {import("../sitting/types.js").ClipView} clip */
  async function check(clip) {
    const stop = new AbortController();
    checks.set(clip.id, { done: 0, of: clip.frame_count, stop });
    draw();
    try {
      await files.findDuplicates(clip.id, {
        signal: stop.signal,
        onProgress: (/** @type {number} */ done, /** @type {number} */ of) => {
          checks.set(clip.id, { done, of, stop });
          draw();
        },
      });
    } catch (error) {
      if (stop.signal.aborted) context.say(words.check_cancelled);
      else context.notify(error, clip.name);
    }
    checks.delete(clip.id);
    draw();
  }

  /** @param {"clip"|"session"} what */
  async function choose(what) {
    await tried(async () => {
      const chosen = await chooseFiles({ what, several: what === "clip" });
      await busy(() => receive(context, chosen));
    });
  }

  /** @param {object} command */
  function apply(command) {
    try {
      store.apply(command);
    } catch (error) {
      context.notify(error);
      draw(); // the field shows what the session holds again
    }
  }

  /** @param {() => Promise<void>} task */
  async function busy(task) {
    isBusy = true;
    draw();
    try {
      await task();
    } finally {
      isBusy = false;
      draw();
    }
  }

  /** @param {() => Promise<void>} task @param {string} [about] */
  async function tried(task, about) {
    try {
      await task();
    } catch (error) {
      sayOrNotify(context, error, about);
    }
  }
}

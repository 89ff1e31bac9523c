// Starts the page and keeps its frame: which view is shown, what the header says, what went wrong. Not for: anything
// that one view alone knows.

import { nothing, html, render } from "./vendor/lit-html/lit-html.js";
import { ClipFiles } from "./sitting/clip-files.js";
import { Desk } from "./sitting/desk.js";
import { DeviceStorage } from "./sitting/storage.js";
import { Store } from "./sitting/store.js";
import { PageTrouble, troubleFrom } from "./sitting/trouble.js";
import { droppedFiles } from "./sitting/files.js";
import { receive } from "./clips/receive.js";
import { blindPass } from "./marks/blind.js";
import { HIDDEN_WAYS } from "./marks/blind-notice.js";
import { watchDropping } from "./shell/dropping.js";
import { drawHeader } from "./shell/header.js";
import { Notices } from "./shell/notices.js";
import { hashOf, placeOf } from "./shell/routes.js";
import { chooseTheme, shownTheme, watchSystemTheme } from "./shell/theme.js";
import * as words from "./words.js";

/** @typedef {import("./sitting/types.js").Context} Context */
/** @typedef {import("./sitting/types.js").View} View */
/** @typedef {import("./sitting/types.js").Way} Way */
/** @typedef {import("./shell/routes.js").Place} Place */

/** @type {Record<Way, () => Promise<{mount: (root: HTMLElement, context: any) => View, fits?: boolean}>>} */
const VIEWS = {
  clips: () => import("./clips/view.js"),
  // @ts-ignore the marking and numbers rooms keep their own types
  marks: () => import("./marks/view.js"),
  // @ts-ignore
  numbers: () => import("./numbers/view.js"),
  compare: () => import("./compare/view.js"),
  "hand-over": () => import("./hand-over/view.js"),
  guide: () => import("./guide/view.js"),
  keys: () => import("./guide/keys-view.js"),
};
/** Ways that show a clip's frames or figures and so need one. */
const NEEDS_CLIP = new Set(["marks", "numbers", "compare"]);

const headerRoot = element("header");
const main = element("main");
const status = element("status");
const notices = new Notices(element("notices"));

window.addEventListener("error", (event) => {
  notices.trouble(event.error ?? new Error(event.message));
});
window.addEventListener("unhandledrejection", (event) => {
  notices.trouble(event.reason);
});

const store = new Store();
const picture = document.createElement("canvas");
/** @type {Place} */
let place = placeOf(location.hash);
/** The face that each way showed last: coming back finds it again. @type {Map<Way, string>} */
const faces = new Map();
/** @type {{way: Way, view: View}|null} */
let shown = null;
/** Counts routings, so that a slow one never overtakes a later one. */
let routing = 0;

const [pageModule, opened] = await Promise.allSettled([loadPageModule(), DeviceStorage.open()]);
if (pageModule.status === "rejected") {
  notices.show({
    key: "page",
    message: words.shell.page_missing,
    hint: `${words.shell.page_missing_hint} (${troubleFrom(pageModule.reason).message})`,
    trouble: true,
    stays: true,
  });
  throw pageModule.reason;
}
const page = pageModule.value;
const storage = opened.status === "fulfilled" ? opened.value : null;
const why = opened.status === "rejected" ? troubleFrom(opened.reason) : null;
const desk = new Desk({ Sitting: page.Sitting, store, storage, why });
const files = new ClipFiles({ store, desk, picture });

/** @type {Context & {desk: Desk, printNumbers: () => Promise<void>}} */
const context = {
  store,
  words,
  picture,
  page,
  desk,
  player: () => files.player,
  files: () => files,
  place: () => place,
  navigate,
  printNumbers,
  notify: (trouble, about) => notices.trouble(trouble, about),
  say,
};

if (why) {
  showStorageTrouble(why);
}

store.addEventListener("change", () => {
  showReadOnly();
  redraw();
});
store.addEventListener("clip", async () => {
  // At once, and never over a way that was just clicked and not yet shown: the player takes its time to open.
  const isLeaving = placeOf(location.hash).way !== place.way;
  if (!isLeaving && (place.clip !== store.clip_id || place.session !== store.id)) {
    place = { ...place, session: store.id, clip: store.clip_id, at: null };
    history.replaceState(null, "", hashOf(place));
  }
  await files.followSession();
  await files.openPlayer();
  redraw();
});
store.addEventListener("saving", drawFrame);
store.addEventListener("saved", () => {
  notices.clear("storage");
  askToPersist();
  drawFrame();
});
store.addEventListener("storage-trouble", (event) => {
  showStorageTrouble(/** @type {CustomEvent} */ (event).detail);
  drawFrame();
});
desk.addEventListener("handed-over", drawFrame);
desk.addEventListener("notice", (event) => notices.trouble(/** @type {CustomEvent} */ (event).detail));
desk.addEventListener("lost", (event) => showStorageTrouble(/** @type {CustomEvent} */ (event).detail));
desk.addEventListener("taken-over", () => say(words.shell.taken_over));
desk.addEventListener("followed", () => say(words.shell.followed));
files.addEventListener("files", async () => {
  await files.openPlayer();
  redraw();
});
files.addEventListener("reading", () => {
  if (shown?.way === "clips" || files.opening) redraw(); // where a bar shows it
});
files.addEventListener("player", () => {
  const [caution] = files.player?.cautions ?? [];
  if (caution) say(`${caution.message} ${caution.hint ?? ""}`);
  showFrameAskedFor();
  redraw();
});
files.addEventListener("player-trouble", (event) => notices.trouble(/** @type {CustomEvent} */ (event).detail));
window.addEventListener("hashchange", () => route(placeOf(location.hash)));
window.addEventListener("keydown", pressed);
window.addEventListener("beforeunload", (event) => {
  if (store.saved.state === "memory_only" && desk.handedOver.since > 0 && !store.readOnly) {
    event.preventDefault();
  }
});
watchSystemTheme(redraw);
const cover = element("drop-cover");
cover.textContent = words.clips.drop_now;
watchDropping({
  cover,
  receive: async (transfer) => {
    const chosen = await droppedFiles(transfer);
    if (shown?.view.receive?.(chosen.map(({ file }) => file))) return;
    await receive(context, chosen);
    if (place.way !== "clips" && place.way !== "marks") navigate("clips");
  },
});
element("skip").addEventListener("click", (event) => {
  event.preventDefault(); // the part of the address after # is the page's own
  main.focus();
});

await route(place);

/** Shows a place: opens its session when needed, then its view. @param {Place} wanted */
async function route(wanted) {
  const turn = ++routing;
  let { way, at } = wanted;
  place = wanted;
  if (wanted.session !== null && wanted.session !== store.id) {
    try {
      await desk.open(wanted.session);
    } catch (error) {
      notices.trouble(error);
      ({ way, at } = { way: "clips", at: null });
      history.replaceState(null, "", hashOf({ way, at, session: store.id, clip: store.clip_id, face: null }));
    }
  }
  if (turn !== routing) return;
  if (wanted.clip !== null && store.session?.clips.some((clip) => clip.id === wanted.clip)) {
    store.openClip(wanted.clip);
  }
  place = { way, at, session: store.id, clip: store.clip_id, face: wanted.face };
  if (wanted.face !== null) faces.set(way, wanted.face);
  await show(way, turn);
  showFrameAskedFor();
}

/** @param {Way} way @param {number} turn */
async function show(way, turn) {
  if (shown?.way !== way) {
    let made;
    notices.clear("view");
    try {
      made = await viewOf(way);
    } catch (error) {
      console.error(error);
      notices.show({
        key: "view",
        message: words.shell.view_missing(way),
        hint: `${words.shell.view_missing_hint} (${troubleFrom(error).message})`,
        trouble: true,
      });
      made = { mount: mountNeedsClip, fits: false };
    }
    if (turn !== routing) return;
    leaveView();
    // A root of its own for every view: nothing that one leaves behind can stand in the way of the next.
    const root = document.createElement("div");
    root.className = "view";
    main.replaceChildren(root);
    main.dataset.view = way;
    document.body.toggleAttribute("data-fits", made.fits === true);
    try {
      shown = { way: NEEDS_CLIP.has(way) && store.clip_id === null ? "clips" : way, view: made.mount(root, context) };
      // Whoever came by a link of the header goes on with the view's keys, not with the link's.
      if (headerRoot.contains(document.activeElement)) main.focus({ preventScroll: true });
    } catch (error) {
      console.error(error);
      notices.trouble(error);
      return;
    }
  }
  redraw();
}

/** @param {Way} way @returns {Promise<{mount: (root: HTMLElement, context: any) => View, fits?: boolean}>} */
async function viewOf(way) {
  if (NEEDS_CLIP.has(way) && store.clip_id === null) return { mount: mountNeedsClip, fits: false };
  if (HIDDEN_WAYS.has(way) && blindPass(store) !== null) return import("./marks/blind-notice.js");
  return VIEWS[way]();
}

/** @param {Way} way @param {{session?: string, clip?: number, at?: number, face?: string}} [where] */
function navigate(way, { session, clip, at, face } = {}) {
  const here = { ...placeFor(way), ...(session === undefined || session === store.id ? {} : { session, clip: null }) };
  const next = { ...here, ...(clip === undefined ? {} : { clip }), ...(face === undefined ? {} : { face }), at: at ?? null };
  const hash = hashOf(next);
  if (hash === location.hash) {
    place = next;
    showFrameAskedFor();
  } else {
    location.hash = hash;
  }
}

/** @param {Way} way @returns {Place} */
function placeFor(way) {
  return { way, session: store.id, clip: store.clip_id, at: null, face: faces.get(way) ?? null };
}

/** The way from a number to its frames: shows the time that the address names, on the roll alone without the file. */
function showFrameAskedFor() {
  if (place.way !== "marks" || place.at === null || files.opening) return;
  const { player } = files;
  const { at } = place;
  if (!player && !shown?.view.showTime) return;
  place = { ...place, at: null };
  if (player) player.show(player.frameAt(at)).catch((/** @type {unknown} */ error) => notices.trouble(error, store.clip?.name));
  else shown?.view.showTime?.(at);
}

function redraw() {
  drawFrame();
  const needed = NEEDS_CLIP.has(place.way) && (store.clip_id === null) !== (shown?.way === "clips");
  if (needed && shown) {
    leaveView();
    void show(place.way, ++routing);
    return;
  }
  shown?.view.update();
}

/** A view that fails to leave is said to, and left all the same. */
function leaveView() {
  try {
    shown?.view.unmount();
  } catch (error) {
    notices.trouble(error);
  }
  shown = null;
}

function drawFrame() {
  drawHeader(headerRoot, {
    way: place.way,
    store,
    withoutFile: files?.missing ?? 0,
    handedOver: desk.handedOver,
    placeFor,
    undo: () => changeHistory("undo"),
    redo: () => changeHistory("redo"),
    toggleTheme: () => {
      chooseTheme(shownTheme() === "dark" ? "light" : "dark");
      redraw();
    },
  });
  const { session } = store;
  const whose = session ? [`${session.athlete.label || words.clips.unnamed}, ${session.date}`] : [];
  document.title = [words.shell.titles[place.way], ...whose, words.shell.name].join(" · ");
}

/** @param {"undo"|"redo"} direction */
function changeHistory(direction) {
  try {
    const what = direction === "undo" ? store.undoLabel : store.redoLabel;
    if (store[direction]() && what) {
      say(direction === "undo" ? words.shell.undone(what) : words.shell.redone(what));
    }
  } catch (error) {
    notices.trouble(error);
  }
}

/** @param {KeyboardEvent} event */
function pressed(event) {
  const typing = event.target instanceof HTMLElement && event.target.matches("input, select, textarea, [contenteditable]");
  if (event.defaultPrevented || typing || event.isComposing) return;
  const command = event.ctrlKey || event.metaKey;
  const letter = event.key.toLowerCase();
  if (command && !event.altKey && (letter === "z" || letter === "y") && store.session) {
    event.preventDefault();
    changeHistory(letter === "y" || event.shiftKey ? "redo" : "undo");
  } else if (event.key === "?" && !command) {
    event.preventDefault();
    if (place.way === "keys") history.back();
    else navigate("keys");
  }
}

/** @param {string} text */
function say(text) {
  status.textContent = text;
}

function showReadOnly() {
  if (store.session && store.readOnly) {
    notices.show({ key: "read-only", message: words.shell.read_only_title, hint: words.shell.read_only_hint, stays: true });
  } else {
    notices.clear("read-only");
  }
}

/** @param {import("./sitting/types.js").Trouble} trouble */
function showStorageTrouble(trouble) {
  notices.show({
    key: "storage",
    message: trouble.message,
    hint: trouble.hint,
    trouble: true,
    stays: true,
    actions: [
      { label: words.shell.save_to_file_now, primary: true, act: saveToFileNow },
      ...(desk.storage ? [{ label: words.shell.try_again, act: () => store.retrySaving() }] : []),
    ],
  });
}

async function saveToFileNow() {
  try {
    const { saveSessionFile } = await import("./hand-over/save-session-file.js");
    await saveSessionFile(desk, store);
  } catch (error) {
    notices.trouble(error);
  }
}

/** Shows the numbers of the open clip and prints them. */
async function printNumbers() {
  location.hash = hashOf(placeFor("numbers"));
  await route(placeOf(location.hash));
  await new Promise((resolve) => requestAnimationFrame(() => requestAnimationFrame(resolve))); // charts are drawn
  window.print();
}

/** Asked once, after something was saved: the browser should not clear it when space runs short. */
function askToPersist() {
  const marked = (store.session?.clips ?? []).some((/** @type {any} */ clip) => clip.marks_count > 0);
  if (marked && !askToPersist.asked && navigator.storage?.persist) {
    askToPersist.asked = true;
    void navigator.storage.persist();
  }
}
askToPersist.asked = false;

/** @param {HTMLElement} root @returns {View} */
function mountNeedsClip(root) {
  render(
    html`
      <section class="place-empty">
        <h1>${words.shell.needs_clip_title}</h1>
        <p>${words.shell.needs_clip_hint}</p>
        <a class="button primary" href="#clips">${words.shell.to_clips}</a>
      </section>
    `,
    root,
  );
  return { update() {}, unmount: () => render(nothing, root) };
}

async function loadPageModule() {
  // @ts-ignore written by the build
  const module = await import("./wasm/page.js");
  await module.default();
  return module;
}

/** @param {string} id */
function element(id) {
  const found = document.getElementById(id);
  if (!found) throw new PageTrouble("page_broken", `index.html lacks #${id}.`);
  return found;
}

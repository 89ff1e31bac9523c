// What happens to files that arrive, dropped or chosen or fetched with the demo: one path for all of them. A session
// file opens its session; a clip joins the open session, or starts one. A file that cannot be read is named in a
// notice and changes nothing.

import { fetchBeside, fetchClip } from "../sitting/clip-files.js";
import { isSessionFile } from "../sitting/files.js";

/** @typedef {import("../sitting/files.js").Chosen} Chosen */

/**
 * @param {any} context
 * @param {Chosen[]} chosen
 */
export async function receive(context, chosen) {
  const words = context.words.clips;
  for (const { file, handle } of chosen) {
    context.say(words.opening(file.name));
    try {
      if (isSessionFile(file)) {
        await context.desk.openFile(file);
        context.say(words.session_opened(file.name));
      } else {
        const id = await context.files().add({ file, handle });
        context.store.openClip(id);
        for (const warning of context.files().factsOf(id).warnings) context.notify(warning, file.name);
        context.say(context.store.clip?.frame_count === 1 ? words.one_frame_added(file.name) : words.added(file.name));
      }
    } catch (error) {
      sayOrNotify(context, error, file.name);
    }
  }
}

/** Where the demo's clips lie beside the page. @param {string} file */
const demoPath = (file) => `demo/${file}`;

/**
 * Fetches the demo as a coach left it, marked and marked again, and opens its comparison. It comes in as a session file
 * would, beside whatever is kept here.
 * @param {any} context
 */
export async function receiveWorkedDemo(context) {
  const words = context.words.clips;
  context.say(words.fetching_demo);
  try {
    const path = demoPath("session.wetframe");
    await context.desk.openFile(new File([await (await fetchBeside(path)).blob()], path.slice(path.lastIndexOf("/") + 1)));
    await context.files().followSession();
    context.navigate("compare", { face: "numbers" });
    for (const { id, name } of context.store.session.clips) {
      await context.files().relink(id, { file: await fetchClip(demoPath(name)), handle: { fetched_from: demoPath(name) } });
    }
    context.say("");
  } catch (error) {
    sayOrNotify(context, error);
  }
}

/**
 * Fetches the demo's clips beside the page and opens them as if they had been chosen from a disk.
 * @param {any} context
 */
export async function receiveDemo(context) {
  const words = context.words.clips;
  context.say(words.fetching_demo);
  try {
    /** @type {{athlete: object, notes: string, water: object, clips: any[]}} */
    const scenario = await (await fetchBeside("demo/scenario.json")).json();
    const paths = scenario.clips.map(({ file }) => demoPath(file));
    const files = await Promise.all(paths.map(fetchClip));
    await context.desk.begin();
    const { athlete, notes, water } = scenario;
    context.store.apply({ command: "edit_session", change: { athlete, notes, water } });
    for (const [index, file] of files.entries()) {
      const id = await context.files().add({ file, handle: { fetched_from: paths[index] } });
      const { file: _, ...change } = scenario.clips[index];
      context.store.apply({ command: "edit_clip", clip: id, change });
    }
    context.store.openClip(context.store.session.clips[0].id);
    context.navigate("marks");
    context.say("");
  } catch (error) {
    sayOrNotify(context, error);
  }
}

/**
 * Tells why a file did not open; that the coach stopped it is only confirmed.
 * @param {any} context
 * @param {unknown} error
 * @param {string} [about]
 */
export function sayOrNotify(context, error, about) {
  const { kind, message } = /** @type {any} */ (error);
  context.say(kind === "cancelled" ? message : "");
  if (kind !== "cancelled") context.notify(error, about);
}

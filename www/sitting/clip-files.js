// The clips' files while the page is open: which are at hand, how they came (and how they come back), and the one
// player on the open clip. The session never holds pixels or files; it knows a clip by its fingerprint.

import { PageTrouble, troubleFrom } from "./trouble.js";

/** @typedef {import("./desk.js").Desk} Desk */
/** @typedef {import("./store.js").Store} Store */
/** @typedef {import("./types.js").PlayerHandle} PlayerHandle */
/**
 * The way back to a clip's file: a handle from the file picker, or where beside the page it was fetched from.
 * @typedef {FileSystemFileHandle|{fetched_from: string}} WayBack
 */
/** @typedef {{file: File, handle?: WayBack|null}} Chosen */

/**
 * A file whose index is being read: bytes passed so far, of all (0: not known yet), and how to stop it.
 * @typedef {{name: string, done: number, of: number, stop: AbortController}} Reading
 */

/**
 * Events: `files` (which files are at hand changed), `reading` (how far the files on their way are), `player` (another
 * player, or none), `player-trouble` (detail: Trouble).
 */
export class ClipFiles extends EventTarget {
  #store;
  #desk;
  #picture;
  /** @type {Map<number, File>} */
  #files = new Map();
  /** @type {Map<number, any>} */
  #facts = new Map();
  /** @type {Map<number, HTMLCanvasElement>} */
  #posters = new Map();
  /** @type {Map<number, WayBack>} */
  #handles = new Map();
  /** @type {string|null} */
  #session = null;
  /** @type {PlayerHandle|null} */
  #player = null;
  /** @type {File|null} */
  #wanted = null;
  /** @type {Reading|null} */
  #opening = null;
  /** @type {Set<Reading>} */
  #readings = new Set();
  #isAside = false;

  /**
   * @param {object} parts
   * @param {Store} parts.store
   * @param {Desk} parts.desk
   * @param {HTMLCanvasElement} parts.picture
   */
  constructor({ store, desk, picture }) {
    super();
    this.#store = store;
    this.#desk = desk;
    this.#picture = picture;
  }

  /** @returns {PlayerHandle|null} the player on the open clip */
  get player() {
    return this.#player;
  }

  /** How far the open clip's player is on its way; null while none is. */
  get opening() {
    return this.#opening;
  }

  /** The files that are read to learn which clip they are. */
  get readings() {
    return [...this.#readings];
  }

  /** @param {number} clip @returns {File|null} */
  fileOf(clip) {
    return this.#files.get(clip) ?? null;
  }

  /**
   * What the file says of itself beyond the session's record (spacing, suspected drops, warnings), and the player's
   * cautions about it; null while the file is not at hand.
   * @param {number} clip
   */
  factsOf(clip) {
    return this.#facts.get(clip) ?? null;
  }

  /** A small picture of the clip's first frame, when its file is at hand. @param {number} clip */
  posterOf(clip) {
    return this.#posters.get(clip) ?? null;
  }

  /** Whether one click can bring the file back. @param {number} clip */
  hasHandle(clip) {
    return this.#handles.has(clip);
  }

  /** How many clips of the session lack their file. */
  get missing() {
    return (this.#store.session?.clips ?? []).filter((clip) => !this.#files.has(clip.id)).length;
  }

  /** Follows the store to another session: the files of the last one are let go once another takes its place. */
  async followSession() {
    const id = this.#store.id;
    if (id === this.#session || id === null) {
      return;
    }
    this.#session = id;
    this.#files.clear();
    this.#facts.clear();
    this.#posters.clear();
    this.#handles.clear();
    this.#release();
    if (this.#desk.storage) {
      const handles = await this.#desk.storage.handles(id);
      if (this.#session !== id) {
        return;
      }
      this.#handles = handles;
    }
    this.#changed();
    void this.#reopenAllowed(id);
  }

  /**
   * Brings back the clips whose files this page may still read, so that the browser asks nothing.
   * @param {string} session
   */
  async #reopenAllowed(session) {
    for (const [id, handle] of this.#handles) {
      try {
        if ("fetched_from" in handle || (await /** @type {any} */ (handle).queryPermission({ mode: "read" })) !== "granted") {
          continue;
        }
        const file = await handle.getFile();
        if (this.#session === session && !this.#files.has(id)) {
          await this.relink(id, { file, handle });
        }
      } catch (error) {
        console.info(`The file of clip ${id} did not come back by itself; its card asks for it and says why.`, error);
      }
    }
  }

  /**
   * Adds a clip to the open session, or recognises it as one that is there already and only lacked its file.
   * @param {Chosen} chosen
   * @param {{label?: string}} [words]
   * @returns {Promise<number>} the clip's id
   */
  async add({ file, handle = null }, { label = "" } = {}) {
    const { facts, poster } = await this.#read(file);
    if (!this.#store.session) {
      await this.#desk.begin(); // only now: a file that is no clip starts no session
    }
    const known = this.#store.findClip(facts);
    if (known === null) {
      this.#store.apply({ command: "add_clip", clip: recordFrom(facts, label) });
    }
    const id = known ?? /** @type {number} */ (this.#store.openSession().clips.at(-1)?.id);
    await this.#link(id, { file, facts, poster, handle });
    return id;
  }

  /**
   * Brings a clip's file back. Another file is refused, saying what differs; the session stays as it is.
   * @param {number} id
   * @param {Chosen} chosen
   */
  async relink(id, { file, handle = null }) {
    const session = this.#store.id;
    const { facts, poster } = await this.#read(file);
    if (this.#store.id !== session) {
      return; // the coach went on to another session meanwhile
    }
    const match = this.#store.matchClip(id, facts);
    if (match.relink === "differs") {
      throw match.trouble;
    }
    await this.#link(id, { file, facts, poster, handle });
  }

  /**
   * Brings a clip's file back through the handle that was kept. Needs a click: the browser asks for permission.
   * @param {number} id
   */
  async reopen(id) {
    const handle = /** @type {any} */ (this.#handles.get(id));
    if ("fetched_from" in handle) {
      await this.relink(id, { file: await fetchClip(handle.fetched_from), handle });
      return;
    }
    let file;
    try {
      const allowed = (await handle.queryPermission({ mode: "read" })) === "granted" || (await handle.requestPermission({ mode: "read" })) === "granted";
      if (!allowed) {
        return;
      }
      file = await handle.getFile();
    } catch (error) {
      throw new PageTrouble(
        "clip_gone",
        `${handle.name} is no longer where it was (${/** @type {Error} */ (error).message}).`,
        "Choose the file from its new place; it is recognised by its content.",
        handle.name,
      );
    }
    await this.relink(id, { file, handle });
  }

  /** Opens the player on the store's open clip, when its file is at hand; closes it otherwise. */
  async openPlayer() {
    const id = this.#store.clip_id;
    const file = id === null || this.#isAside ? null : this.fileOf(id);
    if (file === this.#wanted) {
      return;
    }
    this.#release();
    this.#wanted = file;
    if (!file) {
      this.dispatchEvent(new CustomEvent("player"));
      return;
    }
    const opening = this.#readingOf(file);
    this.#opening = opening;
    this.dispatchEvent(new CustomEvent("player"));
    try {
      const player = await (await playerModule()).Player.open(file, this.#picture, this.#toldOf(opening));
      if (this.#wanted !== file) {
        player.close();
        return;
      }
      this.#opening = null;
      this.#player = player;
      // How this clip is shown may matter: by seeking, not proven, its start not known.
      for (const caution of player.cautions) this.dispatchEvent(new CustomEvent("player-trouble", { detail: caution }));
    } catch (error) {
      if (opening.stop.signal.aborted) return; // another clip took its place
      this.#opening = null;
      this.#wanted = null;
      this.dispatchEvent(new CustomEvent("player-trouble", { detail: troubleFrom(error, file.name) }));
    }
    this.dispatchEvent(new CustomEvent("player"));
  }

  /** Lets the player go, and opens none until `takeUp`: a view that plays clips itself needs the memory for frames. */
  setAside() {
    this.#isAside = true;
    return this.openPlayer();
  }

  /** Opens the player on the open clip again. */
  takeUp() {
    this.#isAside = false;
    return this.openPlayer();
  }

  /**
   * Compares the pictures of a clip for frames that repeat the one before, and notes the result in the session.
   * @param {number} id
   * @param {{signal: AbortSignal, onProgress: (done: number, of: number) => void}} how
   * @returns {Promise<void>} rejects with an AbortError when it was cancelled
   */
  async findDuplicates(id, { signal, onProgress }) {
    const file = /** @type {File} */ (this.#files.get(id));
    // A player of its own, so that marking can go on meanwhile.
    const player = await (await playerModule()).Player.open(file, document.createElement("canvas"));
    try {
      const duplicated_frames = Array.from(await player.findDuplicates({ signal, onProgress }));
      signal.throwIfAborted();
      this.#store.apply({ command: "edit_clip", clip: id, change: { duplicated_frames } });
    } finally {
      player.close();
    }
  }

  #release() {
    this.#player?.close();
    this.#player = null;
    this.#wanted = null;
    this.#opening?.stop.abort();
    this.#opening = null;
  }

  /** @param {File} file @returns {Reading} */
  #readingOf(file) {
    return { name: file.name, done: 0, of: 0, stop: new AbortController() };
  }

  /** What the player is given to tell how far it is, and to be stopped. @param {Reading} reading */
  #toldOf(reading) {
    return {
      signal: reading.stop.signal,
      onProgress: (/** @type {number} */ done, /** @type {number} */ of) => {
        Object.assign(reading, { done, of });
        this.dispatchEvent(new CustomEvent("reading"));
      },
    };
  }

  /** @param {File} file */
  async #read(file) {
    const reading = this.#readingOf(file);
    this.#readings.add(reading);
    this.dispatchEvent(new CustomEvent("reading"));
    try {
      // Opened as it will be opened for marking, so that a clip which this browser cannot decode is refused now.
      const canvas = document.createElement("canvas");
      const player = await (await playerModule()).Player.open(file, canvas, this.#toldOf(reading));
      const { facts, cautions } = player;
      player.close();
      return { facts: { ...facts, cautions }, poster: posterOf(canvas) };
    } catch (error) {
      throw troubleFrom(error, file.name);
    } finally {
      this.#readings.delete(reading);
      this.dispatchEvent(new CustomEvent("reading"));
    }
  }

  /**
   * @param {number} id
   * @param {{file: File, facts: any, poster: HTMLCanvasElement, handle: WayBack|null}} linked
   */
  async #link(id, { file, facts, poster, handle }) {
    this.#files.set(id, file);
    this.#facts.set(id, facts);
    this.#posters.set(id, poster);
    this.#changed();
    if (handle && this.#store.id && this.#desk.storage) {
      this.#handles.set(id, handle);
      await this.#desk.storage.keepHandle(this.#store.id, id, handle);
    }
  }

  #changed() {
    this.dispatchEvent(new CustomEvent("files"));
  }
}

/**
 * A clip that lies beside the page, as a file.
 * @param {string} path
 * @returns {Promise<File>}
 */
export async function fetchClip(path) {
  const response = await fetchBeside(path);
  return new File([await response.blob()], path.slice(path.lastIndexOf("/") + 1), { type: "video/mp4" });
}

/**
 * Something that lies beside the page, from the same origin.
 * @param {string} path
 * @returns {Promise<Response>}
 */
export async function fetchBeside(path) {
  const hint = "It lies beside this page. Check the connection, or open a clip of your own.";
  let response;
  try {
    response = await fetch(path);
  } catch (error) {
    throw new PageTrouble("not_fetched", `${path} could not be fetched (${/** @type {Error} */ (error).message}).`, hint, path);
  }
  if (!response.ok) {
    throw new PageTrouble("not_fetched", `${path} could not be fetched (the server answered ${response.status}).`, hint, path);
  }
  return response;
}

/** Wide enough to tell clips apart, small enough to keep. */
const POSTER_WIDTH_PX = 320;

/** @param {HTMLCanvasElement} frame */
function posterOf(frame) {
  const poster = document.createElement("canvas");
  poster.width = POSTER_WIDTH_PX;
  poster.height = Math.max(1, Math.round((POSTER_WIDTH_PX * frame.height) / frame.width));
  poster.getContext("2d")?.drawImage(frame, 0, 0, poster.width, poster.height);
  return poster;
}

async function playerModule() {
  return /** @type {any} */ (await import("../player/player.js"));
}

/**
 * @param {any} facts
 * @param {string} label
 */
function recordFrom(facts, label) {
  return {
    name: facts.name,
    label,
    size_bytes: facts.size_bytes,
    fingerprint: facts.fingerprint,
    container: facts.container,
    codec: facts.codec,
    width: facts.width,
    height: facts.height,
    rotation_deg: facts.rotation_deg,
    timescale: facts.timescale,
    frame_times: facts.frame_times,
    capture_rate_fps: facts.capture_rate_fps ?? null,
    filmed_rate_fps: null,
    view: null,
    kick: null,
    aids: [],
    speed: null,
    notes: "",
    duplicated_frames: null,
  };
}

// The clips' files while the page is open: which are at hand, how they came (and how they come back), and the one
// player on the open clip. The session never holds pixels or files; it knows a clip by its fingerprint.

import { PageTrouble, troubleFrom } from "./trouble.js";

/** @typedef {import("./desk.js").Desk} Desk */
/** @typedef {import("./store.js").Store} Store */
/** @typedef {import("./types.js").ClipRecord} ClipRecord */
/** @typedef {import("./types.js").PlayerHandle} PlayerHandle */
/** @typedef {{file: File, handle?: FileSystemFileHandle|null}} Chosen */

/**
 * Events: `files` (which files are at hand changed), `player` (another player, or none), `player-trouble` (detail:
 * Trouble).
 */
export class ClipFiles extends EventTarget {
  #store;
  #desk;
  #picture;
  /** @type {Map<number, File>} */
  #files = new Map();
  /** @type {Map<number, any>} */
  #facts = new Map();
  /** @type {Map<number, FileSystemFileHandle>} */
  #handles = new Map();
  /** @type {string|null} */
  #session = null;
  /** @type {PlayerHandle|null} */
  #player = null;
  /** @type {File|null} */
  #wanted = null;

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

  /** Whether the open clip's player is on its way. */
  get opening() {
    return this.#wanted !== null && this.#player === null;
  }

  /** @param {number} clip @returns {File|null} */
  fileOf(clip) {
    return this.#files.get(clip) ?? null;
  }

  /** What the file says of itself beyond the session's record (spacing, suspected drops, warnings), when at hand. @param {number} clip */
  factsOf(clip) {
    return this.#facts.get(clip) ?? null;
  }

  /** Whether one click can bring the file back. @param {number} clip */
  hasHandle(clip) {
    return this.#handles.has(clip);
  }

  /** How many clips of the session lack their file. */
  get missing() {
    return (this.#store.session?.clips ?? []).filter((/** @type {ClipRecord} */ clip) => !this.#files.has(clip.id)).length;
  }

  /** Follows the store to another session: the files of the last one are let go. */
  async followSession() {
    const id = this.#store.id;
    if (id === this.#session) {
      return;
    }
    this.#session = id;
    this.#files.clear();
    this.#facts.clear();
    this.#handles.clear();
    this.#release();
    if (id !== null && this.#desk.storage) {
      this.#handles = await this.#desk.storage.handles(id);
    }
    this.#changed();
  }

  /**
   * Adds a clip to the open session, or recognises it as one that is there already and only lacked its file.
   * @param {Chosen} chosen
   * @param {{label?: string}} [words]
   * @returns {Promise<number>} the clip's id
   */
  async add({ file, handle = null }, { label = "" } = {}) {
    const facts = await this.#readFacts(file);
    const clips = /** @type {ClipRecord[]} */ (this.#store.session.clips);
    const known = clips.find((clip) => clip.fingerprint === facts.fingerprint);
    if (!known) {
      this.#store.apply({ command: "add_clip", clip: recordFrom(facts, label) });
    }
    const clip = known ?? /** @type {ClipRecord} */ (this.#store.session.clips.at(-1));
    await this.#link(clip.id, file, facts, handle);
    return clip.id;
  }

  /**
   * Brings a clip's file back. Another file is refused, saying what differs; the session stays as it is.
   * @param {number} id
   * @param {Chosen} chosen
   */
  async relink(id, { file, handle = null }) {
    const clip = /** @type {ClipRecord} */ (this.#store.session.clips.find((/** @type {ClipRecord} */ other) => other.id === id));
    const facts = await this.#readFacts(file);
    if (facts.fingerprint !== clip.fingerprint) {
      throw anotherClip(clip, facts, file);
    }
    await this.#link(id, file, facts, handle);
  }

  /**
   * Brings a clip's file back through the handle that was kept. Needs a click: the browser asks for permission.
   * @param {number} id
   */
  async reopen(id) {
    const handle = /** @type {any} */ (this.#handles.get(id));
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
    const file = id === null ? null : this.fileOf(id);
    if (file === this.#wanted) {
      return;
    }
    this.#release();
    this.#wanted = file;
    if (!file) {
      this.dispatchEvent(new CustomEvent("player"));
      return;
    }
    this.dispatchEvent(new CustomEvent("player"));
    try {
      const player = await (await playerModule()).Player.open(file, this.#picture);
      if (this.#wanted !== file) {
        player.close();
        return;
      }
      this.#player = player;
    } catch (error) {
      this.#wanted = null;
      this.dispatchEvent(new CustomEvent("player-trouble", { detail: troubleFrom(error, file.name) }));
    }
    this.dispatchEvent(new CustomEvent("player"));
  }

  #release() {
    this.#player?.close();
    this.#player = null;
    this.#wanted = null;
  }

  /** @param {File} file */
  async #readFacts(file) {
    try {
      // Opened as it will be opened for marking, so that a clip which this browser cannot decode is refused now.
      const player = await (await playerModule()).Player.open(file, document.createElement("canvas"));
      const { facts } = player;
      player.close();
      return facts;
    } catch (error) {
      throw troubleFrom(error, file.name);
    }
  }

  /**
   * @param {number} id
   * @param {File} file
   * @param {any} facts
   * @param {FileSystemFileHandle|null} handle
   */
  async #link(id, file, facts, handle) {
    this.#files.set(id, file);
    this.#facts.set(id, facts);
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

/**
 * @param {ClipRecord} clip
 * @param {any} facts
 * @param {File} file
 */
function anotherClip(clip, facts, file) {
  const differences = [
    difference("size", `${clip.size_bytes.toLocaleString("en")} bytes`, `${facts.size_bytes.toLocaleString("en")} bytes`),
    difference("codec", clip.codec, facts.codec),
    difference("picture", `${clip.width}×${clip.height}`, `${facts.width}×${facts.height}`),
    difference("frames", frameCount(clip.frame_times), facts.frame_count),
  ].filter((text) => text !== null);
  const what = differences.length > 0 ? differences.join("; ") : "the same size and frames, but other content";
  return new PageTrouble(
    "another_clip",
    `${file.name} is not the clip that was marked as ${clip.name}: ${what}.`,
    "Choose the original file: a copy that was trimmed, shared through a messenger or converted has other frames. Nothing in the session was changed.",
    file.name,
  );
}

/** @param {string} what @param {string|number} was @param {string|number} is */
function difference(what, was, is) {
  return String(was) === String(is) ? null : `${what} ${is} instead of ${was}`;
}

/** @param {{runs: [number, number][]}} frame_times  runs of [count, spacing in ticks] */
function frameCount(frame_times) {
  return frame_times.runs.reduce((sum, [count]) => sum + count, 0);
}

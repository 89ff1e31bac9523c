// Opens, keeps and lists sessions: puts storage, lock, journal and the wasm sitting together and hands the result to
// the store. Not for: what a session contains, or drawing.

import { holdSession, isHeld } from "./lock.js";
import { Journal } from "./journal.js";
import { bytesOfSession } from "./session-file.js";
import { PageTrouble, troubleFrom } from "./trouble.js";

/** @typedef {import("./lock.js").Hold} Hold */
/** @typedef {import("./storage.js").DeviceStorage} DeviceStorage */
/** @typedef {import("./storage.js").SessionSummary} SessionSummary */
/** @typedef {import("./store.js").Store} Store */
/** @typedef {import("./types.js").SittingHandle} SittingHandle */
/** @typedef {import("./types.js").SittingMaker} SittingMaker */
/** @typedef {import("./types.js").Trouble} Trouble */

/**
 * Events: `list` (the sessions kept here changed), `handed-over` (the state of the session's file changed),
 * `notice` (detail: Trouble; what is worth telling about how a session was opened), `taken-over` (this tab became the writer), `followed` (the other tab changed what is shown here), `lost` (detail: Trouble; the storage went away under us).
 */
export class Desk extends EventTarget {
  #Sitting;
  #store;
  #storage;
  /** @type {Trouble|null} */
  #why;
  /** @type {Hold|null} */
  #hold = null;
  /** @type {Journal|null} */
  #journal = null;
  #channel = "BroadcastChannel" in globalThis ? new BroadcastChannel("wetframe sessions") : null;
  /** How many journal lines the last saved file held; null: never saved. @type {number|null} */
  #handed_over = null;
  #lines = 0;
  /** How many journal lines the open session had when it was last kept as it was left. */
  #asLeft = 0;
  /** Settles when the session left last is on the disk. */
  #left = Promise.resolve();

  /**
   * @param {object} parts
   * @param {SittingMaker} parts.Sitting
   * @param {Store} parts.store
   * @param {DeviceStorage|null} parts.storage
   * @param {Trouble|null} parts.why  why there is no storage
   */
  constructor({ Sitting, store, storage, why }) {
    super();
    this.#Sitting = Sitting;
    this.#store = store;
    this.#storage = storage;
    this.#why = why;
    this.#watchStorage();
    document.addEventListener("visibilitychange", () => {
      if (document.visibilityState === "hidden" && this.#journal?.saved.state === "saved") {
        this.#keepAsLeft().catch((error) => this.dispatchEvent(new CustomEvent("notice", { detail: troubleFrom(error) })));
      }
    });
    store.addEventListener("change", (event) => {
      if (/** @type {CustomEvent} */ (event).detail) {
        this.#lines += 1;
        this.dispatchEvent(new CustomEvent("handed-over"));
      }
    });
    store.addEventListener("saved", () => {
      this.#channel?.postMessage({ session: store.id });
      this.dispatchEvent(new CustomEvent("list"));
    });
    this.#channel?.addEventListener("message", ({ data }) => {
      this.dispatchEvent(new CustomEvent("list"));
      if (store.readOnly && data.session === store.id) {
        this.#follow(data.session);
      }
    });
  }

  get storage() {
    return this.#storage;
  }

  /** Whether the session was ever saved to a file, and how many changes were made since. */
  get handedOver() {
    return { ever: this.#handed_over !== null, since: this.#lines - (this.#handed_over ?? 0) };
  }

  /** @returns {Promise<SessionSummary[]>} */
  async sessions() {
    return this.#storage ? this.#storage.list() : [];
  }

  /** Starts an empty session of today. @returns {Promise<string>} its id */
  async begin() {
    const id = newId();
    await this.#show(this.#Sitting.create(id, today()), { id, created: false, written: 0, handed_over: null });
    return id;
  }

  /**
   * Opens a session that this device keeps.
   * @param {string} id
   */
  async open(id) {
    if (this.#store.id === id) {
      return;
    }
    const { sitting, lines, written, handed_over } = await this.#read(id);
    await this.#show(sitting, { id, created: true, written, handed_over });
    if (!this.#store.readOnly) {
      await this.#cutUnusable(id, written, lines.length);
    }
  }

  /**
   * Opens a session file and keeps it on this device. A session that is kept here already under the same name of its
   * own is never overwritten: the file comes in as a copy beside it.
   * @param {File} file
   * @returns {Promise<string>} the session's id
   */
  async openFile(file) {
    const sitting = await this.#sittingOf(file);
    this.#tell(sitting);
    const own = sitting.session_view().id;
    const kept = this.#storage ? (await this.#storage.read(own)) !== null : false;
    const id = kept || own === this.#store.id ? newId() : own;
    const known = id === own ? sitting : this.#under(sitting, id);
    await this.#show(known, { id, created: false, written: 0, handed_over: 0 });
    return id;
  }

  /** @param {string} id @param {string} label */
  async rename(id, label) {
    await this.#edit(id, { command: "edit_session", change: { athlete: { label } } });
  }

  /**
   * A second session with the same content and the same history.
   * @param {string} id
   * @param {string} label
   * @returns {Promise<string>}
   */
  async duplicate(id, label) {
    const storage = this.#needStorage();
    await this.#settled(id);
    const { lines, sitting, written } = await this.#read(id);
    const copy = newId();
    const base = sitting.base_json_under(copy);
    sitting.free();
    const history = lines.slice(0, written);
    const copied = this.#Sitting.replay(base, history);
    const { journal_line } = copied.apply({ command: "edit_session", change: { athlete: { label } } });
    await storage.create(copy, base, [...history, journal_line], summaryOf(copied, null));
    copied.free();
    this.#listChanged();
    return copy;
  }

  /** @param {string} id */
  async remove(id) {
    if (id === this.#store.id) {
      if (this.#store.readOnly) {
        throw openElsewhere();
      }
      this.close();
    } else if (await isHeld(id)) {
      throw openElsewhere();
    }
    await this.#needStorage().remove(id);
    this.#listChanged();
  }

  /**
   * The bytes of a kept session's file.
   * @param {string} id
   * @returns {Promise<{bytes: Uint8Array, label: string, date: string}>}
   */
  async fileOf(id) {
    if (id === this.#store.id) {
      const { athlete, date } = this.#store.openSession();
      return { bytes: this.#store.toFile(), label: athlete.label, date };
    }
    const { sitting } = await this.#read(id);
    try {
      const { athlete, date } = sitting.session_view();
      return { bytes: sitting.to_file(), label: athlete.label, date };
    } finally {
      sitting.free();
    }
  }

  /** The open session's file is in the coach's hands: the way-finding says so. @param {string|null} [id] */
  noteHandedOver(id = this.#store.id) {
    if (id !== this.#store.id) {
      return; // a session from the list: its entry learns it when it is opened and changed
    }
    this.#handed_over = this.#lines;
    this.dispatchEvent(new CustomEvent("handed-over"));
    this.#journal?.touch();
  }

  /**
   * Leaves the open session and deletes everything kept on this device.
   * @param {(storage: DeviceStorage|null) => Promise<void>} deleteEverything
   * @param {() => Promise<DeviceStorage>} openAgain
   */
  async forgetEverything(deleteEverything, openAgain) {
    this.#handed_over = this.#lines; // asked for by name: nothing here is to be kept
    this.close();
    await this.#left;
    const storage = this.#storage;
    this.#storage = null;
    await deleteEverything(storage);
    this.#storage = await openAgain();
    this.#why = null;
    this.#watchStorage();
    this.#listChanged();
  }

  /** Leaves the open session. */
  close() {
    this.#leave();
    this.#store.close();
  }

  /** When the storage goes away under us, what is open lives on in memory. */
  #watchStorage() {
    if (!this.#storage) {
      return;
    }
    this.#storage.onLost = (trouble) => {
      this.#storage = null;
      this.#why = trouble;
      this.#journal?.lose(trouble);
      this.dispatchEvent(new CustomEvent("list"));
      this.dispatchEvent(new CustomEvent("lost", { detail: trouble }));
    };
  }

  /**
   * @param {SittingHandle} sitting
   * @param {{id: string, created: boolean, written: number, handed_over: number|null}} kept
   */
  async #show(sitting, { id, created, written, handed_over }) {
    this.#leave();
    const hold = await holdSession(id);
    this.#hold = hold;
    this.#lines = written;
    this.#asLeft = 0;
    this.#handed_over = handed_over;
    const journal = new Journal({
      storage: this.#storage,
      id,
      base_json: created ? "" : sitting.base_json(),
      created,
      written,
      summarise: () => summaryOf(sitting, this.#handed_over),
      why: this.#why,
    });
    this.#journal = journal;
    this.#store.take(sitting, journal, { readOnly: !hold.mine });
    if (!created) {
      journal.start();
    }
    if (hold.freed) {
      this.#takeOver(id, hold);
    }
  }

  #leave() {
    if (this.#journal?.saved.state === "memory_only" && this.handedOver.since > 0 && !this.#store.readOnly) {
      throw new PageTrouble(
        "not_saved",
        "The open session is only in this tab, and leaving it would lose it.",
        "Save it to a file first; then open the other one.",
      );
    }
    const hold = this.#hold;
    // The next tab may write only after our last line is down; what kept a line from there was shown when it came.
    const letGo = () => hold?.release();
    this.#left = this.#keepAsLeft().then(letGo, letGo);
    this.#hold = null;
    this.#journal = null;
  }

  /**
   * Keeps the open session as it stands, where that is news, for those who read many sessions at once; where this does
   * not succeed they read its journal. Settles when all that was done is on the disk.
   */
  async #keepAsLeft() {
    const [journal, storage, { id }, lines] = [this.#journal, this.#storage, this.#store, this.#lines];
    const isNews = journal && storage && id && lines > 0 && lines !== this.#asLeft && !this.#store.readOnly;
    const base_json = isNews ? this.#store.baseOfNow() : "";
    await journal?.whenSaved();
    if (isNews) {
      await storage.keepAsLeft(id, lines, base_json);
      if (this.#journal === journal) this.#asLeft = lines;
    }
  }

  /**
   * Becomes the writer when the tab that was lets go.
   * @param {string} id
   * @param {Hold} hold
   */
  async #takeOver(id, hold) {
    try {
      await hold.freed;
    } catch (error) {
      if (/** @type {Error} */ (error)?.name === "AbortError") {
        return; // we left the session before the other tab did
      }
      throw error;
    }
    if (this.#hold !== hold) {
      return;
    }
    let kept;
    try {
      kept = await this.#keptOrShown(id);
    } catch (error) {
      this.#hold = null;
      hold.release(); // a newer page wrote what we cannot read: it may go on writing, we may not
      throw error;
    }
    this.#retake(id, kept, { readOnly: false });
    this.dispatchEvent(new CustomEvent("taken-over"));
  }

  /**
   * The session as it is kept; as it is shown where the other tab has deleted everything.
   * @param {string} id
   */
  async #keptOrShown(id) {
    try {
      return await this.#read(id);
    } catch (error) {
      if (this.#storage) {
        throw error;
      }
      return { sitting: this.#Sitting.open_file(this.#store.toFile(), ""), written: 0, handed_over: null };
    }
  }

  /** @param {string} id */
  async #follow(id) {
    this.#retake(id, await this.#read(id), { readOnly: true });
    this.dispatchEvent(new CustomEvent("followed"));
  }

  /**
   * @param {string} id
   * @param {{sitting: SittingHandle, written: number, handed_over: number|null}} kept
   * @param {{readOnly: boolean}} how
   */
  #retake(id, { sitting, written, handed_over }, { readOnly }) {
    this.#lines = written;
    this.#asLeft = 0;
    this.#handed_over = handed_over;
    const journal = new Journal({
      storage: this.#storage,
      id,
      base_json: "",
      created: true,
      written,
      summarise: () => summaryOf(sitting, this.#handed_over),
      why: this.#why,
    });
    this.#journal = journal;
    this.#store.take(sitting, journal, { readOnly });
  }

  /** @param {string} id */
  async #read(id) {
    const storage = this.#needStorage();
    const [kept, summaries] = await Promise.all([storage.read(id), storage.list()]);
    if (!kept) {
      throw new PageTrouble(
        "session_not_kept",
        "This session is not kept on this device.",
        "If you have its .wetframe file, open that file. The list below shows what is kept here.",
      );
    }
    const sitting = this.#Sitting.replay(kept.base_json, kept.lines);
    this.#tell(sitting);
    const handed_over = summaries.find((summary) => summary.id === id)?.handed_over ?? null;
    return { ...kept, sitting, written: sitting.lines_kept(), handed_over };
  }

  /** @param {string} id @param {object} command */
  async #edit(id, command) {
    if (id === this.#store.id) {
      this.#store.apply(command);
      return;
    }
    const storage = this.#needStorage();
    const hold = await holdSession(id);
    try {
      if (!hold.mine) {
        throw openElsewhere();
      }
      const { sitting, lines, written, handed_over } = await this.#read(id);
      await this.#cutUnusable(id, written, lines.length);
      const { journal_line } = sitting.apply(command);
      await storage.append(id, written, [journal_line], summaryOf(sitting, handed_over));
      sitting.free();
    } finally {
      hold.release();
    }
    this.#listChanged();
  }

  /**
   * A journal that breaks off is written on from its last usable line; what it broke off at was shown.
   * @param {string} id
   * @param {number} kept
   * @param {number} stored
   */
  async #cutUnusable(id, kept, stored) {
    if (kept < stored) {
      await this.#needStorage().cut(id, kept);
    }
  }

  /** @param {string} id */
  async #settled(id) {
    if (id === this.#store.id) {
      await this.#store.whenSaved();
    }
  }

  /** @param {File} file */
  async #sittingOf(file) {
    const bytes = await bytesOfSession(file);
    try {
      return this.#Sitting.open_file(bytes, file.name);
    } catch (error) {
      throw troubleFrom(error, file.name);
    }
  }

  /** @param {SittingHandle} sitting @param {string} id */
  #under(sitting, id) {
    const base = sitting.base_json_under(id);
    sitting.free();
    return this.#Sitting.replay(base, []);
  }

  /** @param {SittingHandle} sitting */
  #tell(sitting) {
    for (const trouble of sitting.notices()) {
      this.dispatchEvent(new CustomEvent("notice", { detail: trouble }));
    }
  }

  #needStorage() {
    if (!this.#storage) {
      throw this.#why ?? new PageTrouble("storage_denied", "This browser lets the page keep nothing on this device.");
    }
    return this.#storage;
  }

  #listChanged() {
    this.#channel?.postMessage({ session: null });
    this.dispatchEvent(new CustomEvent("list"));
  }
}

/**
 * @param {SittingHandle} sitting
 * @param {number|null} handed_over
 * @returns {SessionSummary}
 */
function summaryOf(sitting, handed_over) {
  const { id, athlete, date, clips } = sitting.session_view();
  return {
    id,
    label: athlete.label,
    date,
    clips: clips.map((clip) => ({
      id: clip.id,
      name: clip.name,
      label: clip.label,
      cycles_marked: clip.cycles_marked,
      open_questions: clip.flags_count,
    })),
    handed_over,
    changed_at: Date.now(),
  };
}

function openElsewhere() {
  return new PageTrouble("open_elsewhere", "This session is open in another tab.", "Close it there first.");
}

/** A name that no other session has: 128 random bits. */
function newId() {
  return Array.from(crypto.getRandomValues(new Uint8Array(16)), (byte) => byte.toString(16).padStart(2, "0")).join("");
}

/** Today by this device's own calendar, YYYY-MM-DD. */
function today() {
  const now = new Date();
  const two = (/** @type {number} */ part) => String(part).padStart(2, "0");
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}

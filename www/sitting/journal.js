// Gets what was done onto the disk, in order, behind the coach's back: lines queue up, one transaction at a time
// carries all that wait. Nothing is dropped when the disk refuses: it stays queued and is tried again.

import { troubleFrom } from "./trouble.js";

/** @typedef {import("./storage.js").DeviceStorage} DeviceStorage */
/** @typedef {import("./storage.js").SessionSummary} SessionSummary */
/** @typedef {import("./types.js").Trouble} Trouble */

/** Events: `saving`, `saved`, `storage-trouble` (detail: Trouble). */
export class Journal extends EventTarget {
  #storage;
  #id;
  #summarise;
  #base_json;
  #written;
  /** @type {string[]} */
  #waiting = [];
  /** @type {Promise<void>|null} */
  #writing = null;
  /** @type {Trouble|null} */
  #trouble = null;
  #created;
  #described = true;

  /**
   * @param {object} parts
   * @param {DeviceStorage|null} parts.storage  null: nothing can be kept, `why` says so
   * @param {string} parts.id
   * @param {string} parts.base_json    the session that the lines start from, as a session file
   * @param {boolean} parts.created     whether the storage has the base already
   * @param {number} parts.written      how many lines the storage has already
   * @param {() => SessionSummary} parts.summarise  asked at each write, so that no key press waits for it
   * @param {Trouble|null} [parts.why]
   */
  constructor({ storage, id, base_json, created, written, summarise, why = null }) {
    super();
    this.#storage = storage;
    this.#id = id;
    this.#base_json = base_json;
    this.#created = created;
    this.#written = written;
    this.#summarise = summarise;
    this.#trouble = why;
  }

  /** @returns {import("./store.js").Saved} */
  get saved() {
    if (this.#trouble) {
      return { state: "memory_only", trouble: this.#trouble };
    }
    if (this.#writing) {
      return { state: "saving", trouble: null };
    }
    return { state: this.#created ? "saved" : "empty", trouble: null };
  }

  /** How many lines are on the disk. */
  get written() {
    return this.#written;
  }

  /** @param {string} line */
  append(line) {
    this.#waiting.push(line);
    this.#write();
  }

  /** Writes the base document even when nothing was done yet. */
  start() {
    this.#write();
  }

  /** The list entry changed, the document did not. While the disk refuses, it waits for the next attempt. */
  touch() {
    this.#described = false;
    if (!this.#trouble) {
      this.#write();
    }
  }

  retry() {
    if (this.#storage) {
      this.#trouble = null;
      this.#write();
    }
  }

  /** The storage is gone: from here on everything is kept in memory only. @param {Trouble} why */
  lose(why) {
    this.#storage = null;
    this.#fail(why);
  }

  /** Resolves when all that was appended is on the disk; rejects with the Trouble that keeps it from there. */
  async whenSaved() {
    while (this.#writing) {
      await this.#writing;
    }
    if (this.#trouble) {
      throw this.#trouble;
    }
  }

  #write() {
    if (this.#writing || !this.#storage) {
      return;
    }
    this.#writing = this.#drain(this.#storage).finally(() => {
      this.#writing = null;
      if (!this.#trouble && this.#waiting.length > 0) {
        this.#write(); // appended just as the last transaction ended
      } else if (!this.#trouble) {
        this.dispatchEvent(new CustomEvent("saved", { detail: { written: this.#written } }));
      }
    });
    this.dispatchEvent(new CustomEvent("saving"));
  }

  /** @param {DeviceStorage} storage */
  async #drain(storage) {
    // Lets every change of the same task join the first transaction.
    await Promise.resolve();
    while (!this.#created || !this.#described || this.#waiting.length > 0) {
      const lines = this.#waiting.slice();
      this.#described = true;
      try {
        if (this.#created && lines.length === 0) {
          await storage.describe(this.#summarise());
        } else if (this.#created) {
          await storage.append(this.#id, this.#written, lines, this.#summarise());
        } else {
          await storage.create(this.#id, this.#base_json, lines, this.#summarise());
          this.#created = true;
        }
      } catch (error) {
        this.#fail(troubleFrom(error));
        return;
      }
      this.#waiting.splice(0, lines.length);
      this.#written += lines.length;
      this.#trouble = null;
    }
  }

  /** @param {Trouble} trouble */
  #fail(trouble) {
    this.#trouble = trouble;
    this.dispatchEvent(new CustomEvent("storage-trouble", { detail: trouble }));
  }
}

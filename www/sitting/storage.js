// What this device keeps: sessions in IndexedDB, each as a base document and the journal of everything done since.
// A write counts only when its transaction has completed with strict durability (the browser has handed it to the
// disk), which is what "saved" on the screen means. Not for: deciding what to write, or showing trouble.
// Source: Indexed Database API 3.0, W3C, "durability" of transactions.

import { PageTrouble } from "./trouble.js";

/**
 * A session as the list on the first screen shows it, so that the list needs no replay.
 * @typedef {object} SessionSummary
 * @property {string} id
 * @property {string} label       the swimmer, in the coach's words
 * @property {string} date        YYYY-MM-DD
 * @property {{id: number, name: string, label: string, cycles_marked: number, open_questions: number}[]} clips
 * @property {number|null} handed_over  how many changes the last saved file held; null: never saved to a file
 * @property {number} changed_at  ms since 1970, by this device's clock
 */

/** @typedef {{base_json: string, lines: string[]}} Kept a session as it began and what was done since */

const NAME = "wetframe";
const VERSION = 2;
const SESSIONS = "sessions";
const BASES = "bases";
const JOURNAL = "journal";
const HANDLES = "handles";
/** Sessions as they were left: copies that save reading a long journal, dropped with the next line of it. */
const AS_LEFT = "as_left";

export class DeviceStorage {
  #database;

  /** Called once when the browser closed the database under us. @type {(trouble: PageTrouble) => void} */
  onLost = () => {};

  /** @param {IDBDatabase} database */
  constructor(database) {
    this.#database = database;
    database.onversionchange = () => {
      database.close();
      this.onLost(
        new PageTrouble(
          "storage_cleared",
          "Everything stored on this device was deleted from another tab.",
          "What you see here now exists only in this tab: save it to a file if you want to keep it.",
        ),
      );
    };
    database.onclose = () => {
      this.onLost(
        new PageTrouble("storage_closed", "The browser closed this page's storage.", "Save the session to a file now, then reload."),
      );
    };
  }

  /** @returns {Promise<DeviceStorage>} rejects with `storage_denied` where the browser allows none */
  static async open() {
    if (!("indexedDB" in globalThis) || !globalThis.indexedDB) {
      throw denied("this browser offers no IndexedDB here");
    }
    try {
      const request = indexedDB.open(NAME, VERSION);
      request.onupgradeneeded = ({ oldVersion }) => {
        const database = request.result;
        if (oldVersion < 1) {
          database.createObjectStore(SESSIONS, { keyPath: "id" });
          database.createObjectStore(BASES, { keyPath: "id" });
          database.createObjectStore(JOURNAL, { keyPath: ["id", "sequence"] });
          database.createObjectStore(HANDLES, { keyPath: ["id", "clip"] });
        }
        database.createObjectStore(AS_LEFT, { keyPath: "id" });
      };
      return new DeviceStorage(await answer(request));
    } catch (error) {
      throw denied(/** @type {Error} */ (error)?.message ?? String(error));
    }
  }

  /** @returns {Promise<SessionSummary[]>} the last changed first */
  async list() {
    const transaction = this.#begin([SESSIONS], "readonly");
    /** @type {SessionSummary[]} */
    const summaries = await answer(transaction.objectStore(SESSIONS).getAll());
    return summaries.sort((one, other) => other.changed_at - one.changed_at);
  }

  /**
   * @param {string} id
   * @returns {Promise<Kept|null>} null when no such session is kept
   */
  async read(id) {
    return keptOf(id, this.#begin([BASES, JOURNAL], "readonly"));
  }

  /**
   * Several sessions at once, as they stood at one moment and without their past: one that was left since it was
   * changed comes as it was left, without lines.
   * @param {string[]} ids
   * @returns {Promise<Map<string, Kept>>} by id; those not kept are left out
   */
  async readSeveral(ids) {
    const transaction = this.#begin([BASES, JOURNAL, AS_LEFT], "readonly");
    const asLeft = transaction.objectStore(AS_LEFT);
    const found = await Promise.all(
      ids.map(async (id) => {
        const left = await answer(asLeft.get(id));
        return left ? { base_json: left.base_json, lines: [] } : keptOf(id, transaction);
      }),
    );
    /** @type {Map<string, Kept>} */
    const kept = new Map();
    found.forEach((session, index) => {
      if (session) kept.set(ids[index], session);
    });
    return kept;
  }

  /**
   * Keeps a session as it is left, for those who want no more of it than that.
   * @param {string} id
   * @param {number} lines  how long its journal is then; nothing is kept where another tab has written on
   * @param {string} base_json
   */
  async keepAsLeft(id, lines, base_json) {
    const transaction = this.#begin([JOURNAL, AS_LEFT], "readwrite");
    if ((await answer(transaction.objectStore(JOURNAL).count(wholeOf(id)))) === lines) {
      transaction.objectStore(AS_LEFT).put({ id, base_json });
    }
    await completed(transaction);
  }

  /**
   * Puts a new session down, with whatever has been done in it already.
   * @param {string} id
   * @param {string} base_json
   * @param {string[]} lines
   * @param {SessionSummary} summary
   */
  async create(id, base_json, lines, summary) {
    const transaction = this.#begin([SESSIONS, BASES, JOURNAL], "readwrite");
    transaction.objectStore(BASES).add({ id, base_json });
    lines.forEach((line, sequence) => transaction.objectStore(JOURNAL).add({ id, sequence, line }));
    transaction.objectStore(SESSIONS).put(summary);
    await completed(transaction);
  }

  /**
   * Appends to a session's journal. `add` fails on a sequence number that is taken, so two writers can never
   * interleave; lines that a replay could not use are cut first, by `cut`.
   * @param {string} id
   * @param {number} first  sequence number of the first of these lines
   * @param {string[]} lines
   * @param {SessionSummary} summary
   */
  async append(id, first, lines, summary) {
    const transaction = this.#begin([SESSIONS, JOURNAL, AS_LEFT], "readwrite");
    lines.forEach((line, offset) => transaction.objectStore(JOURNAL).add({ id, sequence: first + offset, line }));
    transaction.objectStore(AS_LEFT).delete(id);
    transaction.objectStore(SESSIONS).put(summary);
    await completed(transaction);
  }

  /** Cuts a journal short: keeps the first `kept` lines. @param {string} id @param {number} kept */
  async cut(id, kept) {
    const transaction = this.#begin([JOURNAL, AS_LEFT], "readwrite");
    transaction.objectStore(JOURNAL).delete(IDBKeyRange.bound([id, kept], [id, []]));
    transaction.objectStore(AS_LEFT).delete(id);
    await completed(transaction);
  }

  /** Puts down a list entry alone. @param {SessionSummary} summary */
  async describe(summary) {
    const transaction = this.#begin([SESSIONS], "readwrite");
    transaction.objectStore(SESSIONS).put(summary);
    await completed(transaction);
  }

  /** @param {string} id */
  async remove(id) {
    const transaction = this.#begin([SESSIONS, BASES, JOURNAL, HANDLES, AS_LEFT], "readwrite");
    transaction.objectStore(SESSIONS).delete(id);
    transaction.objectStore(AS_LEFT).delete(id);
    transaction.objectStore(BASES).delete(id);
    transaction.objectStore(JOURNAL).delete(wholeOf(id));
    transaction.objectStore(HANDLES).delete(wholeOf(id));
    await completed(transaction);
  }

  /**
   * Keeps the way back to a clip's file, where the browser gives one.
   * @param {string} id
   * @param {number} clip
   * @param {import("./clip-files.js").WayBack} handle
   */
  async keepHandle(id, clip, handle) {
    const transaction = this.#begin([HANDLES], "readwrite");
    transaction.objectStore(HANDLES).put({ id, clip, handle });
    await completed(transaction);
  }

  /**
   * @param {string} id
   * @returns {Promise<Map<number, import("./clip-files.js").WayBack>>} by clip
   */
  async handles(id) {
    const transaction = this.#begin([HANDLES], "readonly");
    const entries = await answer(transaction.objectStore(HANDLES).getAll(wholeOf(id)));
    return new Map(entries.map((/** @type {any} */ entry) => [entry.clip, entry.handle]));
  }

  close() {
    this.#database.onclose = null;
    this.#database.onversionchange = null;
    this.#database.close();
  }

  /**
   * @param {string[]} stores
   * @param {IDBTransactionMode} mode
   */
  #begin(stores, mode) {
    try {
      return this.#database.transaction(stores, mode, { durability: "strict" });
    } catch (error) {
      throw translated(error);
    }
  }
}

/**
 * Deletes all that this page has ever stored here: sessions, settings, caches, private files.
 * @param {DeviceStorage|null} storage  closed first, so that it does not hold up its own deletion
 */
export async function deleteEverything(storage) {
  storage?.close();
  await answer(indexedDB.deleteDatabase(NAME));
  localStorage.clear();
  sessionStorage.clear();
  if ("caches" in globalThis) {
    for (const key of await caches.keys()) {
      await caches.delete(key);
    }
  }
  if (navigator.storage?.getDirectory) {
    const root = /** @type {any} */ (await navigator.storage.getDirectory());
    for await (const name of root.keys()) {
      await root.removeEntry(name, { recursive: true });
    }
  }
}

/**
 * @param {string} id
 * @param {IDBTransaction} transaction  over bases and journals
 * @returns {Promise<Kept|null>}
 */
async function keptOf(id, transaction) {
  const [base, entries] = await Promise.all([
    answer(transaction.objectStore(BASES).get(id)),
    answer(transaction.objectStore(JOURNAL).getAll(wholeOf(id))),
  ]);
  return base ? { base_json: base.base_json, lines: entries.map((/** @type {any} */ entry) => entry.line) } : null;
}

/** @param {string} id @returns {IDBKeyRange} every key [id, …] */
function wholeOf(id) {
  return IDBKeyRange.bound([id], [id, []]);
}

/**
 * @template T
 * @param {IDBRequest<T>} request
 * @returns {Promise<T>}
 */
function answer(request) {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(translated(request.error));
  });
}

/** @param {IDBTransaction} transaction @returns {Promise<void>} */
function completed(transaction) {
  return new Promise((resolve, reject) => {
    transaction.oncomplete = () => resolve();
    transaction.onabort = () => reject(translated(transaction.error));
    transaction.onerror = (event) => event.preventDefault();
  });
}

/** @param {unknown} error */
function translated(error) {
  const { name = "", message = String(error) } = /** @type {any} */ (error ?? {});
  if (name === "QuotaExceededError") {
    return new PageTrouble(
      "storage_full",
      "This device's storage for web pages is full, so your last changes are only in this tab.",
      "Save the session to a file now. Then free some space, or delete old sessions from this device.",
    );
  }
  if (name === "ConstraintError") {
    return new PageTrouble(
      "storage_taken",
      "This session was changed from another tab at the same time, so your last changes are only in this tab.",
      "Save the session to a file now, then reload.",
    );
  }
  return new PageTrouble(
    "storage_failed",
    `The browser could not write to this device's storage (${name || "no reason given"}: ${message}), so your last changes are only in this tab.`,
    "Save the session to a file now, then reload.",
  );
}

/** @param {string} reason */
function denied(reason) {
  return new PageTrouble(
    "storage_denied",
    `This browser lets the page keep nothing on this device (${reason}).`,
    "You can work as usual, but save the session to a file before you close the tab.",
  );
}

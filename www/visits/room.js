// The sessions beside the open one: which there are, where each came from, what is being read. One for the whole life of
// the page, so that files opened beside stay when the coach looks at something else. Not for: drawing, or changing a
// session: everything here is read and let go.

import { WorkerLink } from "../player/worker-link.js";
import { PageTrouble } from "../sitting/trouble.js";
import { visits as words } from "../words/visits.js";

/** @typedef {import("./types.js").Visit} Visit */
/** @typedef {import("./types.js").MeasureHistory} MeasureHistory */
/** @typedef {import("../sitting/storage.js").SessionSummary} SessionSummary */
/** @typedef {import("../sitting/types.js").Trouble} Trouble */
/** @typedef {"open"|"kept"|"file"} Source */

/** Reading that takes longer than this shows how far it is. */
const PROGRESS_AFTER_MS = 500;

/** @type {WeakMap<object, VisitsRoom>} */
const ROOMS = new WeakMap();

/** Events: `changed`; `notice` (detail: Trouble or whatever was thrown; what is worth telling). */
export class VisitsRoom extends EventTarget {
  /** Every session by date, the open one among them. @type {Visit[]} */
  visits = [];
  /** Kinds that any clip has a mean of. @type {string[]} */
  kinds = [];
  /** @type {MeasureHistory|null} */
  history = null;
  kind = "stroke_rate";
  /** How far a reading is that takes its time; null: none such. @type {{done: number, of: number}|null} */
  reading = null;
  /** How many kept sessions are not read, since the coach stopped it. */
  unread = 0;

  #context;
  #link = new WorkerLink("", {
    worker: new Worker(new URL("./worker.js", import.meta.url), { type: "module", name: "visits" }),
    failed: (_, why) => new PageTrouble("visits_failed", `The other sessions could not be read (${why}).`, "Reload the page. Nothing that you have marked is lost."),
  });
  /** The files opened beside, by session. @type {Map<string, File>} */
  #files = new Map();
  /** The kept sessions that were read, and the moment of their last change. @type {Map<string, number>} */
  #kept = new Map();
  /** Closed by the coach. @type {Set<string>} */
  #closed = new Set();
  /** @type {{id: string, label: string, dirty: boolean}|null} */
  #open = null;
  #stopped = false;
  /** One task after the other, so that an answer never overtakes a later one. @type {Promise<void>} */
  #tasks = Promise.resolve();
  #isFollowing = false;

  /** @param {any} context */
  constructor(context) {
    super();
    this.#context = context;
    context.store.addEventListener("change", () => {
      if (this.#open) this.#open.dirty = true;
    });
  }

  /** The page's room. @param {any} context @returns {VisitsRoom} */
  static of(context) {
    const room = ROOMS.get(context.store) ?? new VisitsRoom(context);
    ROOMS.set(context.store, room);
    return room;
  }

  /** @param {string} session @returns {Source} */
  sourceOf(session) {
    return session === this.#open?.id ? "open" : this.#files.has(session) ? "file" : "kept";
  }

  /** @param {string} session */
  fileOf(session) {
    return this.#files.get(session) ?? null;
  }

  get counts() {
    const of = (/** @type {Source} */ source) => this.visits.filter(({ session }) => this.sourceOf(session) === source).length;
    return { kept: of("kept"), files: of("file") };
  }

  get closedCount() {
    return this.#closed.size;
  }

  /** Brings everything up to the open session and to what this device keeps now. */
  follow() {
    if (this.#isFollowing) return;
    this.#isFollowing = true;
    this.#then(async () => {
      this.#isFollowing = false;
      await this.#follow();
    });
  }

  /** Opens session files beside; what cannot be read is told, the others stay. @param {File[]} files */
  addFiles(files) {
    for (const file of files) {
      this.#then(async () => {
        const open_label = this.#context.store.session?.athlete.label ?? "";
        const answer = await this.#ask("add_file", { file, open_label });
        this.#files.set(answer.visit.session, file);
        for (const notice of answer.notices) this.#tell(notice);
        const isMarked = answer.visit.clips.some((/** @type {{marks: number}} */ clip) => clip.marks > 0);
        this.#context.say((isMarked ? words.opened_beside : words.opened_without_marks)(file.name));
        await this.#take(answer);
      });
    }
  }

  /** Lets a session go; it stays as it is where it came from. @param {string} session */
  close(session) {
    this.#then(async () => {
      const isFile = this.#files.delete(session);
      if (!isFile) this.#closed.add(session);
      this.#kept.delete(session);
      await this.#take(await this.#ask("remove", { sessions: [session] }));
    });
  }

  bringBack() {
    this.#closed.clear();
    this.follow();
  }

  /** @param {string} kind */
  choose(kind) {
    this.kind = kind;
    this.#then(() => this.#draw());
  }

  /** Stops a reading; what was read stays. */
  stop() {
    this.#stopped = true;
    this.#link.tell("stop", {});
  }

  readRest() {
    this.#stopped = false;
    this.follow();
  }

  /** @param {string[]} kinds none: all @returns {Promise<string>} */
  async csv(kinds) {
    return (await this.#ask("csv", { kinds })).csv;
  }

  async #follow() {
    const { store, desk, page } = this.#context;
    const { session } = store;
    if (!session) return;
    const { id } = session;
    const { label } = session.athlete;
    if (this.#open?.id !== id) {
      // Another session was opened: the last one is now one of those kept, or gone with its tab.
      if (this.#open) await this.#ask("remove", { sessions: [this.#open.id, id] });
      this.#files.delete(id);
      this.#kept.delete(id);
      this.#closed.delete(id);
      this.#open = { id, label, dirty: true };
    }
    const kept = (await desk.sessions()).filter(
      (/** @type {SessionSummary} */ summary) =>
        summary.id !== id && !this.#files.has(summary.id) && !this.#closed.has(summary.id) && page.same_swimmer(summary.label, label),
    );
    const gone = [...this.#kept.keys()].filter((known) => !kept.some((/** @type {SessionSummary} */ summary) => summary.id === known));
    // The worker does one after the other, so that the last answer holds all; none is waited for before the next.
    const answers = [];
    if (gone.length > 0) {
      for (const session of gone) this.#kept.delete(session);
      answers.push(this.#ask("remove", { sessions: gone }));
    }
    if (this.#open?.dirty) {
      this.#open = { id, label, dirty: false };
      answers.push(this.#ask("put_open", { name: label, base_json: store.baseOfNow() }));
    }
    const stale = kept.filter((/** @type {SessionSummary} */ summary) => this.#kept.get(summary.id) !== summary.changed_at);
    if (stale.length > 0 && !this.#stopped) {
      answers.push(this.#read(stale));
    }
    const answer = (await Promise.all(answers)).at(-1);
    this.unread = kept.filter((/** @type {SessionSummary} */ summary) => !this.#kept.has(summary.id)).length;
    if (answer) await this.#take(answer);
  }

  /** @param {SessionSummary[]} stale */
  async #read(stale) {
    let progress = { done: 0, of: stale.length };
    const timer = setTimeout(() => {
      this.reading = progress;
      this.#changed();
    }, PROGRESS_AFTER_MS);
    try {
      const sessions = stale.map(({ id, label, date }) => ({ id, name: words.kept_name(label, date) }));
      const answer = await this.#ask("read_kept", { sessions }, (done, of) => {
        progress = { done, of };
        if (this.reading) {
          this.reading = progress;
          this.#changed();
        }
      });
      for (const trouble of [...answer.troubles, ...answer.notices]) this.#tell(trouble);
      const moments = new Map(stale.map(({ id, changed_at }) => [id, changed_at]));
      for (const session of answer.read) this.#kept.set(session, moments.get(session) ?? 0);
      return answer;
    } finally {
      clearTimeout(timer);
      this.reading = null;
    }
  }

  /** @param {{visits: Visit[], kinds: string[]}} answer */
  async #take({ visits, kinds }) {
    this.visits = visits;
    this.kinds = kinds;
    if (kinds.length > 0 && !kinds.includes(this.kind)) this.kind = kinds[0];
    await this.#draw();
  }

  async #draw() {
    this.history = (await this.#ask("history", { kind: this.kind })).history;
    this.#changed();
  }

  #changed() {
    this.dispatchEvent(new CustomEvent("changed"));
  }

  /** @param {unknown} trouble */
  #tell(trouble) {
    this.dispatchEvent(new CustomEvent("notice", { detail: trouble }));
  }

  /** @param {() => Promise<void>} task */
  #then(task) {
    this.#tasks = this.#tasks.then(task).catch((error) => {
      this.#tell(error);
      this.#changed();
    });
  }

  /**
   * @param {string} what
   * @param {object} content
   * @param {(done: number, of: number) => void} [onProgress]
   */
  #ask(what, content, onProgress) {
    return this.#link.ask(what, content, onProgress).answer;
  }
}

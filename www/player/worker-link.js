// Asks the worker and waits for its answer.

import { playerFailed } from "./trouble.js";

/**
 * @typedef {object} Asked
 * @property {(answer: any) => void} resolve
 * @property {(trouble: unknown) => void} reject
 * @property {(done: number, of: number) => void} onProgress
 */

export class WorkerLink {
  /** @type {Map<number, Asked>} */
  #asked = new Map();
  #last = 0;
  #closed = false;

  /**
   * @param {string} name   the clip's name, for messages
   * @param {{worker?: Worker, failed?: (name: string, why: string) => unknown}} [other]   another worker than the player's,
   *   and what is said when it does not answer
   */
  constructor(name, { worker, failed = playerFailed } = {}) {
    this.worker = worker ?? new Worker(new URL("./decoder-worker.js", import.meta.url), { type: "module", name: "decoder" });
    this.worker.onmessage = ({ data }) => this.#receive(data);
    this.worker.onerror = (event) => {
      event.preventDefault();
      this.#failAll(failed(name, event.message || "its worker did not start"));
    };
    this.worker.onmessageerror = () => this.#failAll(failed(name, "an answer could not be read"));
  }

  /**
   * @param {string} what
   * @param {object} [content]
   * @param {(done: number, of: number) => void} [onProgress]
   * @param {Transferable[]} [transfer] what is given away
   * @returns {{id: number, answer: Promise<any>}}
   */
  ask(what, content = {}, onProgress = () => {}, transfer = []) {
    this.#last += 1;
    const id = this.#last;
    const answer = new Promise((resolve, reject) => { this.#asked.set(id, { resolve, reject, onProgress }); });
    this.worker.postMessage({ ...content, id, ask: what }, transfer);
    return { id, answer };
  }

  /** Tells the worker something that has no answer. @param {string} what @param {object} content */
  tell(what, content) {
    this.worker.postMessage({ ...content, id: 0, ask: what });
  }

  /** Lets the worker free what it holds and end. */
  close() {
    if (this.#closed) return;
    this.#closed = true;
    this.tell("close", {});
    for (const { resolve } of this.#asked.values()) resolve({ answer: "superseded" });
    this.#asked.clear();
  }

  /** Ends the worker in the middle of whatever it does; what was asked fails with the trouble. @param {unknown} trouble */
  abandon(trouble) {
    this.#closed = true;
    this.worker.terminate();
    this.#failAll(trouble);
  }

  /** @param {any} message */
  #receive(message) {
    const asked = this.#asked.get(message.id);
    if (asked === undefined) {
      message.picture?.close();
      return;
    }
    if ("of" in message) {
      asked.onProgress(message.done, message.of);
      return;
    }
    this.#asked.delete(message.id);
    if (message.trouble !== undefined) asked.reject(message.trouble);
    else asked.resolve(message);
  }

  /** @param {unknown} trouble */
  #failAll(trouble) {
    for (const { reject } of this.#asked.values()) reject(trouble);
    this.#asked.clear();
  }
}

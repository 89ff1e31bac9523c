// One tab marks a session, every other tab reads it. Held by a Web Lock, which the browser releases by itself when
// the tab closes or its process dies; where there are none, by the tabs' own word. Source: Web Locks API, W3C.

import { holdByWord, isHeldByWord } from "./lock-by-word.js";

/**
 * @typedef {object} Hold
 * @property {boolean} mine              this tab may write
 * @property {Promise<void>|null} freed  resolves when a tab that waited has become the writer
 * @property {() => void} release
 */

/**
 * @param {string} id  the session
 * @returns {Promise<Hold>}
 */
export async function holdSession(id) {
  if (!navigator.locks) {
    // A browser with neither is older than the decoder that the page wants: the journal alone refuses a second writer.
    return "BroadcastChannel" in globalThis ? holdByWord(id) : { mine: true, freed: null, release: () => {} };
  }
  const name = `wetframe session ${id}`;
  const first = await request(name, { ifAvailable: true });
  if (first) {
    return { mine: true, freed: null, release: first };
  }
  const waiting = new AbortController();
  /** @type {(() => void)|null} */
  let release = null;
  const freed = request(name, { signal: waiting.signal }).then((granted) => {
    release = granted;
  });
  return {
    mine: false,
    freed,
    release: () => {
      if (release) {
        release();
      } else {
        freed.catch(() => {}); // aborted by ourselves on the next line: that is no trouble
        waiting.abort();
      }
    },
  };
}

/** Whether some tab has this session open for marking. @param {string} id */
export async function isHeld(id) {
  if (!navigator.locks) {
    return "BroadcastChannel" in globalThis ? isHeldByWord(id) : false;
  }
  const { held = [] } = await navigator.locks.query();
  return held.some((lock) => lock.name === `wetframe session ${id}`);
}

/**
 * @param {string} name
 * @param {LockOptions} options
 * @returns {Promise<(() => void)|null>} lets the lock go; null when it was not available
 */
function request(name, options) {
  return new Promise((resolve, reject) => {
    navigator.locks
      .request(name, options, (lock) => {
        if (!lock) {
          resolve(null);
          return undefined;
        }
        return new Promise((done) => resolve(() => done(undefined)));
      })
      .catch(reject);
  });
}

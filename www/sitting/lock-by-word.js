// One tab marks a session, every other tab reads it, in browsers without Web Locks: the tabs ask one another. The tab
// that holds the session answers; where none answers, the one that asks may write. A tab that says goodbye lets the
// session go at once; one that died is missed when it is asked again.
//
// Weaker than a lock: a tab that the browser has frozen cannot answer. What it would write after another took over
// the journal's sequence numbers refuse, so two writers never mix.

/** @typedef {import("./lock.js").Hold} Hold */
/** @typedef {{ask: string}|{held: string}|{freed: string}} Word */

/** How long a living tab may take to answer, ms: a busy page is a few frames late. */
const ANSWER_MS = 400;
/** How often a tab that waits asks whether the holder still lives, ms. */
const ASK_AGAIN_MS = 2000;

/** @param {string} id of the session */
function channelOf(id) {
  return new BroadcastChannel(`wetframe session ${id}`);
}

/**
 * Whether another tab holds the session, or asked for it first.
 * @param {BroadcastChannel} channel
 * @param {string} name  of the tab that asks
 * @returns {Promise<boolean>}
 */
function isTaken(channel, name) {
  return new Promise((resolve) => {
    const settle = (/** @type {boolean} */ taken) => {
      clearTimeout(patience);
      channel.removeEventListener("message", listen);
      resolve(taken);
    };
    const listen = (/** @type {MessageEvent<Word>} */ { data }) => {
      // Of two that ask at once, the one whose name comes first gets it; one that asked later hears the question again.
      if ("held" in data || ("ask" in data && data.ask < name)) settle(true);
      else if ("ask" in data) channel.postMessage({ ask: name });
    };
    const patience = setTimeout(() => settle(false), ANSWER_MS);
    channel.addEventListener("message", listen);
    channel.postMessage({ ask: name });
  });
}

/** @param {string} id @returns {Promise<boolean>} whether some tab has this session open for marking */
export async function isHeldByWord(id) {
  const channel = channelOf(id);
  // A name after every other: this question claims nothing.
  const taken = await isTaken(channel, "~");
  channel.close();
  return taken;
}

/** @param {string} id @returns {Promise<Hold>} */
export async function holdByWord(id) {
  const channel = channelOf(id);
  const name = crypto.randomUUID();
  let holds = false;
  let left = false;
  const goodbye = () => {
    if (holds) channel.postMessage({ freed: name });
    holds = false;
  };
  const hold = () => {
    holds = true;
    channel.addEventListener("message", ({ data }) => {
      if (holds && "ask" in data) channel.postMessage({ held: name });
    });
    addEventListener("pagehide", goodbye);
  };
  const release = () => {
    left = true;
    goodbye();
    removeEventListener("pagehide", goodbye);
    channel.close();
  };
  if (!(await isTaken(channel, name))) {
    hold();
    return { mine: true, freed: null, release };
  }
  const freed = (async () => {
    do {
      await goodbyeOf(channel);
      if (left) throw new DOMException("The session was left before it was free.", "AbortError");
    } while (await isTaken(channel, name));
    hold();
  })();
  freed.catch(() => {}); // told to whoever waits for it; a session that was left is no trouble
  return { mine: false, freed, release };
}

/** Resolves when the holder says goodbye, or it is time to ask whether it lives. @param {BroadcastChannel} channel @returns {Promise<void>} */
function goodbyeOf(channel) {
  return new Promise((resolve) => {
    const settle = () => {
      clearTimeout(patience);
      channel.removeEventListener("message", listen);
      resolve();
    };
    const listen = (/** @type {MessageEvent<Word>} */ { data }) => {
      if ("freed" in data) settle();
    };
    const patience = setTimeout(settle, ASK_AGAIN_MS);
    channel.addEventListener("message", listen);
  });
}

// The worker that reads other sessions and keeps their means: from this device's storage or from files, always to read.
//
// Not for: the screen, or changing anything. Messages in: {id, ask, …}; out: {id, …} or {id, trouble}; progress of the
// reading: {id, done, of}.

import initialise, { Visits } from "../wasm/page.js";
import { bytesOfSession } from "../sitting/session-file.js";
import { DeviceStorage } from "../sitting/storage.js";
import { troubleFrom } from "../sitting/trouble.js";

/** Sessions in one transaction: few enough that stopping is felt at once. */
const BATCH = 20;

/** @typedef {{id: string, name: string}} Named a kept session, and how troubles call it */

/** @type {Promise<DeviceStorage>|null} */
let storage = null;
let stopped = false;
const ready = initialise({ module_or_path: new URL("../wasm/page_bg.wasm", import.meta.url) }).then(() => new Visits());

/** @type {Record<string, (visits: Visits, message: any) => object|Promise<object>>} */
const ASKS = {
  read_kept: readKept,
  put_open: (visits, { name, base_json }) => {
    visits.put_kept(name, base_json, []);
    return stateOf(visits);
  },
  add_file: async (visits, { file, open_label }) => {
    const { visit, notices } = visits.add_file(await bytesOfSession(file), file.name, open_label);
    return { ...stateOf(visits), visit, notices };
  },
  remove: (visits, { sessions }) => {
    for (const session of sessions) visits.remove(session);
    return stateOf(visits);
  },
  history: (visits, { kind }) => ({ history: visits.history(kind) }),
  csv: (visits, { kinds }) => ({ csv: visits.visits_csv(kinds) }),
};

/** What was asked before is done first. @type {Promise<void>} */
let before = Promise.resolve();

self.onmessage = ({ data: message }) => {
  if (message.ask === "stop") {
    stopped = true;
    return;
  }
  // The disk can begin before the module is there and what was asked before is done.
  if (message.ask === "read_kept") message.first = fetchBatch(message.sessions.slice(0, BATCH));
  before = before.then(() => answer(message));
};

/** @param {any} message */
async function answer(message) {
  const { id, ask } = message;
  try {
    self.postMessage({ id, ...(await ASKS[ask](await ready, message)) });
  } catch (error) {
    self.postMessage({ id, trouble: troubleFrom(error, message.file?.name) });
  }
}

/** @param {Visits} visits */
function stateOf(visits) {
  return { visits: visits.list(), kinds: visits.measured_kinds() };
}

/** @param {Visits} visits @param {{id: number, sessions: Named[], first: ReturnType<typeof fetchBatch>}} message `first`: the first batch, on its way */
async function readKept(visits, { id, sessions, first }) {
  stopped = false;
  const batches = [];
  for (let from = 0; from < sessions.length; from += BATCH) batches.push(sessions.slice(from, from + BATCH));
  /** @type {string[]} */
  const read = [];
  const notices = [];
  const troubles = [];
  /** @type {ReturnType<typeof fetchBatch>|null} */
  let coming = first;
  for (const [index, batch] of batches.entries()) {
    const kept = await coming;
    if (stopped) break;
    // The disk works on the next batch while this one is analysed.
    coming = index + 1 < batches.length ? fetchBatch(batches[index + 1]) : null;
    for (const { id: session, name } of batch) {
      read.push(session);
      const found = kept?.get(session);
      if (!found) continue; // deleted in another tab since the list was read
      try {
        notices.push(...visits.put_kept(name, found.base_json, found.lines));
      } catch (error) {
        troubles.push(troubleFrom(error, name));
      }
    }
    self.postMessage({ id, done: read.length, of: sessions.length });
  }
  return { ...stateOf(visits), read, notices, troubles };
}

/** @param {Named[]} batch */
async function fetchBatch(batch) {
  storage ??= openStorage().catch((error) => {
    storage = null; // the next reading tries again
    throw error;
  });
  return (await storage).readSeveral(batch.map(({ id }) => id));
}

async function openStorage() {
  const opened = await DeviceStorage.open();
  opened.onLost = () => {
    storage = null; // deleted from another tab: the next reading opens it anew
  };
  return opened;
}

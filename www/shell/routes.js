// Where the page is, written after the # of its address: works under any path and from any static server, and the
// browser's own back button walks through the sitting.

/** @typedef {import("../sitting/types.js").Way} Way */
/** @typedef {{way: Way, session: string|null, clip: number|null, at: number|null, face: string|null}} Place face: which side of a way is shown, where a way has several; null: its usual one */

/** @type {Way[]} */
export const SITTING_WAYS = ["clips", "marks", "numbers", "compare", "hand-over"];
/** @type {Way[]} */
const WAYS = [...SITTING_WAYS, "guide", "keys"];

/** @param {string} hash  with or without its # @returns {Place} */
export function placeOf(hash) {
  const [name, query = ""] = hash.replace(/^#/, "").split("?");
  const given = new URLSearchParams(query);
  return {
    way: WAYS.find((way) => way === name) ?? "clips",
    session: given.get("session"),
    clip: wholeNumber(given.get("clip")),
    at: wholeNumber(given.get("at")),
    face: given.get("face"),
  };
}

/** @param {Place} place @returns {string} */
export function hashOf({ way, session, clip, at, face }) {
  const given = new URLSearchParams();
  if (session !== null) given.set("session", session);
  if (clip !== null) given.set("clip", String(clip));
  if (at !== null) given.set("at", String(at));
  if (face !== null) given.set("face", face);
  const query = given.toString();
  return `#${way}${query ? `?${query}` : ""}`;
}

/** @param {string|null} text */
function wholeNumber(text) {
  return text !== null && /^-?\d{1,15}$/.test(text) ? Number(text) : null;
}

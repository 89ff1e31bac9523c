// One shape for everything that can go wrong, so that every view shows it in the same way. Rust's errors arrive
// in this shape already; the browser's own are translated here, once.

/** @typedef {import("./types.js").Trouble} Trouble */

/** An error of the page's own: it travels like any Error and reads like every other Trouble. */
export class PageTrouble extends Error {
  /**
   * @param {string} kind
   * @param {string} message
   * @param {string} [hint]
   * @param {string|null} [place]
   */
  constructor(kind, message, hint = "", place = null) {
    super(message);
    this.name = "PageTrouble";
    this.kind = kind;
    this.hint = hint;
    this.place = place;
    this.severity = "error";
  }
}

/**
 * @param {unknown} thrown  whatever was caught
 * @param {string} [about]  the file or task that it concerns; named in the message when the message does not
 * @returns {Trouble}
 */
export function troubleFrom(thrown, about) {
  const trouble = shapeOf(thrown);
  if (about && !trouble.message.includes(about)) {
    return { ...trouble, message: `${about}: ${trouble.message}` };
  }
  return trouble;
}

/** @param {unknown} thrown @returns {Trouble} */
function shapeOf(thrown) {
  if (thrown && typeof thrown === "object" && "kind" in thrown && "message" in thrown) {
    const { kind, message, hint, severity, place } = /** @type {any} */ (thrown);
    return { kind: String(kind), message: String(message), hint: hint ? String(hint) : "", severity, place: place ?? null };
  }
  if (thrown instanceof Error) {
    return {
      kind: "unexpected",
      message: `${thrown.name}: ${thrown.message}`,
      hint: "This is a fault of the page, not of your clip. What you have marked is still here: save the session to a file, then reload.",
      severity: "error",
      place: null,
    };
  }
  return { kind: "unexpected", message: String(thrown), hint: "", severity: "error", place: null };
}

// Listens to the keyboard for the marking view and keeps the coach's own keys on this device.
//
// A key pressed in a field, or one that a focused control needs itself, is left alone.

import { KeyMap, labelOf } from "./keys.js";

const STORED_AS = "wetframe keys";

/** Controls that use Enter and Space themselves. */
const PRESSED_BY_KEYS = new Set(["BUTTON", "A", "SUMMARY"]);
const TYPED_INTO = new Set(["TEXTAREA", "SELECT"]);
/** Kinds of input that take no letters, so that event keys can go past them. */
const NOT_TYPED_INTO = new Set(["checkbox", "radio", "range", "button"]);

export class Keyboard extends EventTarget {
  /** @param {Storage | null} storage where the coach's own keys are kept; null where the browser denies it */
  constructor(storage) {
    super();
    this.storage = storage;
    this.map = new KeyMap(stored(storage));
    /** @type {ReadonlyMap<string, string>} */
    this.layout = new Map();
    this.onMac = /Mac|iPhone|iPad/.test(navigator.platform);
    /** @type {AbortController | null} */
    this.listening = null;
  }

  /**
   * @param {(asked: {action: string, retype: boolean}, event: KeyboardEvent) => boolean} perform answers whether the key was used
   */
  listen(perform) {
    this.listening = new AbortController();
    document.addEventListener("keydown", (event) => {
      if (event.defaultPrevented || !isFree(event)) return;
      const asked = this.map.asked(event);
      if (asked && perform(asked, event)) event.preventDefault();
    }, { signal: this.listening.signal });
    this.#readLayout();
  }

  stop() {
    this.listening?.abort();
    this.listening = null;
  }

  /** What the coach reads on the key of an action. @param {string} action */
  label(action) {
    return labelOf(this.map.chordOf(action), this.layout, this.onMac);
  }

  /** @param {string} action @param {string} chord */
  change(action, chord) {
    const outcome = this.map.change(action, chord);
    if (!outcome.refused) this.#keep();
    return outcome;
  }

  reset() {
    this.map.reset();
    this.#keep();
  }

  #keep() {
    this.dispatchEvent(new Event("change"));
    const changes = this.map.changes;
    if (Object.keys(changes).length === 0) this.storage?.removeItem(STORED_AS);
    else this.storage?.setItem(STORED_AS, JSON.stringify(changes));
  }

  async #readLayout() {
    const keyboard = /** @type {{keyboard?: {getLayoutMap(): Promise<ReadonlyMap<string, string>>}}} */ (navigator).keyboard;
    if (!keyboard) return;
    try {
      this.layout = await keyboard.getLayoutMap();
      this.dispatchEvent(new Event("change"));
    } catch (error) {
      // Refused inside some frames: the signs of a US keyboard stay, and the keys work by their place all the same.
      console.info("The keyboard's layout cannot be read; keys are shown as on a US keyboard.", error);
    }
  }
}

/** Whether a key pressed is nobody's: not typed into a field, not what the focused control uses itself. @param {KeyboardEvent} event */
export function isFree(event) {
  const target = event.target;
  if (!(target instanceof HTMLElement)) return true;
  if (target.isContentEditable || TYPED_INTO.has(target.tagName)) return false;
  if (target instanceof HTMLInputElement) {
    if (!NOT_TYPED_INTO.has(target.type)) return false;
    const moves = event.code.startsWith("Arrow") || event.code === "Home" || event.code === "End";
    return !(moves || event.code === "Space");
  }
  const pressed = PRESSED_BY_KEYS.has(target.tagName) || target.getAttribute("role") === "button";
  return !(pressed && (event.code === "Enter" || event.code === "Space"));
}

/** @param {Storage | null} storage @returns {Record<string, string>} */
function stored(storage) {
  const text = storage?.getItem(STORED_AS);
  if (!text) return {};
  try {
    const changes = JSON.parse(text);
    return changes !== null && typeof changes === "object" ? changes : {};
  } catch (error) {
    console.warn(`The stored keys (${STORED_AS}) cannot be read; the usual keys are used.`, error);
    return {};
  }
}

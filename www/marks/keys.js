// Every action of the marking view and the key it has until the coach gives it another.
//
// Keys are named by their place (`event.code`), so that the same fingers work on any layout; what is shown
// is the letter that the coach's own keyboard has there. Not here: what an action does (view.js).

/** @typedef {import("./shapes.js").Side} Side */
/** @typedef {import("./shapes.js").MarkKind} MarkKind */

/**
 * A key with its modifiers, written "Shift+ArrowLeft"; "Mod" is Ctrl, or Command on a Mac.
 * @typedef {string} Chord
 */
/** @typedef {"marks" | "guided" | "frames" | "play" | "change" | "view"} Group */
/** @typedef {{action: string, chord: Chord, group: Group, mark?: {kind: MarkKind, side: Side | null}}} Binding */

/** @param {Side | null} side @param {MarkKind} kind @param {Chord} chord @returns {Binding} */
const mark = (side, kind, chord) => ({ action: markAction(kind, side), chord, group: "marks", mark: { kind, side } });

/** @param {MarkKind} kind @param {Side | null} side */
export function markAction(kind, side) {
  return side === null ? `mark_${kind}` : `mark_${side}_${kind}`;
}

/**
 * Left-side events lie under the left hand, right-side events under the right, in the order of the stroke:
 * arms on the home row, the breath on the row above, the legs on the digits.
 * @type {readonly Binding[]}
 */
export const BINDINGS = Object.freeze([
  mark("left", "entry", "KeyA"),
  mark("left", "catch", "KeyS"),
  mark("left", "mid_pull", "KeyD"),
  mark("left", "exit", "KeyF"),
  mark("right", "entry", "KeyJ"),
  mark("right", "catch", "KeyK"),
  mark("right", "mid_pull", "KeyL"),
  mark("right", "exit", "Semicolon"),
  mark("left", "exhale_start", "KeyQ"),
  mark("left", "face_turn", "KeyW"),
  mark("left", "mouth_clear", "KeyE"),
  mark("left", "face_return", "KeyR"),
  mark("right", "exhale_start", "KeyU"),
  mark("right", "face_turn", "KeyI"),
  mark("right", "mouth_clear", "KeyO"),
  mark("right", "face_return", "KeyP"),
  mark("left", "kick_out_start", "Digit1"),
  mark("left", "kick_out_end", "Digit2"),
  mark("left", "downbeat", "Digit3"),
  mark(null, "pass", "Digit4"),
  mark("both", "kick_out_start", "Digit5"),
  mark("both", "kick_out_end", "Digit6"),
  mark("both", "downbeat", "Digit7"),
  mark("right", "kick_out_start", "Digit8"),
  mark("right", "kick_out_end", "Digit9"),
  mark("right", "downbeat", "Digit0"),

  { action: "confirm", chord: "Enter", group: "guided" },
  { action: "cannot_see", chord: "KeyN", group: "guided" },
  { action: "guide_back", chord: "KeyB", group: "guided" },
  { action: "guide", chord: "KeyH", group: "guided" },
  { action: "tap_along", chord: "KeyT", group: "guided" },
  { action: "remark", chord: "Shift+KeyM", group: "guided" },

  { action: "frame_back", chord: "ArrowLeft", group: "frames" },
  { action: "frame_forward", chord: "ArrowRight", group: "frames" },
  { action: "ten_back", chord: "Shift+ArrowLeft", group: "frames" },
  { action: "ten_forward", chord: "Shift+ArrowRight", group: "frames" },
  { action: "first_frame", chord: "Home", group: "frames" },
  { action: "last_frame", chord: "End", group: "frames" },
  { action: "mark_before", chord: "ArrowUp", group: "frames" },
  { action: "mark_after", chord: "ArrowDown", group: "frames" },
  { action: "go_to", chord: "KeyG", group: "frames" },

  { action: "play", chord: "Space", group: "play" },
  { action: "slower", chord: "BracketLeft", group: "play" },
  { action: "faster", chord: "BracketRight", group: "play" },
  { action: "loop_cycle", chord: "KeyC", group: "play" },

  { action: "move_earlier", chord: "Comma", group: "change" },
  { action: "move_later", chord: "Period", group: "change" },
  { action: "move_here", chord: "KeyX", group: "change" },
  { action: "delete", chord: "Delete", group: "change" },
  { action: "undo", chord: "Mod+KeyZ", group: "change" },
  { action: "redo", chord: "Mod+Shift+KeyZ", group: "change" },
  { action: "release", chord: "Escape", group: "change" },

  { action: "zoom_in", chord: "Equal", group: "view" },
  { action: "zoom_out", chord: "Minus", group: "view" },
  { action: "zoom_cycle", chord: "Shift+Equal", group: "view" },
  { action: "zoom_all", chord: "Shift+Minus", group: "view" },
  { action: "roll_motion", chord: "KeyV", group: "view" },
  { action: "picture_in", chord: "PageUp", group: "view" },
  { action: "picture_out", chord: "PageDown", group: "view" },
  { action: "picture_whole", chord: "Backquote", group: "view" },
  { action: "picture_left", chord: "Shift+Home", group: "view" },
  { action: "picture_right", chord: "Shift+End", group: "view" },
  { action: "picture_up", chord: "Shift+ArrowUp", group: "view" },
  { action: "picture_down", chord: "Shift+ArrowDown", group: "view" },
  { action: "picture_turn", chord: "Backslash", group: "view" },
  { action: "list", chord: "KeyM", group: "view" },
  { action: "theme", chord: "KeyY", group: "view" },
  { action: "keys", chord: "Shift+Slash", group: "view" },
]);

/** Further keys that always work beside the table's own. @type {Readonly<Record<Chord, string>>} */
const ALSO = Object.freeze({ "Mod+KeyY": "redo", Backspace: "delete" });

/** Keys that the browser or assistive technology needs. */
const KEPT_FREE = /^(?:Shift\+)?(?:Tab|Escape|F\d+)$|^Mod\+(?!(?:Shift\+)?Key[ZY]$)/;

/** @param {KeyboardEvent} event @returns {Chord} */
export function chordOf(event) {
  const parts = [];
  if (event.ctrlKey || event.metaKey) parts.push("Mod");
  if (event.shiftKey) parts.push("Shift");
  parts.push(event.code);
  return parts.join("+");
}

/** Which key does what, with the coach's changes. */
export class KeyMap {
  /** @param {Record<string, Chord>} [changes] chords by action, where they differ from the table */
  constructor(changes = {}) {
    /** @type {Map<string, Chord>} */
    this.chords = new Map(BINDINGS.map((binding) => [binding.action, binding.chord]));
    for (const [action, chord] of Object.entries(changes)) {
      if (this.chords.has(action) && typeof chord === "string") this.chords.set(action, chord);
    }
    this.#index();
  }

  #index() {
    /** @type {Map<Chord, string>} */
    this.actions = new Map(Object.entries(ALSO));
    for (const [action, chord] of this.chords) this.actions.set(chord, action);
  }

  /** @param {string} action @returns {Chord} */
  chordOf(action) {
    return this.chords.get(action) ?? "";
  }

  /**
   * What the coach's key asks for: an action, or with Shift on an event's key, turning the selected mark into that event.
   * @param {KeyboardEvent} event
   * @returns {{action: string, retype: boolean} | null}
   */
  asked(event) {
    if (event.altKey || event.isComposing) return null;
    // The question mark lies on another key of many layouts; the sign itself always opens the sheet.
    if (event.key === "?") return { action: "keys", retype: false };
    const chord = chordOf(event);
    const action = this.actions?.get(chord);
    if (action) return { action, retype: false };
    if (!chord.startsWith("Shift+")) return null;
    const plain = this.actions?.get(chord.slice("Shift+".length));
    return plain && markOf(plain) ? { action: plain, retype: true } : null;
  }

  /**
   * Gives an action another key; an action that had that key takes the old one, so that none is left without.
   * @param {string} action
   * @param {Chord} chord
   * @returns {{refused: boolean, swapped: string | null}}
   */
  change(action, chord) {
    if (KEPT_FREE.test(chord) || ALSO[chord] || !this.chords.has(action)) return { refused: true, swapped: null };
    const before = this.chordOf(action);
    const holder = [...this.chords].find(([other, held]) => held === chord && other !== action)?.[0] ?? null;
    if (holder) this.chords.set(holder, before);
    this.chords.set(action, chord);
    this.#index();
    return { refused: false, swapped: holder };
  }

  reset() {
    for (const { action, chord } of BINDINGS) this.chords.set(action, chord);
    this.#index();
  }

  /** The chords that differ from the table's. @returns {Record<string, Chord>} */
  get changes() {
    return Object.fromEntries(
      BINDINGS.filter(({ action, chord }) => this.chordOf(action) !== chord)
        .map(({ action }) => [action, this.chordOf(action)]),
    );
  }
}

/** The event that an action marks. @param {string} action */
export function markOf(action) {
  return BINDINGS.find((binding) => binding.action === action)?.mark ?? null;
}

/** What is printed on a key of a US keyboard, for browsers that do not tell the layout. @type {Readonly<Record<string, string>>} */
const PRINTED = Object.freeze({
  Semicolon: ";", Comma: ",", Period: ".", Slash: "/", Quote: "'", BracketLeft: "[", BracketRight: "]",
  Backslash: "\\", Minus: "−", Equal: "=", Backquote: "`",
});

/** @type {Readonly<Record<string, string>>} */
const SIGNS = Object.freeze({ ArrowLeft: "←", ArrowRight: "→", ArrowUp: "↑", ArrowDown: "↓", Escape: "Esc", Delete: "Del" });

/**
 * A chord as the coach reads it on the keyboard.
 * @param {Chord} chord
 * @param {ReadonlyMap<string, string>} layout from `navigator.keyboard.getLayoutMap()`; empty where there is none
 * @param {boolean} onMac
 */
export function labelOf(chord, layout, onMac) {
  if (chord === "Shift+Slash" && layout.size === 0) return "?";
  const parts = chord.split("+");
  const code = parts.pop() ?? "";
  const printed = layout.get(code) ?? PRINTED[code] ?? SIGNS[code] ?? code.replace(/^(?:Key|Digit)/, "");
  const held = parts.map((part) => (part === "Mod" ? (onMac ? "⌘" : "Ctrl") : "⇧"));
  if (chord === "Shift+Slash") return layout.get("Slash") === "/" ? "?" : [...held, printed].join(" ");
  return [...held, printed.length === 1 ? printed.toUpperCase() : printed].join(" ");
}

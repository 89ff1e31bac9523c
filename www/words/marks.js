// All words of the marking view. Sentences are functions of what they speak of.

import { MARK_KINDS } from "./mark-kinds.js";

/** @type {Record<string, string>} */
const side = { left: "left", right: "right", both: "both" };
/** @type {Record<string, string>} */
const Side = { left: "Left", right: "Right", both: "Both" };

/** What to look for. @type {Record<string, string>} */
const look_for = {
  entry: "the hand enters the water",
  catch: "the hand starts to move backward",
  mid_pull: "the hand passes below the shoulder",
  exit: "the hand leaves the water",
  exhale_start: "the first bubbles",
  face_turn: "the head starts to turn",
  mouth_clear: "the mouth is out of the water",
  face_return: "the face is back in the water",
  kick_out_start: "the legs part wider than the kick",
  kick_out_end: "the legs have closed again",
  downbeat: "the foot is at its lowest",
  pass: "the body passes the reference",
};

/** @type {Record<string, string>} */
const actions = {
  confirm: "Mark the frame shown as asked",
  cannot_see: "Cannot see it: next question",
  guide_back: "Back one question",
  guide: "Guided pass on or off",
  tap_along: "Tap along on or off",
  remark: "Mark it again, blind; stop for now",
  frame_back: "One frame back",
  frame_forward: "One frame on",
  ten_back: "Ten frames back",
  ten_forward: "Ten frames on",
  first_frame: "First frame",
  last_frame: "Last frame",
  mark_before: "Select the mark before",
  mark_after: "Select the mark after",
  go_to: "Type a frame or a time",
  play: "Play or pause",
  slower: "Play slower",
  faster: "Play faster",
  loop_cycle: "Loop this cycle on or off",
  move_earlier: "Move the selected mark one frame earlier",
  move_later: "Move the selected mark one frame later",
  move_here: "Move the selected mark to the frame shown",
  delete: "Delete the selected mark",
  undo: "Undo",
  redo: "Redo",
  release: "Let go of the selected mark; close a sheet",
  zoom_in: "Roll: closer",
  zoom_out: "Roll: farther",
  zoom_cycle: "Roll: one cycle",
  zoom_all: "Roll: whole clip",
  roll_motion: "Roll moves, or playhead moves",
  picture_in: "Picture: closer",
  picture_out: "Picture: farther",
  picture_whole: "Picture: the whole",
  picture_left: "Picture: look left",
  picture_right: "Picture: look right",
  picture_up: "Picture: look up",
  picture_down: "Picture: look down",
  picture_turn: "Picture: a quarter turn",
  list: "Marks as a list",
  theme: "Light or dark",
  keys: "This sheet of keys",
};

/** @param {string} markKind @param {string | null} markSide */
function event(markKind, markSide) {
  return markSide ? `${Side[markSide]} ${MARK_KINDS[markKind]}` : capital(MARK_KINDS[markKind]);
}

/** @param {string} text */
function capital(text) {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** @param {number} count @param {string} one @param {string} [many] */
function counted(count, one, many = `${one}s`) {
  return `${count} ${count === 1 ? one : many}`;
}

export const marks = {
  heading: "Marks",
  side,
  Side,
  kind: MARK_KINDS,
  look_for,
  actions,
  event,
  /** @type {Record<string, string>} */
  phase: { entry_and_catch: "Entry and catch", pull: "Pull", push: "Push", recovery: "Recovery" },
  /** For the narrow places on the roll. @type {Record<string, string>} */
  phase_short: { entry_and_catch: "catch", pull: "pull", push: "push", recovery: "recovery" },
  lanes: { left: "Left arm", right: "Right arm", drive: "Drive", breath: "Breath", legs: "Legs" },
  lanes_short: { left: "Left", right: "Right", drive: "Drive", breath: "Breath", legs: "Legs" },
  groups: {
    marks: "Mark an event (with ⇧: change the selected mark)",
    guided: "Guided pass",
    frames: "Frames",
    play: "Play",
    change: "Change a mark",
    view: "View",
  },

  roll: {
    label: "Stroke roll",
    empty: (/** @type {string} */ left, /** @type {string} */ right) =>
      `No marks yet. Press ${left} where the left hand enters, ${right} where the right hand does.`,
    empty_short: "No marks yet.",
    /** @param {number} frame @param {string} time @param {string} doing */
    position: (frame, time, doing) => `Frame ${frame}, ${time}${doing ? `, ${doing}` : ""}`,
    /** @type {Record<string, string>} */
    drive: {
      none: "neither arm propels",
      left: "left arm propels",
      right: "right arm propels",
      both: "both arms propel",
    },
    flags: (/** @type {number} */ count) => counted(count, "impossible order", "impossible orders"),
    flag_go: "Show",
    zoom: "Roll zoom",
    across: (/** @type {string} */ seconds) => `${seconds} s across`,
    hole: (/** @type {string} */ ms) => `${ms} ms`,
    hole_at_least: (/** @type {string} */ ms) => `≥ ${ms} ms`,
    hole_error: (/** @type {string} */ ms) => `±${ms}`,
    hole_breathing: (/** @type {string} */ error) => `${error} breath`,
    motion: "Roll moves",
  },

  now: {
    heading: "Under the playhead",
    rate: "Stroke rate",
    rate_short: "Rate",
    gap_short: "Gap",
    coordination_short: "Coordination",
    phases_short: "Phases",
    strokes_per_min: "strokes/min",
    cycles_per_min: "cycles/min",
    s_per_stroke: "s per stroke",
    gap: "Propulsive gap",
    coordination: "Index of coordination",
    coordination_where: "at exit",
    gap_where: "before catch",
    phases: "Phases, % of cycle",
    frames: "frames",
    of_cycle: "% of cycle",
    /** @param {string} value @param {string} error @param {number} count */
    mean: (value, error, count) => `mean ${value} ±${error} (${count})`,
    each: (/** @type {string} */ error) => `each ±${error}`,
    breathing: "Breathing stroke",
    not_breathing: "No breath",
    no_cycle: "The playhead is not inside a complete cycle of this arm: it needs an entry before and the next entry after.",
    no_measure: "Nothing marked yet to work this out from.",
    cycle: (/** @type {number} */ index) => `cycle ${index + 1}`,
    cycle_none: "no cycle here",
    absent: "–",
    /** @type {Record<string, string>} */
    breath_state: {
      true: "Breathing stroke",
      false: "Stroke without a breath",
      null: "No breaths marked near here",
    },
    /** @type {Record<string, string>} */
    breath_short: { true: "breath", false: "no breath", null: "–" },
    breath_unknown: "Mark a face turn or a mouth clear to tell breathing strokes from the others.",
    overlap: "overlap: both propel",
  },

  frame: {
    heading: "Frame",
    of: (/** @type {number} */ count) => `of ${count}`,
    time: "Clip time",
    /** @type {Record<string, string>} */
    proof: {
      decoded: "decoded",
      sought: "verified",
      not_proven: "not proven",
      not_reached: "not reached",
    },
    /** @type {Record<string, string>} */
    proof_help: {
      no_picture: "The clip is not open; the roll can be read along all the same.",
      decoded: "Decoded from the clip's own frame table.",
      sought: "Shown by the browser's video element and checked against the frame table. Less exact than decoding.",
      not_proven: "This browser's video element cannot prove which frame it shows. Marks carry this remark.",
      not_reached: "The browser could not be brought to show this frame. Nothing is marked here; step to a neighbour.",
    },
    rate_as_written: (/** @type {string} */ fps) => `${fps} frames/s, as the file says`,
    rate_stated: (/** @type {string} */ fps) => `Filmed at ${fps} frames/s, as you say`,
    error: (/** @type {string} */ ms) => `between two marks ±${ms} ms`,
  },

  guided: {
    heading: "Guided pass",
    /** @param {number} done @param {number} of */
    progress: (done, of) => `${done} of ${of}`,
    /** @param {string} markKind @param {string} markSide */
    ask: (markKind, markSide) => `${Side[markSide]} ${MARK_KINDS[markKind]}`,
    /** @param {string} markKind */
    hint: (markKind) => look_for[markKind],
    confirm: "Mark",
    nudge: "nudge by a frame",
    skip: "Skip",
    skip_help: "You cannot see it on this clip",
    back: "Back",
    /** @type {Record<string, string>} */
    basis: {
      first: "Find the first one: step or play to it.",
      period: "Placed by the period so far.",
      cycles_so_far: "Placed by your cycles so far.",
    },
    search: (/** @type {string} */ ms) => `Look within ±${ms} ms.`,
    finished: "All marked or skipped.",
    go_on: "Go on with:",
    plan: "What to ask for",
    breaths: { left: "Breaths, left", right: "Breaths, right" },
    kick_outs: "Kick-outs",
    off: "Guided pass is off. Press the key of the event on its frame.",
    start: "Start the guided pass",
    stop: "Stop",
    waits: "The guided pass goes on when the clip’s frames are here and the session can be changed.",
    nothing_to_undo: "This is the first question.",
    far: (/** @type {number} */ frames) => `${counted(Math.abs(frames), "frame")} ${frames < 0 ? "before" : "after"} the proposal`,
  },

  tap: {
    heading: "Tap along",
    start: "Start",
    stop: "Stop",
    event: "Event",
    speed: "Speed",
    /** @param {string} what @param {string} key */
    ask: (what, key) => `Press ${key} at each ${what}.`,
    running: (/** @type {number} */ count) => `${counted(count, "tap")} so far`,
    done: (/** @type {number} */ count) => `${counted(count, "mark")} placed. Now nudge each: ↓ selects the next one, the comma and full-stop keys move it.`,
    reaction_none: "Your reaction time is not measured: marks land on the frame shown at the press.",
    /** @param {string} ms @param {string} spread */
    reaction: (ms, spread) => `Marks land ${ms} ms (±${spread}, ten practice taps) before the press.`,
    practise: "Ten practice taps",
    practise_ask: (/** @type {number} */ left) => `Press Space (or tap) when the dot touches the line: ${left} to go.`,
    practise_stop: "Stop practising",
    forget: "Forget it",
    paused_to_verify: "This clip plays through the video element: each tap pauses, checks the frame and goes on.",
  },

  transport: {
    label: "Step and play",
    play: "Play",
    pause: "Pause",
    speed: (/** @type {number} */ rate) => `${rate}×`,
    speed_label: "Speed",
    loop: "Loop",
    frame_field: "Frame or s",
    frame_field_help: "A number is a frame; with a point or “s” it is seconds, e.g. 1.25",
    not_a_place: (/** @type {string} */ text) => `“${text}” is neither a frame number nor a time. Examples: 132, 2.2, 2.2 s.`,
    undo: "Undo",
    redo: "Redo",
    list: "List",
    keys: "Keys",
    zoom: "Zoom",
  },

  list: {
    heading: "Marks",
    empty: "No marks yet.",
    columns: { event: "Event", frame: "Frame, time", change: "Change" },
    earlier: "earlier",
    later: "later",
    delete: "Delete",
    retype: "Event",
    /** @param {number} from @param {number} to @param {number} of */
    window: (from, to, of) => `Marks ${from}–${to} of ${of}`,
    window_before: "Earlier marks",
    window_after: "Later marks",
    close: "Back to the numbers",
    /** @type {Record<string, string>} */
    proof: { decoded: "decoder", sought: "video element", not_proven: "not proven" },
  },

  sheet: {
    heading: "Keys",
    print: "Print",
    close: "Close",
    change: "Change",
    reset: "Usual keys again",
    press: "Press the new key … (Esc leaves it)",
    /** @param {string} what @param {string} swapped */
    swapped: (what, swapped) => `Done. “${swapped}” now has the key that “${what}” had.`,
    changed: (/** @type {string} */ what) => `“${what}” has its new key.`,
    refused: "That key is needed by the browser. Choose another.",
    by_place: "Keys are known by their place, so any keyboard layout works.",
  },

  pads: {
    left: "Left arm",
    right: "Right arm",
    /** @type {Record<string, string>} */
    short: { entry: "Entry", catch: "Catch", mid_pull: "Mid-pull", exit: "Exit" },
    sets: "Events",
    set: { arms: "Arms", breath: "Breath", legs: "Legs" },
  },

  states: {
    no_clip: "No clip is open.",
    no_clip_way: "Choose a clip",
    loading: (/** @type {string} */ name) => `Reading ${name} …`,
    relink: (/** @type {string} */ name) => `The clip ${name} is not open in this browser. Its marks and numbers are here; choose the file again to see its frames.`,
    relink_way: "Choose the file",
    read_only: "This session is open in another tab. Here it can be read, not changed.",
    element: "Shown through the browser's video element: each frame is checked before it counts, which is slower and less exact than decoding.",
    no_frame: "This needs the clip's frames. Choose the file first.",
    wait_for_frame: "Pause first: nothing is marked from a moving picture.",
  },

  said: {
    /** @param {string} what @param {number} frame */
    marked: (what, frame) => `${what} marked on frame ${frame}.`,
    already: (/** @type {string} */ what, /** @type {number} */ frame) => `${what} is already marked on frame ${frame}.`,
    moved: (/** @type {string} */ what, /** @type {number} */ frame) => `${what} moved to frame ${frame}.`,
    retyped: (/** @type {string} */ what) => `The mark is now: ${what}.`,
    deleted: (/** @type {string} */ what, /** @type {number | null} */ frame) => (frame === null ? `${what} deleted.` : `${what} on frame ${frame} deleted.`),
    selected: (/** @type {string} */ what, /** @type {number} */ frame) => `${what}, frame ${frame}, selected.`,
    undone: (/** @type {string} */ what) => `Undone: ${what}.`,
    redone: (/** @type {string} */ what) => `Done again: ${what}.`,
    nothing_to_undo: "Nothing to undo.",
    nothing_to_redo: "Nothing to do again.",
    nothing_selected: "Select a mark first: ↑ or ↓, or click it on the roll.",
    no_more_marks: "No mark in that direction.",
    not_reached: (/** @type {number} */ frame) => `Frame ${frame} was not reached, so nothing was marked.`,
    skipped: (/** @type {string} */ what) => `${what}: skipped.`,
    flagged: (/** @type {string} */ reason) => `Flagged: ${reason}`,
    no_cycle_to_loop: "No complete cycle here to loop.",
    looping: "Looping this cycle.",
    edge: "That is the end of the clip.",
  },
};

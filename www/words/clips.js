// Words of the first screen: clips, sessions, what is asked about them.

/** @param {number} count @param {string} one @param {string} many */
const counted = (count, one, many) => `${count} ${count === 1 ? one : many}`;

export const clips = {
  unnamed: "Unnamed swimmer",
  /** @param {string} label */
  copyOf: (label) => `${label || "Unnamed swimmer"} (copy)`,

  welcome_title: "Stroke timing from a clip",
  welcome_text:
    "Step to exact frames, mark what the arms do, and read stroke rate, phases, coordination and the propulsive gap, each with its uncertainty. The clip stays on this device.",
  drop_title: "Drop a clip here",
  drop_now: "Let go to open",
  drop_text: "MP4, MOV, WebM or MKV from a phone or camera, or a .wetframe session.",
  rhythm_label: "Drawing: two arms take turns to propel; between them lie stretches where neither does.",
  rhythm_caption: "Left arm, right arm, and below them the drive: the hole is the propulsive gap, where neither arm works.",
  choose: "Choose a clip",
  open_demo: "Open the demo",
  open_worked_demo: "See a worked comparison",
  open_session_file: "Open a session file",
  add_clip: "Add a clip",
  add_clip_text: "or drop it anywhere on this page",
  new_session: "New session",
  /** @param {string} name */
  opening: (name) => `Opening ${name}…`,
  stop: "Stop",
  /** @param {string} name */
  stop_opening: (name) => `Stop opening ${name}`,
  fetching_demo: "Fetching the demo…",
  /** @param {string} name */
  added: (name) => `${name} was added.`,
  /** @param {string} name */
  linked: (name) => `${name} is at hand.`,
  /** @param {string} name */
  session_opened: (name) => `${name} was opened and is kept on this device.`,

  minors: {
    title: "Before you film anyone under 18",
    points: [
      "Have the written consent of a parent or guardian: what is filmed, for what purpose, who will see it, and when it is deleted.",
      "Film training and races, with another adult present; never from behind the starting blocks, never as swimmers leave the water or change.",
      "Keep the clip where only those named can reach it, and delete it on the day agreed.",
    ],
    defer: "Your club’s and your country’s safeguarding rules come first. Ask your welfare officer when unsure.",
    local: "Here the clip is never uploaded: this page reads it on this device only.",
    understood: "I have read this",
    show_again: "Filming under-18s",
  },

  session_heading: "This session",
  swimmer: "Swimmer",
  swimmer_hint: "A name, initials or a number",
  date: "Filmed on",
  under_18: "Under 18",
  under_18_choices: { unsaid: "not stated", no: "no", yes: "yes" },
  consent: "Consent",
  consent_hint: "Who agreed, when, to what, until when",
  water: "Water",
  water_kinds: { none: "not stated", pool: "pool", flume: "flume" },
  pool_length: "Pool length, m",
  flume_speed: "Water speed, m/s",
  session_notes: "Notes on the session",

  clips_heading: "Clips",
  no_clips_title: "No clip in this session yet",
  mark_this: "Mark this clip",
  remove: "Remove",
  remove_clip: "Remove this clip from the session",
  /** @param {string} name */
  removed: (name) => `${name} was removed from the session. Undo brings it and its marks back.`,
  label: "Label",
  label_hint: "before, after, easy, fast…",
  /** @param {number} cycles @param {number} marks @param {number} questions */
  reached: (cycles, marks, questions) =>
    [
      marks === 0 ? "nothing marked yet" : `${counted(cycles, "cycle", "cycles")} from ${counted(marks, "mark", "marks")}`,
      ...(questions > 0 ? [counted(questions, "open question", "open questions")] : []),
    ].join(", "),

  /**
   * @param {{view: string|null, frame_rate: string, isRateStated: boolean, kick: string|null, aids: string[], speed: any, duration: string}} stated
   */
  inShort: ({ view, frame_rate, isRateStated, kick, aids, speed, duration }) =>
    [
      `${duration} s`,
      isRateStated ? `filmed at ${frame_rate} frames/s` : `${frame_rate} frames/s`,
      view === null ? "view not stated" : { side: "from the side", front: "from the front", above: "from above", rear: "from behind" }[view],
      kick === null ? "legs not stated" : { kick: "with kick", no_kick: "without kick" }[kick],
      ...(aids.length > 0 ? [aids.join(", ")] : []),
      speed === null ? "speed not known" : speed.kind === "flume" ? `flume ${speed.m_per_s} m/s` : speed.kind === "pace" ? `${speed.s_per_100_m} s per 100 m` : `passes ${speed.distance_m} m apart`,
    ].join(" · "),

  needs_file: "Needs its file",
  needs_file_text: "The session holds the marks, not the picture. Choose the same file again to see its frames; the numbers work without it.",
  /** @param {string} name */
  choose_again: (name) => `Choose ${name}`,
  /** @param {string} name */
  reopen: (name) => `Open ${name} again`,

  facts_heading: "The file",
  fact: {
    codec: "Format",
    picture: "Picture",
    length: "Length",
    frames: "Frames",
    spacing: "Frame spacing",
    size: "Size",
  },
  /** @param {string} container @param {string} codec */
  format: (container, codec) => `${container === "mp4" ? "MP4/MOV" : container === "matroska" ? "WebM/MKV" : container}, ${codec}`,
  /** @param {string} minimum @param {string} median @param {string} maximum */
  spacing: (minimum, median, maximum) => (minimum === maximum ? `${median} ms, even` : `${minimum} – ${median} – ${maximum} ms (least, median, most)`),
  one_frame: "This clip has one frame: there is no time between events to measure.",
  /** @param {string} name */
  one_frame_added: (name) => `${name} has only one frame: it is kept, but nothing can be timed on it.`,
  /** @param {number} count */
  dropped: (count) =>
    count === 0
      ? "No gap in the frame times: no sign of dropped frames."
      : `${counted(count, "gap", "gaps")} in the frame times where the camera probably dropped frames. Times stay right; a mark inside a gap is less sure.`,
  /** @param {number} count */
  duplicated: (count) =>
    count === 0
      ? "Checked: no frame repeats the picture before it."
      : `Checked: ${counted(count, "frame repeats", "frames repeat")} the picture before. Events there are up to one frame less sure.`,
  duplicates_unchecked: "Not checked for repeated pictures.",
  check_duplicates: "Check for repeated pictures",
  /** @param {number} done @param {number} of */
  checking: (done, of) => `Comparing pictures: frame ${done} of ${of}`,
  cancel: "Cancel",
  check_cancelled: "The check was cancelled; nothing was changed.",

  filmed_heading: "How it was filmed",
  view: "Seen from",
  views: { "": "not stated", side: "the side", front: "the front", above: "above", rear: "behind" },
  filmed_rate: "Filmed at, frames/s",
  filmed_rate_hint: "as the file plays",
  /** @param {string} plays */
  file_plays: (plays) => `The file plays at ${plays} frames/s.`,
  /** @param {string} capture */
  capture_rate: (capture) => `The camera wrote a capture rate of ${capture} frames/s.`,
  use_capture_rate: "Use it",
  rate_as_file: "Seconds are taken as the file gives them. If this is slow motion, state the rate it was filmed at.",
  /** @param {string} rate @param {string} factor */
  rate_stated: (rate, factor) => `At ${rate} frames/s the file plays ${factor} times slower than life: every result is given in true seconds.`,
  rate_same: "The stated rate is the file’s own: seconds are as the file gives them.",
  /** @param {string} rate @param {string} factor */
  rate_faster: (rate, factor) => `At ${rate} frames/s the file would play ${factor} times faster than life. Check the rate.`,
  /** @param {string} spacing @param {string} error */
  rate_error: (spacing, error) => `A frame every ${spacing} ms: the time between two marks is known to ±${error} ms (1 SD) from the frames alone.`,

  swum_heading: "What was swum",
  kick: "Legs",
  kicks: { "": "not stated", kick: "with kick", no_kick: "without kick" },
  aids_label: "Aids",
  aids: { buoy: "buoy", fins: "fins", snorkel: "snorkel", paddles: "paddles" },
  speed: "Speed known from",
  speeds: { none: "not known", flume: "flume setting", pace: "pace", passes: "pass marks" },
  speed_m_per_s: "Water speed, m/s",
  speed_uncertainty: "± m/s",
  speed_pace: "Pace, s per 100 m",
  speed_distance: "Distance between the passes, m",
  speed_passes_hint: "Mark two passes of a point of the body at references this far apart.",
  notes: "Notes on this clip",

  kept_heading: "Kept on this device",
  kept_none: "Nothing yet. Sessions that you start are kept here, in this browser, until you delete them.",
  kept_denied: "This browser keeps nothing here: save sessions to files.",
  open: "Open",
  is_open: "open now",
  rename: "Rename",
  duplicate: "Duplicate",
  export: "Save to a file",
  delete: "Delete",
  keep: "Keep",
  save_name: "Save the name",
  new_name: "Swimmer’s name or number",
  /** @param {string} label */
  actions_for: (label) => `Actions for ${label}`,
  /** @param {number} count */
  clipCount: (count) => (count === 0 ? "no clip" : counted(count, "clip", "clips")),
  /** @param {number} cycles @param {number} questions */
  howFar: (cycles, questions) =>
    [cycles === 0 ? "no cycle yet" : counted(cycles, "cycle", "cycles"), ...(questions > 0 ? [counted(questions, "open question", "open questions")] : [])].join(", "),
  /** @param {string} label @param {string} date */
  really_delete: (label, date) => `Delete “${label}” of ${date} and all its marks from this device? This cannot be undone.`,
  /** @param {string} label */
  deleted: (label) => `“${label}” was deleted from this device.`,
  /** @param {string} label */
  duplicated_session: (label) => `“${label}” is a copy of its own now.`,
  /** @param {string} label */
  renamed: (label) => `Renamed to “${label}”.`,

  needs_number: "Type a number, such as 1.25",

  delete_all: "Delete everything stored on this device",
  really_delete_all:
    "Delete every session, setting and file link that this page keeps in this browser? Clips themselves are not touched. Sessions that you have not saved to a file are gone for good.",
  delete_all_yes: "Delete everything",
  deleted_all: "Everything that this page kept on this device was deleted.",
};

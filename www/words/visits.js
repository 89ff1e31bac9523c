// Words of the visits: an athlete's sessions side by side, a measure over dates, one visit against another.

/** @param {number} count @param {string} one @param {string} many */
const counted = (count, one, many) => `${count} ${count === 1 ? one : many}`;

/** @typedef {"left"|"right"|null} Side */

export const visits = {
  /** @param {string} label @param {number} count */
  heading: (label, count) => (label ? `${counted(count, "session", "sessions")} of ${label}` : counted(count, "session", "sessions")),
  /** @param {{kept: number, files: number}} counts beside the open one */
  beside: ({ kept, files }) =>
    kept + files === 0
      ? "Only the open session so far."
      : `The open one, ${[kept > 0 ? `${kept} kept on this device` : "", files > 0 ? `${counted(files, "file", "files")} opened beside` : ""].filter(Boolean).join(", ")}; nothing here changes them.`,
  no_label: "The open session has no swimmer's label, so no other session can be of the same swimmer. Give it one on the clips page; sessions with that label then appear here.",
  how: "Kept sessions with the same swimmer’s label appear by themselves (capitals and spaces do not count); drop .wetframe files here to see more.",
  open_files: "Open session files beside",
  list: "The sessions",
  columns: { date: "Date", clips: "Clips", cycles: "Cycles", conditions: "Stated", where: "Where from" },
  source: { open: "open now", kept: "kept here", file: "file" },
  /** @param {number} count */
  cycles: (count) => (count === 0 ? "none marked" : String(count)),
  no_marks: "nothing marked yet",
  not_stated: "nothing stated",
  open: "Open",
  close: "Close",
  /** @param {string} date @param {string} clip */
  open_named: (date, clip) => `Open the session of ${date}${clip ? `, ${clip}` : ""}`,
  /** @param {string} date @param {string} label */
  close_named: (date, label) => `Close the session of ${date}${label ? `, ${label}` : ""}; it stays as it is`,
  /** @param {string} date */
  closed: (date) => `The session of ${date} was closed; it stays as it is.`,
  /** @param {number} count */
  bring_back: (count) => `Bring back ${counted(count, "closed session", "closed sessions")}`,
  /** @param {number} rest */
  show_rest: (rest) => `Show ${rest} more`,
  /** @param {string} name */
  opened_beside: (name) => `${name} was opened beside.`,
  /** @param {string} name */
  opened_without_marks: (name) => `${name} was opened beside; nothing is marked in it yet.`,
  unnamed: "no label",

  /** @param {number} done @param {number} of */
  reading: (done, of) => `Reading ${done} of ${of} sessions…`,
  cancel: "Stop",
  /** @param {number} rest */
  stopped: (rest) => `Stopped: ${counted(rest, "session is", "sessions are")} not read yet.`,
  read_rest: "Read the rest",
  /** @param {string} label @param {string} date */
  kept_name: (label, date) => `${label || "Unnamed swimmer"}, ${date}, kept on this device`,

  history: {
    title: "Over the dates",
    measure: "Measure",
    arms: "Arms",
    both: "both together",
    apart: "left and right",
    period: "From",
    periods: { all: "the first on", year: "the last year", quarter: "the last three months" },
    /** @param {string} measure @param {string} unit */
    axis: (measure, unit) => `${measure}, ${unit}`,
    none: "None of these sessions has this measure yet.",
    nothing: "Nothing is marked in these sessions yet.",
    keys: "Arrow keys move from point to point, Enter opens its session.",
    changed: "stated otherwise than before",
    legend: { left: "left", right: "right", interval: "95 % interval", frames: "fewer than 3 values: ± 1 SD of the frames", first: "1st clip of a day", second: "2nd", third: "3rd", later: "4th and later", other: "another swimmer" },
    /** @param {{swimmer: string|null, date: string, of_day: number, on_day: number, title: string, side: Side, value: string, bar: string, isInterval: boolean, n: number, changes: string[], in_doubt: boolean}} point */
    point: ({ swimmer, date, of_day, on_day, title, side, value, bar, isInterval, n, changes, in_doubt }) =>
      [
        `${swimmer === null ? "" : `${swimmer}: `}${date}${on_day > 1 ? ` (clip ${of_day} of ${on_day})` : ""}, ${title}${side ? `, ${side}` : ""}: ${value}, ${isInterval ? "95 %: " : ""}${bar}, n ${n}`,
        ...(in_doubt ? ["some of its marks are flagged"] : []),
        ...(changes.length > 0 ? [`stated otherwise: ${changes.join("; ")}`] : []),
      ].join(". "),
    /** @param {string} low @param {string} high */
    interval: (low, high) => `${low} to ${high}`,
    /** @param {string} uncertainty */
    frames: (uncertainty) => `frames ± ${uncertainty}`,
    region: "Table of the values over the dates",
    columns: { date: "Date", clip: "Clip", value: "Value", interval: "95 % interval", n: "n", changes: "Stated otherwise" },
    /** @param {string} column @param {Side} side */
    of_side: (column, side) => (side ? `${column}, ${side}` : column),
    low: "95 % low",
    high: "95 % high",
    uncertainty: "±",
    unit: "Unit",
    reason: "Why no number",
    copy: "Copy table",
    csv: "Save as CSV",
    flagged: "flagged",
  },

  pair: {
    title: "Visit to visit",
    choose: "The open session against",
    none: "Another session with marked cycles is needed, and marked cycles in the open one.",
    /** @param {string} date @param {string} label @param {number} cycles */
    option: (date, label, cycles) => `${date}${label ? `, ${label}` : ""} (${counted(cycles, "cycle", "cycles")})`,
    /** @param {string} date @param {string} clip */
    clip: (date, clip) => `${date}, ${clip}`,
    changed_file: "The file is no longer as it was when it was opened.",
  },
};

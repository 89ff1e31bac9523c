// The shapes that pass between the page's modules, for the type checker and for the reader. No code.
// Fields are snake_case where serde wrote them (they come from Rust), camelCase where JS owns them.

/**
 * What went wrong, in words that a coach can act on. Everything thrown across modules has this shape.
 * @typedef {object} Trouble
 * @property {string} kind       snake_case name of the error
 * @property {string} message    what is wrong, naming the file or the field
 * @property {string} [hint]     what to do about it
 * @property {"notice"|"warning"|"error"|string} [severity]
 * @property {any} [place]          where: a file, a byte, a field, a clip, a mark
 */

/** @typedef {"left"|"right"|"both"} Side */
/** @typedef {"entry"|"catch"|"mid_pull"|"exit"|"exhale_start"|"face_turn"|"mouth_clear"|"face_return"|"kick_out_start"|"kick_out_end"|"downbeat"|"pass"} MarkKind */
/** @typedef {"decoded"|"sought"|"not_proven"} Proof */

/**
 * A frame of the open clip. Times are ticks of the clip's own timescale.
 * @typedef {object} Playhead
 * @property {number} frame
 * @property {number} ticks
 * @property {Proof} proof
 */

/**
 * One event on one frame.
 * @typedef {object} Mark
 * @property {number} id
 * @property {MarkKind} kind
 * @property {Side|null} side
 * @property {number} time   ticks
 * @property {Proof} proof
 */

/** @typedef {{kind:"flume",m_per_s:number,uncertainty_m_per_s?:number|null}|{kind:"pace",s_per_100_m:number}|{kind:"passes",distance_m:number}} Speed */
/** @typedef {{kind:"pool",length_m:number}|{kind:"flume",speed_m_per_s:number}} Water */

/**
 * A clip as the session keeps it.
 * @typedef {object} ClipRecord
 * @property {number} id
 * @property {string} name              the file's name
 * @property {string} label             the coach's words
 * @property {number} size_bytes
 * @property {string} fingerprint
 * @property {string} container
 * @property {string} codec
 * @property {number} width
 * @property {number} height
 * @property {number} rotation_deg
 * @property {number} timescale         ticks in a second
 * @property {any} frame_times
 * @property {number|null} capture_rate_fps  as the camera wrote it
 * @property {number|null} filmed_rate_fps   as the coach states it
 * @property {"side"|"front"|"above"|"rear"|null} view
 * @property {"kick"|"no_kick"|null} kick
 * @property {string[]} aids
 * @property {Speed|null} speed
 * @property {string} notes
 * @property {number[]|null} duplicated_frames
 */

/**
 * Stretches of clips and which of their strokes: a cycle belongs when it lies wholly inside.
 * @typedef {object} CycleSet
 * @property {{clip: number, from: number|null, to: number|null}[]} parts   ticks; null: from the start, to the end
 * @property {"all"|"breathing"|"non_breathing"} breathing
 */

/**
 * Two sets of cycles under a name.
 * @typedef {object} ComparisonRecord
 * @property {number} id
 * @property {string} label
 * @property {CycleSet} before
 * @property {CycleSet} after
 * @property {boolean} paired
 * @property {string[]} kinds   what is asked about; none: everything
 */

/**
 * What `Sitting.session_view()` gives: the document without marks, and how far each clip is.
 * @typedef {object} SessionView
 * @property {string} id
 * @property {{label: string, under_18: boolean|null, consent: string}} athlete
 * @property {string} date                  YYYY-MM-DD
 * @property {string} notes
 * @property {Water|null} water
 * @property {ClipView[]} clips
 * @property {ComparisonRecord[]} comparisons  as the coach keeps them
 * @property {{keys: Record<string, string>, tap_reaction_ms: number|null}} settings
 * @property {string|null} undo_label       what undo would take back
 * @property {string|null} redo_label
 */

/**
 * How far a clip is, and what its clock gives.
 * @typedef {object} ClipState
 * @property {number} marks_count
 * @property {number} cycles_marked    complete arm cycles
 * @property {number} flags_count      what is doubtful on this clip: open questions
 * @property {number} frame_count
 * @property {number} first            ticks, start of the first frame
 * @property {number} end              ticks, end of the last frame
 * @property {number} frame_rate_fps   frames per true second at the median spacing, the filmed rate applied
 * @property {number} duration_s       true seconds
 */
/** @typedef {Omit<ClipRecord, "frame_times"> & ClipState} ClipView */

/** A second marking without its marks. @typedef {{id: number, from: number|null, to: number|null, finished: boolean, marked: number, skipped: number, of: number}} RemarkingView */
/**
 * A question of a second marking; nothing in it tells where the earlier mark stands.
 * @typedef {{asked: number, kind: import("../marks/shapes.js").MarkKind, side: import("../marks/shapes.js").Side|null, time: number, frame: number, window_s: number, cycle: number, cycles: number, done: number, of: number}} RemarkStep
 */
/** Where a second marking stands. @typedef {{step: RemarkStep|null, back: number|null, marked: number, skipped: number, of: number}} RemarkPass */
/** @typedef {{pairs: number, needed: number, message: string, hint: string}} TooFewPairs */
/**
 * How closely a kind of mark is placed again, ms.
 * @typedef {object} MarkRepeatability
 * @property {import("../marks/shapes.js").MarkKind} kind
 * @property {number} n
 * @property {number} unpaired_earlier
 * @property {number} unpaired_again
 * @property {number|null} sem_ms
 * @property {[number, number]|null} sem_interval_ms
 * @property {number|null} mdc_ms
 * @property {number|null} own_sem_ms
 * @property {number|null} sem_frames
 * @property {number|null} mdc_frames
 * @property {number|null} shift_ms
 * @property {[number, number]|null} shift_interval_ms
 * @property {TooFewPairs|null} too_few
 */
/**
 * How closely a kind of measure comes out again, in `unit`.
 * @typedef {object} MeasureRepeatability
 * @property {string} kind
 * @property {string} unit
 * @property {number} n
 * @property {number|null} sem
 * @property {[number, number]|null} sem_interval
 * @property {number|null} mdc
 * @property {number|null} own_sem
 * @property {number|null} shift
 * @property {[number, number]|null} shift_interval
 * @property {TooFewPairs|null} too_few
 */
/** @typedef {{passes: number, known: boolean, sentences: string[], per_mark: MarkRepeatability[], per_measure: MeasureRepeatability[]}} Repeatability */

/**
 * What a change did.
 * @typedef {object} Applied
 * @property {string} journal_line
 * @property {string} label
 * @property {number[]} clips_touched
 * @property {number[]} new_marks
 */

/**
 * The part of a list that was replaced: from `from` on, `removed` entries went and `added` came.
 * @template T
 * @typedef {{from: number, removed: number, added: T[]}} Splice
 */

/**
 * What `Sitting.marking_news()` tells: the whole marking view, or what changed since the version that is known.
 * @typedef {object} MarkingNews
 * @property {number} version
 * @property {any} whole      null where there are changes
 * @property {any} changes    of each list a Splice, null where it stands as it was
 */

/**
 * The wasm sitting: the session document, its commands and everything derived from it (crates/page).
 * @typedef {object} SittingHandle
 * @property {(command: object) => Applied} apply
 * @property {() => Applied|null|undefined} undo
 * @property {() => Applied|null|undefined} redo
 * @property {() => SessionView} session_view
 * @property {(clip: number, known: number) => MarkingNews} marking_news
 * @property {(clip: number) => any} marking_view   the whole of it, for one look
 * @property {(clip: number) => any} frame_times
 * @property {(clip: number, ticks: number) => any} now_view
 * @property {(clip: number, side: "left"|"right") => any} phase_map
 * @property {(first: number, second: number, choice: object) => any} together
 * @property {(clip: number, plan: any, skipped: any[]) => any} guided_step
 * @property {(clip: number, facts: any) => {relink: "match", renamed: boolean}|{relink: "differs", differences: any[], trouble: Trouble}} match_clip
 * @property {(facts: any) => number|undefined} find_clip
 * @property {() => Trouble[]} notices   what is worth telling about how it was opened
 * @property {() => number} lines_kept
 * @property {(clip: number) => any} measures
 * @property {(clip: number) => any} plots
 * @property {(clip: number, near: "left"|"right", words: object) => string|undefined} wheel_svg
 * @property {(before: CycleSet, after: CycleSet, paired: boolean, kinds: string[]) => import("../compare/types.js").Comparison} comparison
 * @property {(title: string, before: CycleSet, after: CycleSet, paired: boolean, kinds: string[]) => string} comparison_csv
 * @property {() => string} comparisons_csv
 * @property {(set: CycleSet, near: "left"|"right", gaps: object, words: object, prefix: string) => string|undefined} wheel_of_set_svg
 * @property {() => string} base_of_now   the session as it is now, as this device would keep it
 * @property {(other: any) => import("../visits/types.js").ClipOfVisit[]} clips_beside   `other`: another sitting of the same module
 * @property {(other: any, before: CycleSet, after: CycleSet, paired: boolean, kinds: string[]) => import("../compare/types.js").Comparison} comparison_beside
 * @property {() => Uint8Array} to_file
 * @property {() => string} base_json   the session it started from, as it is kept: a session file
 * @property {(id: string) => string} base_json_under   the same under another id
 * @property {() => string} marks_csv
 * @property {() => string} measures_csv
 * @property {(clip: number) => RemarkingView[]} remarkings
 * @property {(remarking: number) => RemarkPass} remark_pass
 * @property {() => Repeatability} repeatability
 * @property {() => string} remarks_csv
 * @property {() => string} repeatability_csv
 * @property {() => void} free
 */

/**
 * @typedef {object} SittingMaker
 * @property {(id: string, date: string) => SittingHandle} create
 * @property {(bytes: Uint8Array, file_name: string) => SittingHandle} open_file
 * @property {(base_json: string, lines: string[]) => SittingHandle} replay
 */

/**
 * The player, as far as others may use it (www/player/player.js).
 * @typedef {EventTarget & {
 *   facts: any, cautions: Trouble[], frameCount: number, current: Playhead|null, method: "decoder"|"element",
 *   ticksOf: (frame: number) => number, frameAt: (ticks: number) => number,
 *   show: (frame: number) => Promise<any>, step: (frames: number) => Promise<any>,
 *   play: (rate: number, stretch?: {from?: number, to?: number, loop?: boolean}) => any, pause: () => any,
 *   close: () => void
 * }} PlayerHandle
 */

/** @typedef {"clips"|"marks"|"numbers"|"compare"|"hand-over"|"guide"|"keys"} Way */

/**
 * Given to every view when it is mounted.
 *
 * `picture` is the canvas that the player draws on: one element for the whole life of the page. The marking view
 * puts it into its stage (`stage.append(context.picture)`) and may style it through `player/picture.js`.
 * `player()` is null while the clip's file is not at hand or still opens; `update()` is called when that changes.
 * `navigate("marks", {clip, at})` opens the marking view of a clip and shows the frame that holds the time `at`
 * (ticks): the way from a number to its frames. It is a normal entry in the browser's history.
 * `notify` shows trouble as a notice that stays until it is dismissed; `say` tells the status line (aria-live).
 *
 * @typedef {object} Context
 * @property {import("./store.js").Store} store
 * @property {typeof import("../words.js")} words
 * @property {HTMLCanvasElement} picture
 * @property {() => PlayerHandle|null} player
 * @property {() => import("./clip-files.js").ClipFiles} files
 * @property {() => import("../shell/routes.js").Place} place   where the page is: which face of the way, for one
 * @property {(way: Way, place?: {session?: string, clip?: number, at?: number, face?: string}) => void} navigate
 * @property {(trouble: unknown, about?: string) => void} notify
 * @property {(text: string) => void} say
 * @property {any} page   the wasm module, for pure functions such as gap_error_table
 */

/**
 * @typedef {object} View
 * @property {() => void} update    called after every change of session, clip, player or theme
 * @property {(files: File[]) => boolean} [receive]   whether it takes files that were dropped; else they are opened as ever
 * @property {() => void} unmount
 * @property {(ticks: number) => void} [showTime] shows the frame that stands at a time of the open clip
 */

export {};

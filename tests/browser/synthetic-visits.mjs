// Sessions of an invented swimmer over years, made in the page by the real module, as a coach would have made them: for
// the tests and the benchmark of the visits. Not for: measuring anything about swimming.

/**
 * Runs in the page: makes sessions and gives for each `{id, label, date, base_json, lines, file}`; with `keep`, puts them
 * into this device's storage and gives only their number.
 *
 * @param {{sessions: {id: string, label: string, date: string, clips: {label: string, cycles: number, period_frames: number, catch_later: number, change?: object}[]}[], keep: boolean, whole: boolean, left?: boolean}} wish
 *   `whole`: the marks stand in the base, as of a session opened from a file; else in the journal, as marked here;
 *   `left`: kept as they were left too, as the page does when another session is opened or the tab is put away
 */
export async function makeSessions({ sessions, keep, whole, left = false }) {
  const module = await import(new URL("wasm/page.js", document.baseURI).href);
  await module.default();
  const { DeviceStorage } = await import(new URL("sitting/storage.js", document.baseURI).href);
  const storage = keep ? await DeviceStorage.open() : null;
  const SPACING = 256; // ticks of a clock of 15,360: 60 frames/s
  const made = [];
  for (const wish of sessions) {
    let sitting = module.Sitting.create(wish.id, wish.date);
    let base_json = sitting.base_json();
    /** @type {string[]} */
    let lines = [];
    const apply = (/** @type {object} */ command) => lines.push(sitting.apply(command).journal_line);
    if (wish.label) apply({ command: "edit_session", change: { athlete: { label: wish.label } } });
    for (const [index, clip] of wish.clips.entries()) {
      const frames = (clip.cycles + 2) * clip.period_frames + 40;
      apply({
        command: "add_clip",
        clip: {
          name: `${wish.id}-${index + 1}.mp4`, label: clip.label, size_bytes: 1000, fingerprint: "00", container: "mp4", codec: "avc1.64001F", width: 1280, height: 720,
          rotation_deg: 0, timescale: 15360, frame_times: { first: 0, runs: [[frames, SPACING]] }, capture_rate_fps: null, filmed_rate_fps: null,
          view: "side", kick: null, aids: [], speed: null, notes: "", duplicated_frames: null,
        },
      });
      if (clip.change) apply({ command: "edit_clip", clip: index + 1, change: clip.change });
      for (let cycle = 0; cycle <= clip.cycles; cycle += 1) {
        for (const [side, offset] of /** @type {const} */ ([["left", 0], ["right", Math.round(clip.period_frames / 2)]])) {
          // Strokes are not alike: a frame or two more or less, always the same for the same session; the first entry
          // and every fifth after it are on time, so that a mean of five cycles is the period asked for.
          const wobble = (cycle * 7 + index * 3 + wish.id.length) % 3;
          const late_entry = [0, 1, 0, 2, 1][cycle % 5];
          for (const [kind, share] of /** @type {const} */ ([["entry", 0], ["catch", 0.3], ["mid_pull", 0.53], ["exit", 0.7]])) {
            if (cycle === clip.cycles && kind !== "entry") continue;
            const late = kind === "catch" ? clip.catch_later : 0;
            const frame = 10 + cycle * clip.period_frames + offset + Math.round(share * clip.period_frames) + (kind === "entry" ? late_entry : wobble) + late;
            apply({ command: "add_mark", clip: index + 1, kind, side, time: frame * SPACING, proof: "decoded" });
          }
        }
      }
    }
    if (whole) {
      const bytes = sitting.to_file();
      sitting.free();
      sitting = module.Sitting.open_file(bytes, `${wish.id}.wetframe`);
      base_json = sitting.base_json();
      lines = [];
    }
    const view = sitting.session_view();
    const summary = {
      id: wish.id, label: wish.label, date: wish.date, handed_over: null, changed_at: Date.parse(wish.date),
      clips: view.clips.map((/** @type {any} */ clip) => ({ id: clip.id, name: clip.name, label: clip.label, cycles_marked: clip.cycles_marked, open_questions: clip.flags_count })),
    };
    if (storage) {
      await storage.create(wish.id, base_json, lines, summary);
      if (left && lines.length > 0) await storage.keepAsLeft(wish.id, lines.length, sitting.base_of_now());
    }
    else made.push({ id: wish.id, label: wish.label, date: wish.date, base_json, lines, file: new TextDecoder().decode(sitting.to_file()) });
    sitting.free();
  }
  storage?.close();
  return keep ? sessions.length : made;
}

/**
 * A session for every few days of several years, two clips of `cycles` cycles each: the rate rises and the gap narrows
 * slowly, and every twenty visits the second clip is swum without kick.
 *
 * @param {{count: number, years: number, cycles: number, label: string, last: string}} wish
 */
export function yearsOfSessions({ count, years, cycles, label, last }) {
  const end = Date.parse(`${last}T00:00:00Z`);
  const step = (years * 365.25 * 86_400_000) / count;
  return Array.from({ length: count }, (_, index) => ({
    id: `visit-${String(index).padStart(4, "0")}`,
    label,
    date: new Date(end - (count - index) * step).toISOString().slice(0, 10),
    clips: [0, 1].map((clip) => ({
      label: clip === 0 ? "before" : "after",
      cycles,
      period_frames: 92 - Math.round((index / count) * 12) + ((index * 5) % 3) - clip,
      catch_later: 2 - Math.round((index / count) * 2) - clip,
      change: index % 20 === 0 && clip === 1 ? { kick: "no_kick" } : { kick: "kick" },
    })),
  }));
}

// Two clips seen together: side by side or one over the other, held together by the phase of the stroke or by time.
// Puts the parts together and keeps them in step with the store and the clips' files.
//
// Not for: which frames belong to each other (Rust), what a part looks like (its own file).

import { html, nothing, render } from "../vendor/lit-html/lit-html.js";
import { isFree } from "../marks/keyboard.js";
import { together as words } from "../words/together.js";
import { Choices, choicesOf } from "./choices.js";
import { choicesTemplate, stepsTemplate } from "./controls.js";
import { captionTemplate, headTemplate } from "./head.js";
import { drawOver, whyNotOver } from "./overlay.js";
import { overControls, whyNotOverTemplate } from "./over-controls.js";
import { Pair } from "./pair.js";
import { Play } from "./play.js";
import { Points, usualPoints } from "./points.js";
import { Screen } from "./screen.js";
import { Scrubber } from "./scrubber.js";
import { inPlaceOfPicture, noCycle, tooFewClips } from "./states.js";
import { clipName } from "../compare/format.js";

/** @typedef {import("../sitting/types.js").Context} Context */
/** @typedef {import("../sitting/types.js").ClipView} ClipView */
/** @typedef {import("./shapes.js").Moment} Moment */

/** A key with Shift goes so many frames. */
const FAR_FRAMES = 10;

/** @param {HTMLElement} root @param {Context} context */
export function mount(root, context) {
  const view = new View(root, context);
  return { update: () => view.update(), unmount: () => view.unmount() };
}

export class View {
  pair = new Pair();
  play = new Play(this.pair);
  choices = new Choices();
  /** @type {import("./shapes.js").Plan|null} */
  plan = null;
  /** @type {import("./shapes.js").TogetherFacts|null} */
  facts = null;
  /** First and second clip; both are there when this is not empty. @type {ClipView[]} */
  records = [];
  /** Whether points are being picked. */
  liningUp = false;
  /** How the second picture lies over the first. @type {import("./shapes.js").LowerFromUpper|null} */
  laid = null;
  /** @type {import("../sitting/types.js").Trouble|null} */
  laidTrouble = null;
  /** While points are picked: what lies around the same point of both pictures. */
  loupes = [document.createElement("canvas"), document.createElement("canvas")];
  /** Which of the two points is in the hand, from 0. */
  pointInHand = 0;
  /** @type {Points[]} */
  #points = [];
  #planKey = "";
  /** @type {object|null} */
  #session = null;
  #waiting = 0;
  #listening = new AbortController();

  /** @param {HTMLElement} root @param {Context} context */
  constructor(root, context) {
    this.root = root;
    this.context = context;
    const hands = {
      step: (/** @type {number} */ frames) => this.step(frames),
      place: () => this.pair.moment?.place ?? 0,
      goTo: (/** @type {number} */ place) => this.goToPlace(place),
    };
    /** Where each clip is seen alone. */
    this.screens = [new Screen(hands), new Screen(hands)];
    /** Where one lies over the other. */
    this.over = new Screen(hands);
    this.scrub = document.createElement("canvas");
    this.scrub.className = "together-scrub";
    this.scrub.tabIndex = 0;
    this.scrub.setAttribute("role", "slider");
    this.scrubber = new Scrubber(this.scrub, (position) => this.goTo(position));
    const { signal } = this.#listening;
    this.pair.addEventListener("shown", () => this.#put(), { signal });
    // What is looked at closely in one picture is looked at in the other.
    const [first, second] = this.screens.map((screen) => screen.picture);
    first.addEventListener("change", () => { if (!this.liningUp) second.lieAs(first); }, { signal });
    second.addEventListener("change", () => { if (!this.liningUp) first.lieAs(second); }, { signal });
    document.addEventListener("keydown", (event) => this.#pressed(event), { signal });
    // A hand on the mouse must not take the keyboard away from the frames.
    root.addEventListener("mousedown", (event) => {
      if (event.target instanceof Element && event.target.closest("button") && !event.target.closest(".together-point")) event.preventDefault();
    }, { signal });
    const themed = new MutationObserver(() => this.scrubber.invalidate());
    themed.observe(document.documentElement, { attributes: true, attributeFilter: ["data-theme"] });
    signal.addEventListener("abort", () => themed.disconnect());
    matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => this.scrubber.invalidate(), { signal });
    void document.fonts?.ready.then(() => this.scrubber.invalidate());
    void context.files().setAside();
  }

  unmount() {
    this.play.stop();
    this.choices.position = this.pair.moment?.position ?? null;
    this.#listening.abort();
    cancelAnimationFrame(this.#waiting);
    for (const points of this.#points) points.close();
    for (const screen of [...this.screens, this.over]) screen.close();
    this.scrubber.close();
    this.pair.close();
    this.plan?.free();
    this.plan = null;
    render(nothing, this.root);
    void this.context.files().takeUp();
  }

  /** After every change of session, clip, file or theme. */
  update() {
    // Leaving gives the marking view its player back, which is told to the view that is being left too.
    if (this.#listening.signal.aborted) return;
    const { store } = this.context;
    const { session } = store;
    this.choices = choicesOf(store.id ?? "");
    this.choices.settle(store);
    const records = this.choices.clips.map((id) => session?.clips.find((clip) => clip.id === id));
    this.records = /** @type {ClipView[]} */ (records.every(Boolean) ? records : []);
    this.#planAgain(session !== this.#session);
    this.#session = session;
    void this.#openFiles();
    this.#lay();
    this.draw();
  }

  /** @type {"not_stated"|"differ"|null} */
  get whyNotOver() {
    return this.records.length < 2 ? null : whyNotOver(this.records[0], this.records[1]);
  }

  /** Whether one picture is laid over the other now. */
  get isOver() {
    return this.choices.face === "over" && !this.liningUp && this.whyNotOver === null;
  }

  // --- what the hands ask for ---

  /** @param {number} position on the common scale */
  goTo(position) {
    this.#stop();
    if (this.plan) void this.pair.to(this.plan.at_position(position));
  }

  /** @param {number} place of the driving clip */
  goToPlace(place) {
    this.#stop();
    if (this.plan) void this.pair.to(this.plan.at_place(Math.min(Math.max(place, 0), (this.facts?.places ?? 1) - 1)));
  }

  /** @param {number} frames of the driving clip */
  step(frames) {
    this.goToPlace((this.pair.moment?.place ?? 0) + frames);
  }

  /** Changes a choice; the place on the common scale stays where it can. @param {() => void} change */
  choose(change) {
    this.#stop();
    change();
    this.choices.settle(this.context.store);
    this.update();
  }

  /** @param {number} index @param {number} clip */
  chooseClip(index, clip) {
    this.lineUp(false);
    this.choose(() => this.choices.setClip(this.context.store, index, clip));
  }

  /** @param {number} index @param {number} cycle */
  chooseCycle(index, cycle) {
    this.choose(() => { this.choices.cycles[index] = cycle; });
  }

  /** All cycles begin with the ones that were seen, as far as they are pairs. @param {"one"|"all"} run */
  chooseRun(run) {
    const moment = this.pair.moment;
    const u = (moment?.position ?? 0) % 4;
    if (run === "one" && this.choices.run === "all" && moment) {
      this.choices.cycles = /** @type {[number, number]} */ (moment.frames.map((frame, index) => frame.cycle ?? this.choices.cycles[index]));
    }
    this.choose(() => { this.choices.run = run; });
    const stroke = run === "all" ? this.facts?.strokes.findIndex(({ cycles }) => cycles[0] === this.choices.cycles[0]) ?? 0 : 0;
    this.goTo(4 * Math.max(stroke, 0) + u);
  }

  /** The next cycle of both, or the one before; by time the next mark of the same kind. @param {1|-1} way */
  turnCycle(way) {
    const { choices, context: { store } } = this;
    if (choices.by === "phase" && choices.run === "all") {
      const stroke = (this.pair.moment?.stroke ?? 0) + way;
      const next = this.facts?.strokes[stroke];
      if (next) this.goTo(4 * stroke + ((this.pair.moment?.position ?? 0) % 4));
      return;
    }
    const next = choices.clips.map((clip, index) => choices.by === "phase"
      ? neighbour(choices.cyclesOf(store, index).map((cycle) => cycle.index), choices.cycles[index], way)
      : neighbour(marksLike(store.marking(clip)?.marks ?? [], choices.from[index]), choices.from[index], way));
    if (next.every((found) => found === null)) return;
    this.choose(() => {
      next.forEach((found, index) => {
        if (found !== null) (choices.by === "phase" ? choices.cycles : choices.from)[index] = found;
      });
    });
  }

  togglePlay() {
    const { plan, facts } = this;
    if (this.play.on) {
      this.#stop();
      void this.pair.again(); // the neighbours of the frames shown are made ready
      this.draw();
      return;
    }
    if (!plan || !facts) return;
    const looping = this.choices.by === "phase" && this.choices.run === "one";
    const [begin, end] = [plan.at_place(0), plan.at_place(facts.places - 1)];
    const loops = /** @type {[any, any]} */ ([0, 1].map((index) => (looping ? { from: begin.frames[index].frame, to: Math.max(end.frames[index].frame, begin.frames[index].frame) } : null)));
    const at = this.pair.moment?.place ?? 0;
    this.play.start({
      plan, looping, loops,
      place: !looping && at >= facts.places - 1 ? 0 : at,
      rate: this.choices.rate,
      ended: () => { void this.pair.again(); this.draw(); },
    });
    this.context.say(words.playing);
    this.draw();
  }

  /** @param {number} rate */
  setRate(rate) {
    this.choices.rate = rate;
    if (this.play.on) {
      this.play.stop();
      this.togglePlay();
    }
    this.draw();
  }

  /** @param {"beside"|"over"} face */
  chooseFace(face) {
    this.choices.face = face;
    if (this.liningUp) this.lineUp(false);
    this.#lay();
    this.#put();
    this.draw();
  }

  /** @param {number} opacity */
  setOpacity(opacity) {
    this.choices.opacity = opacity;
    this.#put();
  }

  /** @param {boolean} on */
  lineUp(on) {
    if (on === this.liningUp) return;
    this.#stop();
    this.liningUp = on;
    for (const points of this.#points.splice(0)) points.close();
    for (const screen of this.screens) screen.steps = !on;
    this.draw();
    this.#draw(); // the stages have to stand before points can
    this.#put();
    if (on) this.#pick();
  }

  resetPoints() {
    this.choices.points = null;
    for (const points of this.#points.splice(0)) points.close();
    this.#lay();
    if (this.liningUp) this.#pick();
    this.#put();
    this.draw();
  }

  // --- within ---

  #pick() {
    const sizes = this.pair.panes.map((pane) => pane.canvas);
    const points = this.choices.points ?? { first: usualPoints(sizes[0].width, sizes[0].height), second: usualPoints(sizes[1].width, sizes[1].height) };
    this.#points = (/** @type {const} */ (["first", "second"])).map((which, index) => new Points({
      screen: this.screens[index],
      name: clipName(this.records[index]),
      points: points[which],
      changed: (picked) => {
        points[which] = picked;
        this.choices.points = points;
        this.#lay();
        this.#look();
        this.draw();
      },
      taken: (place) => {
        this.pointInHand = place;
        this.#look();
        this.draw();
      },
    }));
    this.pointInHand = 0;
    this.#look();
    this.#points[0].handles[0].focus();
  }

  #look() {
    this.#points.forEach((points, index) => points.magnify(this.pointInHand, this.loupes[index]));
  }

  /** Asks Rust how the second picture lies over the first. */
  #lay() {
    const [lower, upper] = this.pair.panes.map((pane) => pane.canvas);
    const { points } = this.choices;
    try {
      this.laid = this.context.page.lay_over({
        upper_size: [upper.width, upper.height], lower_size: [lower.width, lower.height],
        upper: points?.second ?? null, lower: points?.first ?? null,
      });
      this.laidTrouble = null;
    } catch (error) {
      this.laidTrouble = /** @type {import("../sitting/types.js").Trouble} */ (error);
    }
  }

  #stop() {
    if (!this.play.on) return;
    this.play.stop();
    this.draw();
  }

  /** @param {boolean} isOther whether the marks may have changed */
  #planAgain(isOther) {
    const { store } = this.context;
    const choice = this.records.length === 2 ? this.choices.choice(store) : null;
    const key = JSON.stringify([this.choices.clips, choice]);
    if (key === this.#planKey && !isOther) return;
    this.#planKey = key;
    this.play.stop();
    this.plan?.free();
    this.plan = null;
    this.facts = null;
    const lacks = this.choices.by === "phase" && !this.choices.can(store, this.choices.side);
    if (choice && !lacks) {
      const [first, second] = this.records;
      this.plan = /** @type {import("./shapes.js").Plan} */ (store.together(first.id, second.id, choice));
      this.facts = this.plan.facts();
      const before = this.pair.moment;
      const isSameScale = (before?.stroke === null) === (this.choices.by === "time");
      const start = this.choices.by === "time" ? Math.max(0, this.facts.from) : 0;
      const kept = before ? (isSameScale ? before.position : start) : (this.choices.position ?? start);
      const position = this.choices.by === "phase" && this.choices.run === "one" ? kept % 4 : kept;
      void this.pair.to(this.plan.at_position(position));
    }
    this.scrubber.facts = this.facts;
  }

  async #openFiles() {
    const files = this.context.files();
    await Promise.all(this.pair.panes.map(async (pane, index) => {
      const clip = this.records[index];
      const changed = await pane.open(clip ? files.fileOf(clip.id) : null);
      if (!changed || this.#listening.signal.aborted) return;
      for (const caution of pane.player?.cautions ?? []) this.context.say(caution.message);
      this.#lay();
      if (this.plan) void this.pair.again();
      else this.#put();
      this.draw();
    }));
  }

  /** Puts both frames on the screen at once. */
  #put() {
    const [lower, upper] = this.pair.panes;
    if (this.isOver) {
      if (lower.player && upper.player && this.laid) {
        drawOver(this.over, lower.canvas, upper.canvas, this.laid, this.choices.opacity);
        this.#tell(this.over, lower.player.current, clipName(this.records[0]));
        const upperFrame = String(upper.player.current?.frame ?? "");
        this.over.canvas.dataset.upperFrame = upperFrame;
        this.over.canvas.setAttribute("aria-label", `${this.over.canvas.getAttribute("aria-label")}, ${clipName(this.records[1])} ${words.frame(Number(upperFrame))}`);
      }
      this.draw();
      return;
    }
    this.pair.panes.forEach((pane, index) => {
      const screen = this.screens[index];
      if (!pane.player || pane.missed) screen.clear();
      else screen.put(pane.canvas.width, pane.canvas.height, (pen) => pen.drawImage(pane.canvas, 0, 0));
      this.#tell(screen, pane.missed ? null : (pane.player?.current ?? null), this.records[index] ? clipName(this.records[index]) : "");
    });
    this.#look();
    this.draw();
  }

  /** Which frame the canvas holds and how that is known: from the player, not from what was asked. @param {Screen} screen @param {{frame: number, proof: string}|null} current @param {string} name */
  #tell({ canvas }, current, name) {
    canvas.setAttribute("role", "img");
    canvas.setAttribute("aria-label", current ? `${name} ${words.frame(current.frame)}`.trim() : name);
    canvas.dataset.frame = current ? String(current.frame) : "";
    canvas.dataset.proof = current?.proof ?? "";
  }

  /** Draws everything around the pictures, once per screen frame. */
  draw() {
    this.#waiting ||= requestAnimationFrame(() => {
      this.#waiting = 0;
      this.#draw();
    });
  }

  #draw() {
    if (this.#listening.signal.aborted) return;
    if (this.records.length < 2) {
      render(tooFewClips(this), this.root);
      return;
    }
    const over = this.choices.face === "over" && !this.liningUp;
    render(html`<div class="together" data-face=${over ? "over" : "beside"}>
      <h2 class="only-heard">${words.title}</h2>
      <div class="together-panes">
        ${over && this.whyNotOver ? whyNotOverTemplate(this) : nothing}
        ${over && !this.whyNotOver ? html`<div class="together-both">
          <div class="together-frame-of">${this.over.stage}${this.#instead()}</div>
          <div class="together-beside">
            ${headTemplate(this, 0)}${captionTemplate(this, 0)}
            ${headTemplate(this, 1)}${captionTemplate(this, 1)}
            ${overControls(this)}
          </div>
        </div>` : [0, 1].map((index) => html`<section class="together-pane" aria-label=${clipName(this.records[index])}>
          ${headTemplate(this, index)}
          <div class="together-frame-of">${this.screens[index].stage}${inPlaceOfPicture(this, index)}</div>
          ${captionTemplate(this, index)}
        </section>`)}
      </div>
      <div class="together-hand">
        ${!this.plan ? noCycle(this) : this.liningUp ? nothing : this.scrub}
        ${this.liningUp ? nothing : this.#cautions()}
        ${this.liningUp ? overControls(this) : nothing}
        ${this.plan ? stepsTemplate(this) : nothing}
      </div>
      ${choicesTemplate(this)}
      <p class="together-soft"><span class="together-keys">${words.keys}. </span>${words.one_cycle}</p>
    </div>`, this.root);
    this.#drawScrubber();
  }

  /** In place of the overlay: what keeps either picture away. */
  #instead() {
    const missing = [0, 1].filter((index) => !this.pair.panes[index].player || this.pair.panes[index].missed);
    return missing.length === 0 ? nothing : inPlaceOfPicture(this, missing[0]);
  }

  #cautions() {
    const stroke = this.facts?.strokes[this.pair.moment?.stroke ?? -1];
    if (!stroke) return nothing;
    const told = [0, 1].flatMap((index) => {
      const name = clipName(this.records[index]);
      return [
        ...(stroke.interpolated[index].length > 0 ? [words.interpolated(name, stroke.interpolated[index])] : []),
        ...(stroke.again[index] ? [words.again(name)] : []),
      ];
    });
    return told.length === 0 ? nothing : html`<p class="together-caution" role="status">${[...new Set(told)].join(" ")}</p>`;
  }

  #drawScrubber() {
    const { scrubber, scrub, facts } = this;
    const moment = this.pair.shown ?? this.pair.moment;
    scrubber.moment = moment;
    scrubber.side = this.choices.side;
    scrubber.names = [clipName(this.records[0]), clipName(this.records[1])];
    scrubber.invalidate();
    if (!facts || !moment) return;
    const { from, to } = scrubber.span;
    const frames = moment.frames.map(({ frame }) => frame);
    const by = this.choices.by;
    scrub.setAttribute("aria-label", by === "phase" ? words.scrubber : words.scrubber_time);
    scrub.setAttribute("aria-valuemin", from.toFixed(2));
    scrub.setAttribute("aria-valuemax", to.toFixed(2));
    scrub.setAttribute("aria-valuenow", moment.position.toFixed(2));
    scrub.setAttribute("aria-valuetext", moment.phase
      ? words.at_phase(words.phase[moment.phase], Math.floor((moment.position % 1) * 100), frames)
      : words.at_time(words.seconds(moment.position, 3), frames));
  }

  /** The picture that keys magnify; side by side the other lies alike. */
  get #seen() {
    return this.isOver ? this.over : this.screens[0];
  }

  /** @param {KeyboardEvent} event */
  #pressed(event) {
    if (event.defaultPrevented || event.ctrlKey || event.metaKey || event.altKey || !isFree(event) || !this.plan) return;
    const { from, to } = this.scrubber.span;
    /** @type {Record<string, () => void>} */
    const keys = {
      ArrowLeft: () => this.step(event.shiftKey ? -FAR_FRAMES : -1),
      ArrowRight: () => this.step(event.shiftKey ? FAR_FRAMES : 1),
      ArrowUp: () => this.turnCycle(-1),
      ArrowDown: () => this.turnCycle(1),
      Home: () => this.goTo(from),
      End: () => this.goTo(to - 1e-9),
      Space: () => { if (!event.repeat) this.togglePlay(); },
      PageUp: () => this.#seen.picture.zoom(1),
      PageDown: () => this.#seen.picture.zoom(-1),
      Backquote: () => this.#seen.picture.reset(),
      ...(this.liningUp ? { Escape: () => this.lineUp(false) } : {}),
      ...(this.choices.by === "phase" ? Object.fromEntries([1, 2, 3, 4].map((digit) => [`Digit${digit}`, () => this.goTo(from + digit - 1)])) : {}),
    };
    const act = keys[event.code];
    if (!act) return;
    event.preventDefault();
    act();
  }
}

/** The one before or after in a list; null where there is none. @param {number[]} list @param {number} from @param {1|-1} way */
function neighbour(list, from, way) {
  return list[list.indexOf(from) + way] ?? null;
}

/** Names of the marks of the same kind and side, in time order. @param {any[]} marks @param {number} from */
function marksLike(marks, from) {
  const like = marks.find((mark) => mark.id === from);
  return like ? marks.filter((mark) => mark.kind === like.kind && mark.side === like.side).map((mark) => mark.id) : [];
}

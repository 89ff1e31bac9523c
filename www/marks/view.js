// The marking view: the picture, the stroke roll under it, the figures of the cycle under the playhead beside it,
// and the guided pass. Puts the parts together and keeps them in step with the store and the player.
//
// Not for: what a part looks like (its own file) or any number (Rust).

import { html, nothing, render } from "../vendor/lit-html/lit-html.js";
import { marks as words } from "../words/marks.js";
import { remark as remarkWords } from "../words/remark.js";
import { actionsOf } from "./actions.js";
import { Picture } from "../player/picture.js";
import { ClipClock } from "./clip-clock.js";
import { clipTime, decimal } from "./figures.js";
import { Guided } from "./guided.js";
import { Jog } from "./jog.js";
import { Keyboard } from "./keyboard.js";
import { KeySheet } from "./key-sheet.js";
import { markAction } from "./keys.js";
import { listTemplate } from "./mark-list.js";
import { Marker } from "./marker.js";
import { frameTemplate, nowTemplate, phaseTextures } from "./now.js";
import { padSetChooser, padSetOf, padsTemplate } from "./pads.js";
import { jogByDragging } from "./picture-hands.js";
import { MarkingAgain } from "./remark.js";
import { resultsTemplate } from "./remark-results.js";
import { Roll } from "./roll.js";
import { RollModel, laneOf } from "./roll-geometry.js";
import { stateTemplate } from "./states.js";
import { TapAlong } from "./tap-along.js";
import { transportTemplate } from "./transport.js";
import { takeWishToMarkAgain } from "./wish.js";

/** @typedef {import("../sitting/types.js").Context} Context */
/** @typedef {import("./shapes.js").MarkingView} MarkingData */
/** @typedef {import("./shapes.js").MarkShown} MarkShown */

/** What there is to draw while the first marks are hidden. @type {MarkingData} */
const BLIND = Object.freeze({
  analysis: { frame_rate_fps: 0, frame_error_ms: 0, arms: [], drive: [], breaths: [], kick_outs: [], flags: [] },
  marks: [],
  cycles_marked: 0,
});

/** The whole view fits the window; it never scrolls as a page. */
export const fits = true;

/** @param {HTMLElement} root @param {Context} context */
export function mount(root, context) {
  const view = new View(root, context);
  return { update: () => view.update(), unmount: () => view.unmount(), showTime: (/** @type {number} */ ticks) => view.showTime(ticks) };
}

/** @returns {Storage | null} */
function deviceStorage() {
  try {
    return window.localStorage;
  } catch (error) {
    console.info("This browser keeps no settings for the page; keys and reaction time last until it is closed.", error);
    return null;
  }
}

export class View {
  /** @param {HTMLElement} root @param {Context} context */
  constructor(root, context) {
    this.root = root;
    this.context = context;
    const storage = deviceStorage();
    this.keyboard = new Keyboard(storage);
    this.jog = new Jog(() => context.player(), (error) => context.notify(error));
    this.marker = new Marker(context, this.jog);
    this.guided = new Guided((plan, skipped) => context.store.guidedStep(skipped, plan) ?? null, (frame) => void this.jog.to(frame));
    this.tapAlong = new TapAlong(context, this.marker, storage, () => this.draw(), (id) => {
      const mark = this.model?.byId.get(id);
      if (mark) void this.jog.settled().then(() => this.select(mark));
    });
    this.remark = new MarkingAgain(context, this.jog);
    if (takeWishToMarkAgain()) {
      this.remark.open = true;
      this.guided.turn(false);
    }
    this.sheet = new KeySheet(this.keyboard, () => this.draw(), () => this.toggle("sheet"));
    /** Which sheet lies over the picture or takes the place of the figures. @type {Set<"sheet" | "list">} */
    this.shown = new Set();
    /** @type {import("./pads.js").PadSet} */
    this.padSet = "arms";
    this.rate = 0.25;
    this.looping = false;
    this.playing = false;
    this.listFrom = 0;
    this.flagAt = 0;
    /** @type {import("../sitting/types.js").PlayerHandle | null} */
    this.player = null;
    /** @type {MarkingData | null} */
    this.data = null;
    /** @type {RollModel | null} */
    this.model = null;
    /** @type {any} */
    this.record = null;
    /** @type {any} */
    this.facts = null;
    /** @type {import("./clip-clock.js").ClipClock | null} */
    this.clock = null;
    this.nowKey = "";
    /** @type {import("./shapes.js").NowView | null} */
    this.now = null;
    this.notReached = false;
    this.waiting = 0;
    this.listening = new AbortController();
    render(html`<div class="marks">
      <h1 class="only-heard">${words.heading}</h1>
      ${phaseTextures()}
      <div class="marks-stage" data-part="stage"></div>
      <div class="marks-state" data-part="state"></div>
      <div class="marks-hand" data-part="pads"></div>
      <div class="marks-steps" data-part="transport"></div>
      <div class="marks-roll" data-part="roll">
        <canvas data-part="canvas" tabindex="0" role="slider" aria-label=${words.roll.label} aria-valuemin="0"></canvas>
        <div class="marks-zoom" data-part="zoom"></div>
        <div class="marks-flags" data-part="flags"></div>
      </div>
      <aside class="marks-side">
        <div data-part="frame"></div>
        <div class="marks-now" data-part="now"></div>
        <div class="marks-guide" data-part="guide"></div>
        <div class="marks-tools" data-part="tools"></div>
      </aside>
      <div class="marks-over" data-part="over"></div>
    </div>`, this.root);
    this.stage = this.part("stage");
    this.stage.append(this.context.picture);
    this.picture = new Picture(this.stage, this.context.picture);
    this.picture.addEventListener("step", (event) => this.step(/** @type {CustomEvent} */ (event).detail));
    this.roll = new Roll(/** @type {HTMLCanvasElement} */ (this.part("canvas")), words, {
      jog: (frame) => this.goTo(frame),
      select: (mark) => this.select(mark),
      canMove: () => this.can && this.hasFrames,
      move: (mark, frame) => this.moveTo(mark, frame),
      zoomed: () => { this.roll.invalidate(); this.draw(); },
    });
    this.stopDragging = jogByDragging(this.stage, {
      frame: () => this.jog.frame,
      to: (frame) => this.goTo(frame),
      isMagnified: () => this.picture.magnification > 1,
    });
    this.actions = actionsOf(this);
    this.#keepKeysFree();
    const { signal } = this.listening;
    context.store.addEventListener("playhead", () => this.#playheadMoved(), { signal });
    this.keyboard.addEventListener("change", () => this.draw(), { signal });
    this.keyboard.listen((asked, event) => this.#pressed(asked, event));
    const themed = new MutationObserver(() => this.roll.restyle());
    themed.observe(document.documentElement, { attributes: true, attributeFilter: ["data-theme"] });
    signal.addEventListener("abort", () => themed.disconnect());
    matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => this.roll.restyle(), { signal });
    void document.fonts?.ready.then(() => this.roll.restyle());
    this.update();
  }

  unmount() {
    this.tapAlong.close();
    if (this.playing) void this.player?.pause();
    this.#watchPlayer(null);
    this.listening.abort();
    this.keyboard.stop();
    this.roll.close();
    this.stopDragging();
    this.picture.remove();
    cancelAnimationFrame(this.waiting);
    render(nothing, this.root);
  }

  /** A hand on the mouse must not take the keyboard away from the frames: what was clicked does not keep the focus. */
  #keepKeysFree() {
    const { signal } = this.listening;
    let byPointer = false;
    this.root.addEventListener("keydown", () => { byPointer = false; }, { signal, capture: true });
    this.root.addEventListener("pointerdown", () => { byPointer = true; }, { signal, capture: true });
    this.root.addEventListener("mousedown", (event) => {
      const button = event.target instanceof Element ? event.target.closest("button") : null;
      if (!button || button.classList.contains("marks-absent")) return;
      event.preventDefault();
      if (document.activeElement instanceof HTMLInputElement) document.activeElement.blur();
    }, { signal });
    this.root.addEventListener("change", (event) => {
      if (byPointer && event.target instanceof HTMLElement) event.target.blur();
    }, { signal });
  }

  /** @param {string} name @returns {HTMLElement} */
  part(name) {
    const found = this.root.querySelector(`[data-part="${name}"]`);
    if (!(found instanceof HTMLElement)) throw new Error(`The marking view lacks its part ${name}.`);
    return found;
  }

  /** Whether marks can be changed. */
  get can() {
    return !this.context.store.readOnly && this.context.store.clip_id !== null;
  }

  /** Whether frames can be shown. */
  get hasFrames() {
    return this.player !== null;
  }

  /** After every change of session, clip, player or theme. */
  update() {
    const { store } = this.context;
    const player = this.context.player();
    if (player !== this.player) this.#watchPlayer(player);
    const record = store.clip;
    if (record?.id !== this.record?.id) {
      this.guided.restart();
      this.remark.restart();
      this.marker.selected = null;
      this.nowKey = "";
    }
    if (record && (record !== this.record || player?.facts !== this.facts)) {
      this.facts = player?.facts ?? null;
      const frame_times = this.facts?.frame_times ?? store.frameTimes(record.id);
      this.clock = new ClipClock({ timescale: record.timescale, filmed_rate_fps: record.filmed_rate_fps, frame_times });
      const { clock } = this.roll;
      if (clock?.end !== this.clock.end || clock.frameCount !== this.clock.frameCount || clock.ticksPerSecond !== this.clock.ticksPerSecond || this.record?.id !== record.id) {
        this.roll.setClock(this.clock);
      }
      this.roll.clock = this.clock;
      if (this.roll.window) this.roll.window.clock = this.clock;
    }
    this.record = record;
    this.#goThroughAgain();
    const data = this.isBlind ? BLIND : /** @type {MarkingData | null} */ (store.marking());
    if (data !== this.data) {
      this.data = data;
      this.model = data ? new RollModel(data, this.model) : null;
      this.roll.model = this.model;
      this.nowKey = "";
      if (this.marker.selected !== null && !this.model?.byId.has(this.marker.selected)) this.marker.selected = null;
    }
    if (this.can && player && !this.remark.open) this.guided.refresh();
    this.#playheadMoved();
  }

  /** Whether the first marks and all that follows from them are out of sight. */
  get isBlind() {
    return this.remark.going !== null;
  }

  /** While marks are made again, nothing else asks and nothing shows the first ones. */
  #goThroughAgain() {
    const asked = this.remark.asked;
    this.remark.refresh();
    if (!this.isBlind) return;
    this.guided.turn(false);
    this.tapAlong.close();
    this.shown.delete("list");
    this.marker.selected = null;
    this.looping = false;
    const { step } = this.remark;
    if (step && this.remark.asked !== asked) this.padSet = padSetOf(step.kind);
  }

  /** @param {import("../sitting/types.js").PlayerHandle | null} player */
  #watchPlayer(player) {
    this.playerListening?.abort();
    this.player = player;
    this.playing = false;
    if (!player) return;
    this.playerListening = new AbortController();
    const { signal } = this.playerListening;
    const { store } = this.context;
    player.addEventListener("shown", () => {
      this.notReached = false;
      if (player.current) store.setPlayhead(player.current);
    }, { signal });
    player.addEventListener("playing", () => { this.playing = true; this.draw(); }, { signal });
    player.addEventListener("paused", () => { this.playing = false; this.tapAlong.paused(); this.draw(); }, { signal });
    player.addEventListener("trouble", (event) => {
      this.notReached = true;
      const { message } = /** @type {CustomEvent} */ (event).detail ?? {};
      if (message) this.context.say(message);
      this.draw();
    }, { signal });
    const { frame } = store.playhead;
    if (player.current && frame !== player.current.frame && frame < player.frameCount) void this.jog.to(frame);
    else if (player.current) store.setPlayhead(player.current);
  }

  #playheadMoved() {
    const { playhead } = this.context.store;
    this.roll.playhead = playhead;
    this.roll.selected = this.marker.selected;
    const { step } = this.guided;
    this.roll.hintShort = this.isBlind ? remarkWords.blind_roll_short : words.roll.empty_short;
    this.roll.hint = this.isBlind ? remarkWords.blind_roll : words.roll.empty(this.keyboard.label(markAction("entry", "left")), this.keyboard.label(markAction("entry", "right")));
    this.roll.proposal = step && !this.remark.open ? { lane: laneOf(step.kind, step.side), ticks: step.time } : null;
    this.roll.invalidate();
    this.draw();
  }

  /** Draws everything but the roll, once per screen frame. */
  draw() {
    this.waiting ||= requestAnimationFrame(() => {
      this.waiting = 0;
      this.#draw();
    });
  }

  #draw() {
    const { store, player } = this.context;
    const { clock } = this;
    const label = (/** @type {string} */ action) => this.keyboard.label(action);
    const act = (/** @type {string} */ action) => void this.act(action);
    render(stateTemplate(this), this.part("state"));
    this.part("state").hidden = this.part("state").childElementCount === 0;
    this.stage.classList.toggle("marks-stage-empty", !this.hasFrames);
    const asked = this.remark.asked ?? (this.guided.step ? markAction(this.guided.step.kind, this.guided.step.side) : this.tapAlong.open ? this.tapAlong.action : null);
    render(padsTemplate({ set: this.padSet, choose: (set) => { this.padSet = set; this.draw(); }, press: act, label, asked, can: this.can && this.hasFrames }), this.part("pads"));
    render(transportTemplate({
      act, label, can: this.hasFrames, playing: this.playing, rate: this.rate, looping: this.looping,
      setRate: (rate) => this.setRate(rate), goTo: (text) => this.goToTyped(text),
    }), this.part("transport"));
    if (!clock) return;
    const proof = !player() ? "no_picture" : this.notReached ? "not_reached" : store.playhead.proof;
    const playhead = { ...store.playhead, proof };
    render(frameTemplate(playhead, clock, this.data?.analysis.frame_error_ms ?? null), this.part("frame"));
    this.#findNow(store.playhead.ticks);
    const listed = this.shown.has("list");
    render(this.isBlind ? this.remark.blindTemplate({ label, act }) : listed ? this.#list() : nowTemplate(this.now, (side) => this.model?.cycles[side].at(store.playhead.ticks)?.breathing ?? null), this.part("now"));
    this.part("now").classList.toggle("marks-now-list", listed);
    // The choice of a passage takes the room of the lower figures.
    this.part("now").classList.toggle("marks-now-brief", this.remark.open && !listed);
    render(this.remark.open ? this.#again(label, act) : this.tapAlong.open ? this.tapAlong.template({ label, act, can: this.can && this.hasFrames })
      : this.guided.template({ label, act, frame: store.playhead.frame, can: this.can && this.hasFrames }), this.part("guide"));
    render(this.#tools(label, act), this.part("tools"));
    render(this.#zoom(label), this.part("zoom"));
    render(this.#flags(), this.part("flags"));
    render(this.shown.has("sheet") ? this.sheet.template() : this.#results(label), this.part("over"));
    this.#describeRoll(clock);
  }

  /** Asks for the figures again only in another cycle or after a change. @param {number} ticks */
  #findNow(ticks) {
    if (this.isBlind) {
      this.now = null;
      this.nowKey = "";
      return;
    }
    const index = (/** @type {"left" | "right"} */ side) => this.model?.cycles[side].at(ticks)?.index ?? "-";
    const key = `${this.context.store.clip_id} ${index("left")} ${index("right")}`;
    if (key === this.nowKey) return;
    this.nowKey = key;
    this.now = this.context.store.now(ticks);
  }

  /** @param {import("./clip-clock.js").ClipClock} clock */
  #describeRoll(clock) {
    const { playhead } = this.context.store;
    const canvas = this.roll.canvas;
    const doing = this.model?.drive.at(playhead.ticks);
    canvas.setAttribute("aria-valuemax", String(clock.frameCount - 1));
    canvas.setAttribute("aria-valuenow", String(playhead.frame));
    canvas.setAttribute("aria-valuetext", words.roll.position(playhead.frame, clipTime(clock.seconds(playhead.ticks)), doing ? words.roll.drive[doing.arms] : ""));
  }

  /** @param {(action: string) => string} label @param {(action: string) => void} act */
  #tools(label, act) {
    const tool = (/** @type {string} */ action, /** @type {string} */ text, /** @type {boolean} */ pressed) => html`<button type="button" class="marks-tool" data-action=${action}
      aria-pressed=${String(pressed)} title=${words.actions[action]} @click=${() => act(action)}>${text} <kbd>${label(action)}</kbd></button>`;
    return html`<div class="marks-tool-row">
      ${tool("guide", words.guided.heading, this.guided.on)}
      ${tool("tap_along", words.tap.heading, this.tapAlong.open)}
      ${tool("remark", remarkWords.tool, this.remark.open)}
      ${tool("list", words.transport.list, this.shown.has("list"))}
      ${tool("roll_motion", words.roll.motion, this.roll.motion === "roll")}
      ${tool("keys", words.transport.keys, this.shown.has("sheet"))}
      <span class="marks-short">${padSetChooser(this.padSet, (set) => { this.padSet = set; this.draw(); })}</span>
      </div>`;
  }

  /** @param {(action: string) => string} label */
  #zoom(label) {
    const zoomTo = (/** @type {Event} */ event) => {
      this.roll.window?.setZoom(Number(/** @type {HTMLInputElement} */ (event.target).value) / 100, this.context.store.playhead.ticks);
      this.roll.invalidate();
      this.draw();
    };
    const across = words.roll.across((this.roll.window?.secondsAcross ?? 0).toFixed(1));
    return html`<input type="range" min="0" max="100" aria-label=${words.roll.zoom} aria-valuetext=${across}
      .value=${String(Math.round((this.roll.window?.zoom ?? 0) * 100))} @input=${zoomTo}
      title=${`${words.roll.zoom}: ${across}. ${words.actions.zoom_out} (${label("zoom_out")}), ${words.actions.zoom_in} (${label("zoom_in")})`}>`;
  }

  /** Marking again, in the place of the guided pass. @param {(action: string) => string} label @param {(action: string) => void} act */
  #again(label, act) {
    return this.remark.template({
      label, act, frame: this.context.store.playhead.frame, hasFrames: this.hasFrames, data: this.data,
      frameAt: (ticks) => this.clock?.frameAt(ticks) ?? 0, draw: () => this.draw(), notKnown: this.#handNotKnown,
    });
  }

  get #handNotKnown() {
    const error = this.data?.analysis.frame_error_ms ?? null;
    return remarkWords.not_known(error === null ? null : decimal(error, 1));
  }

  /** What came out of marking again, over the picture. @param {(action: string) => string} label */
  #results(label) {
    const repeatability = this.remark.showsResults && !this.isBlind ? this.context.store.repeatability() : null;
    if (!repeatability) return nothing;
    return resultsTemplate(repeatability, {
      notKnown: this.#handNotKnown,
      close: () => { this.remark.showsResults = false; this.draw(); },
      key: label("release"),
    });
  }

  #flags() {
    const flags = this.data?.analysis.flags ?? [];
    if (flags.length === 0) return nothing;
    const flag = flags[this.flagAt % flags.length];
    const show = () => {
      const mark = flag.marks.map((id) => this.model?.byId.get(id)).find((candidate) => candidate);
      if (mark) this.select(mark);
      else if (this.clock) this.goTo(this.clock.frameAt(flag.start));
      this.flagAt += 1;
    };
    return html`<p role="status"><strong>${words.roll.flags(flags.length)}:</strong> ${flag.message} <span class="marks-soft">${flag.hint}</span></p>
      <button type="button" @click=${show}>${words.roll.flag_go}</button>`;
  }

  #list() {
    const marks = this.model?.marks.items ?? [];
    return listTemplate({
      marks,
      flags: this.data?.analysis.flags ?? [],
      selected: this.marker.selected,
      from: this.listFrom,
      seconds: (ticks) => this.clock?.seconds(ticks) ?? 0,
      can: this.can,
      canMove: this.can && this.hasFrames,
      wishes: {
        select: (mark) => this.select(mark),
        nudge: (mark, frames) => this.moveTo(mark, this.frameOf(mark) + frames),
        retype: (mark, action) => this.retype(mark, action),
        remove: (mark) => this.#deleteRow(mark),
        window: (from) => { this.listFrom = Math.max(from, 0); this.draw(); },
        close: () => this.toggle("list"),
      },
    });
  }

  /** Deletes from the list; the focus goes on to the row that takes its place. @param {MarkShown} mark */
  #deleteRow(mark) {
    const rows = () => [...this.root.querySelectorAll(".marks-list tbody tr")];
    const at = rows().findIndex((row) => row.getAttribute("data-mark") === String(mark.id));
    this.marker.delete(mark);
    requestAnimationFrame(() => requestAnimationFrame(() => {
      const after = rows();
      const button = after[Math.min(at, after.length - 1)]?.querySelector(".marks-row-change button:last-child");
      if (button instanceof HTMLElement) button.focus();
    }));
  }

  // --- what actions.js and the hands ask for ---

  /** @param {number} frame */
  goTo(frame) {
    if (!this.player) {
      // Without the clip's frames the roll can still be read along.
      const inside = Math.min(Math.max(frame, 0), (this.clock?.frameCount ?? 1) - 1);
      this.context.store.setPlayhead({ frame: inside, ticks: this.clock?.ticksOf(inside) ?? 0, proof: "not_proven" });
      return;
    }
    void this.jog.to(frame);
  }

  /** The frame that stands at a time. @param {number} ticks */
  showTime(ticks) {
    if (this.clock) this.goTo(this.clock.frameAt(ticks));
  }

  /** @param {number} frames */
  step(frames) {
    if (this.player) void this.jog.by(frames);
    else this.goTo(this.context.store.playhead.frame + frames);
  }

  /** @param {string} text @returns {boolean} */
  goToTyped(text) {
    const place = this.actions.placeTyped(text);
    if (!place) {
      this.context.say(words.transport.not_a_place(text));
      return false;
    }
    const { clock } = this;
    if (!clock) return false;
    // Half a tick of patience: 0.1 s typed for a frame at 0.1 s is that frame, whatever the rounding.
    this.goTo("frame" in place ? place.frame : clock.frameAt(place.seconds * clock.ticksPerSecond + 0.5));
    return true;
  }

  /** The frame a mark stands on, or that its time falls into. @param {MarkShown} mark */
  frameOf(mark) {
    return mark.frame ?? this.clock?.frameAt(mark.time) ?? 0;
  }

  /** @param {MarkShown | null} mark */
  select(mark) {
    this.marker.selected = mark?.id ?? null;
    if (mark) {
      this.context.say(words.said.selected(words.event(mark.kind, mark.side), this.frameOf(mark)));
      const at = this.model?.marks.items.indexOf(mark) ?? 0;
      if (at < this.listFrom || at >= this.listFrom + 60) this.listFrom = Math.max(at - 20, 0);
      const frame = this.frameOf(mark);
      if (this.context.store.playhead.frame !== frame || this.jog.frame !== frame) this.goTo(frame);
    }
    this.#playheadMoved();
  }

  /** Shows the frame first: a mark stands only on a frame that was seen. @param {MarkShown} mark @param {number} frame */
  moveTo(mark, frame) {
    const { player } = this;
    if (!this.can) return;
    if (!player) {
      this.context.say(words.states.no_frame);
      return;
    }
    this.jog.inOrder(() => {
      void this.jog.to(frame);
      return this.jog.onFrameShown((reached) => {
        const shown = player.current;
        if (reached && shown) this.marker.move(mark, shown.ticks, shown.frame, shown.proof);
        else this.context.say(words.said.not_reached(frame));
      });
    });
  }

  /** @param {MarkShown} mark @param {string} action */
  retype(mark, action) {
    const to = this.actions.markOf(action);
    if (to && this.can) this.marker.retype(mark, to.kind, to.side);
  }

  /** @param {number} rate */
  setRate(rate) {
    this.rate = rate;
    if (this.playing) this.actions.play(true);
    this.draw();
  }

  /** @param {"sheet" | "list"} name */
  toggle(name) {
    if (!this.shown.delete(name)) this.shown.add(name);
    this.draw();
  }

  /** @param {string} action @param {boolean} [retype] */
  act(action, retype = false) {
    return this.actions.perform(action, retype);
  }

  /** @param {{action: string, retype: boolean}} asked @param {KeyboardEvent} event */
  #pressed(asked, event) {
    if (event.repeat && !this.actions.repeats(asked.action)) return true;
    return this.act(asked.action, asked.retype);
  }
}

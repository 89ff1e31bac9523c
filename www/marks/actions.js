// What each action of the table of keys does. One place for keys, buttons and pads alike.

import { marks as words } from "../words/marks.js";
import { remark as remarkWords } from "../words/remark.js";
import { markAction, markOf } from "./keys.js";
import { RATES, placeTyped } from "./transport.js";

/** @typedef {import("./view.js").View} View */

/** Actions that go on while their key is held down. */
const REPEATED = new Set([
  "frame_back", "frame_forward", "ten_back", "ten_forward", "mark_before", "mark_after", "move_earlier", "move_later",
  "zoom_in", "zoom_out", "undo", "redo", "picture_in", "picture_out", "picture_left", "picture_right", "picture_up", "picture_down",
]);
/** Actions that change marks, so that reading only refuses them. */
const CHANGING = new Set([
  "confirm", "cannot_see", "guide_back", "tap_along", "move_earlier", "move_later", "move_here", "delete", "undo", "redo",
]);
/** Actions that speak of the first marks, so that marking again refuses them. */
const NOT_BLIND = new Set([
  "guide", "tap_along", "list", "mark_before", "mark_after", "loop_cycle", "move_earlier", "move_later", "move_here", "delete",
]);
const ZOOM_STEP = 1.35;
/** Part of the stage that one press looks aside. */
const LOOK = 0.15;

/** @param {View} view */
export function actionsOf(view) {
  const { context, jog, marker, guided, tapAlong, remark } = view;
  const { store, say } = context;

  /** @type {Record<string, () => unknown>} */
  const table = {
    frame_back: () => ordered(() => view.step(-1)),
    frame_forward: () => ordered(() => view.step(1)),
    ten_back: () => ordered(() => view.step(-10)),
    ten_forward: () => ordered(() => view.step(10)),
    first_frame: () => ordered(() => view.goTo(0)),
    last_frame: () => ordered(() => view.goTo((view.clock?.frameCount ?? 1) - 1)),
    mark_before: () => ordered(() => neighbour(-1)),
    mark_after: () => ordered(() => neighbour(1)),
    go_to: () => {
      const field = view.root.querySelector(".marks-go input");
      if (field instanceof HTMLInputElement) field.focus();
    },

    play: () => {
      if (tapAlong.practised()) return;
      if (tapAlong.running) tapAlong.stop();
      else play(!view.playing);
    },
    slower: () => changeRate(-1),
    faster: () => changeRate(1),
    loop_cycle: loopCycle,

    confirm: () => jog.inOrder(() => jog.onFrameShown(confirm)),
    cannot_see: () => jog.inOrder(() => {
      if (view.isBlind) return again(() => remark.skip());
      const step = guided.skip();
      if (step) say(words.said.skipped(words.event(step.kind, step.side)));
      view.update();
    }),
    guide_back: () => jog.inOrder(() => (view.isBlind ? again(() => remark.back()) : guideBack())),
    remark: () => again(openOrStop),
    remark_results: () => {
      remark.showsResults = !remark.showsResults;
      view.draw();
    },
    guide: () => {
      remark.open = false;
      tapAlong.close();
      guided.turn(!guided.on);
      view.update();
    },
    tap_along: () => {
      if (tapAlong.open) tapAlong.close();
      else {
        remark.open = false;
        tapAlong.open = true;
        if (guided.step) tapAlong.action = markAction(guided.step.kind, guided.step.side);
        guided.turn(false);
      }
      view.update();
    },

    move_earlier: () => onChosen((mark) => view.moveTo(mark, view.frameOf(mark) - 1)),
    move_later: () => onChosen((mark) => view.moveTo(mark, view.frameOf(mark) + 1)),
    move_here: () => onChosen((mark) => jog.onFrameShown((reached) => {
      const shown = context.player()?.current;
      if (!shown || !reached) say(words.said.not_reached(jog.frame));
      else marker.move(mark, shown.ticks, shown.frame, shown.proof);
    })),
    delete: () => onChosen((mark) => marker.delete(mark)),
    undo: () => jog.inOrder(() => marker.history("undo")),
    redo: () => jog.inOrder(() => marker.history("redo")),
    release: () => {
      if (view.shown.has("sheet")) view.toggle("sheet");
      else if (remark.showsResults) table.remark_results();
      else view.select(null);
    },

    zoom_in: () => zoom((window, at) => window.zoomBy(ZOOM_STEP, at)),
    zoom_out: () => zoom((window, at) => window.zoomBy(1 / ZOOM_STEP, at)),
    zoom_cycle: () => zoom((window, at) => window.showSeconds(cycleSeconds(), at)),
    zoom_all: () => zoom((window, at) => window.setZoom(0, at)),
    roll_motion: () => {
      view.roll.motion = view.roll.motion === "roll" ? "playhead" : "roll";
      view.roll.invalidate();
      view.draw();
    },
    picture_in: () => view.picture.zoom(1),
    picture_out: () => view.picture.zoom(-1),
    picture_whole: () => view.picture.reset(),
    picture_left: () => view.picture.pan(LOOK, 0),
    picture_right: () => view.picture.pan(-LOOK, 0),
    picture_up: () => view.picture.pan(0, LOOK),
    picture_down: () => view.picture.pan(0, -LOOK),
    picture_turn: () => view.picture.turn(),
    redraw: () => view.update(),
    list: () => view.toggle("list"),
    keys: () => view.toggle("sheet"),
    theme: () => {
      // The frame of the page owns the theme and its button.
      const button = document.querySelector('.header [data-action="theme"]');
      if (button instanceof HTMLElement) button.click();
    },
  };

  /** Keeps the order of the keys; what it starts need not be over before the next key. @param {() => void} action */
  function ordered(action) {
    jog.inOrder(() => { action(); });
  }

  /** @param {(window: import("./roll-geometry.js").RollWindow, at: number) => void} change */
  function zoom(change) {
    if (!view.roll.window) return;
    change(view.roll.window, store.playhead.ticks);
    view.roll.invalidate();
    view.draw();
  }

  /** The cycle under the playhead, else a usual one. */
  function cycleSeconds() {
    const cycle = cycleHere();
    return cycle && view.clock ? view.clock.seconds(cycle.end - cycle.start) * 1.15 : 1.6;
  }

  function cycleHere() {
    const { ticks } = store.playhead;
    return view.model?.cycles.left.at(ticks) ?? view.model?.cycles.right.at(ticks) ?? null;
  }

  /** @param {1 | -1} way */
  function neighbour(way) {
    const { frame, ticks } = store.playhead;
    // From the frame on its way, where there is one: keys come faster than frames.
    const isThere = !view.hasFrames || jog.frame === frame;
    const at = isThere ? ticks : view.clock?.ticksOf(jog.frame) ?? ticks;
    const mark = view.model?.neighbour(at, marker.selected, way) ?? null;
    if (mark) view.select(mark);
    else say(words.said.no_more_marks);
  }

  /** @param {(mark: import("./shapes.js").MarkShown) => unknown} change */
  function onChosen(change) {
    jog.inOrder(() => {
      const mark = marker.chosen;
      if (mark) return change(mark);
      say(words.said.nothing_selected);
      return undefined;
    });
  }

  /** @param {boolean} on */
  function play(on) {
    const player = context.player();
    if (!player) return say(words.states.no_frame);
    if (!on) {
      view.looping = false;
      void player.pause();
      return;
    }
    const cycle = view.looping ? cycleHere() : null;
    // Up to the frame before the next entry: that one is the first frame again, and the rhythm has no stumble.
    if (cycle) player.play(view.rate, { from: player.frameAt(cycle.start), to: player.frameAt(cycle.end - 1), loop: true });
    else player.play(view.rate);
  }

  function loopCycle() {
    if (view.looping) return play(false);
    if (!cycleHere()) return say(words.said.no_cycle_to_loop);
    view.looping = true;
    say(words.said.looping);
    play(true);
  }

  /** @param {1 | -1} way */
  function changeRate(way) {
    const at = RATES.indexOf(view.rate);
    view.setRate(RATES[Math.min(Math.max(at + way, 0), RATES.length - 1)]);
  }

  /** Does something to the second marking and draws what has come of it. @param {() => void} step */
  function again(step) {
    step();
    view.update();
  }

  function openOrStop() {
    if (view.isBlind) remark.stop();
    else {
      remark.open = !remark.open;
      remark.showsResults = false;
      if (remark.open) {
        tapAlong.close();
        guided.turn(false);
      }
    }
  }

  /** @param {boolean} reached */
  function confirm(reached) {
    if (view.isBlind) {
      if (view.playing) play(false);
      return again(() => remark.confirm(reached));
    }
    const { step } = guided;
    const shown = context.player()?.current;
    if (!step || !shown) return;
    if (!reached) return say(words.said.not_reached(jog.asked ?? shown.frame));
    // Told before the change is drawn: the drawing asks for the next question.
    const id = marker.add(step.kind, step.side);
    if (id !== null) guided.confirmed(step, id, shown.frame);
  }

  function guideBack() {
    const answer = guided.back();
    if (!answer) return say(words.guided.nothing_to_undo);
    const mark = answer.skipped ? null : marker.all.find((candidate) => candidate.id === answer.mark);
    if (mark) marker.delete(mark);
    else view.update();
  }

  /** @param {string} action @param {boolean} retype */
  function mark(action, retype) {
    const event = markOf(action);
    if (!event) return;
    if (retype) {
      onChosen((chosen) => view.retype(chosen, action));
      return;
    }
    if (view.isBlind && action !== remark.asked) {
      const { step, asked } = remark;
      say(step && asked ? remarkWords.said.other(words.event(step.kind, step.side), view.keyboard.label(asked)) : remarkWords.all_asked);
      return;
    }
    if (tapAlong.tap(action)) return;
    if (view.playing) {
      void context.player()?.pause();
      say(words.states.wait_for_frame);
      return;
    }
    jog.inOrder(() => jog.onFrameShown((reached) => {
      if (view.isBlind) return again(() => remark.confirm(reached));
      if (!reached) return say(words.said.not_reached(jog.asked ?? 0));
      const id = marker.add(event.kind, event.side);
      if (id !== null) marker.selected = id;
      view.update();
    }));
  }

  return {
    markOf,
    placeTyped,
    play,
    /** @param {string} action */
    repeats: (action) => REPEATED.has(action),
    /** @param {string} action @param {boolean} retype @returns {boolean} whether there was something to do */
    perform(action, retype) {
      const isMark = markOf(action) !== null;
      if ((isMark || CHANGING.has(action)) && store.readOnly) {
        say(words.states.read_only);
        return true;
      }
      if (view.isBlind && (retype || NOT_BLIND.has(action))) {
        say(remarkWords.said.hidden);
        return true;
      }
      if (isMark) mark(action, retype);
      else table[action]?.();
      return isMark || action in table;
    },
  };
}

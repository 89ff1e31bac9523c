// What both browsers have to prove of the player: the frame that was asked for is the frame that is seen.
//
// The clips' pictures carry their own numbers (tests/clips/make.py); the page reads them from the canvas.

import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import path from "node:path";
import { ROOT } from "./harness.mjs";

/** @typedef {{file: string, kind: string, opens: boolean, frames: number, first_number: number, numbers?: number[], codec?: string, error?: string, rotation_deg: number}} TestClip */

/** @returns {Promise<TestClip[]>} */
export async function testClips() {
  const text = await readFile(path.join(ROOT, "tests/clips/clips.json"), "utf8");
  return JSON.parse(text).clips;
}

/** The number that a frame of the clip carries. @param {TestClip} clip @param {number} frame */
export function numberOf(clip, frame) {
  return clip.numbers === undefined ? clip.first_number + frame : clip.numbers[frame];
}

/** Whole numbers from 0 to `below` − 1; the same for the same seed. @param {number} count @param {number} below @param {number} seed */
export function randomFrames(count, below, seed) {
  let state = seed >>> 0;
  return Array.from({ length: count }, () => {
    // mulberry32 (public domain), as published by its author; from memory.
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) % below;
  });
}

/**
 * Every frame forward, every frame backward, and as many at random.
 *
 * @param {number} count
 */
export function everyWay(count) {
  const forward = Array.from({ length: count }, (_, frame) => frame);
  return { forward, backward: [...forward].reverse(), random: randomFrames(count, count, count) };
}

/**
 * Every frame that was asked for was shown, and was the one that was asked for.
 *
 * @param {TestClip} clip
 * @param {string} way
 * @param {any[]} seen
 */
export function assertAllRight(clip, way, seen) {
  const wrong = seen.filter(({ frame, outcome, proof, number }) =>
    outcome !== "shown" || proof !== "decoded" || number !== numberOf(clip, frame));
  assert.deepEqual(wrong.slice(0, 5), [], `${clip.file}, ${way}: ${wrong.length} of ${seen.length} frames`);
}

/**
 * No frame was shown as another: it was right, or said to be not reached and the picture stayed, or said to
 * be not proven. Returns how many were reached.
 *
 * @param {TestClip} clip
 * @param {string} way
 * @param {any[]} seen
 */
export function assertNoneClaimedWrongly(clip, way, seen) {
  const wrong = seen.filter(({ frame, outcome, proof, number, current }) => {
    if (outcome === "shown" && proof === "sought") return number !== numberOf(clip, frame) || current !== frame;
    if (outcome === "shown") return proof !== "not_proven";
    return outcome !== "not_reached";
  });
  assert.deepEqual(wrong.slice(0, 5), [], `${clip.file}, ${way}: ${wrong.length} of ${seen.length} frames`);
  return seen.filter(({ outcome }) => outcome === "shown").length;
}

/**
 * What coordinates count from. One datum from beginning to end shifts the whole path and changes nothing of it; of a
 * second one the program does not say how far it lies from the first.
 */
import { placeText } from "../base/numbers.js";
import { FARTHEST_WRITTEN } from "../base/tolerance.js";
import { pair } from "../geometry/vec.js";
import type { BlockWords } from "./block-words.js";
import type { Block } from "./read.js";
import { lengthOf, mmOf } from "./trace-move.js";
import type { State, Tell, Trace } from "./trace-state.js";

/** G54 to G59, before the first coordinates or not at all. */
export function selectDatum(
  { datum: word }: BlockWords,
  { state }: Trace,
  tell: Tell,
): void {
  if (!word) return;
  const name = word.letter + word.digits;
  if (state.datum === name) return;
  if (state.datum === null && isNowhere(state)) {
    state.datum = name;
    tell(
      "program/datum",
      "note",
      `${name} names the datum that all coordinates count from; set it where the drawing has its origin`,
      word.column,
    );
    return;
  }
  tell(
    "program/datum",
    "error",
    `${name} changes the datum after coordinates ${state.datum === null ? "without one" : `from ${state.datum}`}; how far the two lie apart the program does not say, and the proof cannot follow: keep to one datum, named before the first coordinates`,
    word.column,
  );
}

/** G92: before the first coordinates it says where the wire stands; later it would be another datum. */
export function presetPlace(
  block: Block,
  { preset, numbers: { X, Y } }: BlockWords,
  trace: Trace,
  tell: Tell,
): void {
  if (!preset) return;
  const { state } = trace;
  if (!isNowhere(state) || !X || !Y) {
    tell(
      "program/datum",
      "error",
      `G92 is a new datum in ISO 6983-1, which the proof cannot follow: ${
        isNowhere(state)
          ? "give both X and Y with it, or go to the start hole by G00"
          : "take it out, and go to the start hole by G00"
      }`,
      preset.column,
    );
    return;
  }
  if ([X, Y].some((w) => !(Math.abs(mmOf(w, trace)) <= FARTHEST_WRITTEN))) {
    tell(
      "program/out-of-range",
      "error",
      `a coordinate lies more than ${Math.round(FARTHEST_WRITTEN / 1000)} m away: has a decimal point been lost? The block is passed over`,
    );
    return;
  }
  if (!state.unitsSaid) state.beforeUnits ??= block.line;
  const here = {
    x: lengthOf(X, block, trace),
    y: lengthOf(Y, block, trace),
  };
  [state.x, state.y] = [here.x, here.y];
  tell(
    "program/datum",
    "note",
    `G92 says that the wire stands at ${placeText(pair(here))} when the program begins: bring it there first`,
    preset.column,
  );
}

const isNowhere = (state: State): boolean =>
  state.x === null && state.y === null;

/**
 * G41 or G42 that nobody switches off. The last straight move under it is read as the one that leads out, so that only
 * the missing word is told and not all that would follow from it.
 */
import { SAME_POINT } from "../base/tolerance.js";
import { distance } from "../geometry/vec.js";
import type { BlockWords } from "./block-words.js";
import type { Action } from "./moves.js";
import { textFinding } from "./read.js";
import type { Trace } from "./trace-state.js";

/** A way along an outline at the least: onto it, along it, off it. */
const LEAST_MOVES = 3;

/** Called where the compensation must be off and is not; false where no move before can have been meant to lead out. */
export function switchOffLate(trace: Trace): boolean {
  const { actions, findings, state } = trace;
  if (state.side === null) return false;
  const last = actions.findLastIndex((a) => a.kind === "feed");
  const out = actions[last];
  if (
    out?.kind !== "feed" ||
    out.segment.kind !== "line" ||
    distance(out.segment.start, out.segment.end) <= SAME_POINT ||
    runUnder(actions, last) < LEAST_MOVES
  )
    return false;
  actions[last] = { ...out, compensation: null };
  state.side = null;
  findings.push(
    textFinding(
      "program/compensation-kept",
      "error",
      out.line,
      state.feedColumn,
      "G40 is missing: this is the last move before the wire is cut, a G00, or another G41 or G42, and the compensation is still on; read as if G40 stood in this block",
    ),
  );
  return true;
}

/** Feeds up to one, all with its compensation and of one thread. */
function runUnder(actions: readonly Action[], last: number): number {
  let count = 0;
  const of = (actions[last] as Action & { kind: "feed" }).compensation;
  for (let k = last; k >= 0; k--) {
    const a = actions[k] as Action;
    if (a.kind === "thread" || a.kind === "cut-wire") break;
    if (a.kind !== "feed") continue;
    if (
      of === null ||
      a.compensation?.side !== of.side ||
      a.compensation.register !== of.register
    )
      break;
    if (++count === LEAST_MOVES) break;
  }
  return count;
}

/** Another side or register is called while one is in force: the way before has ended without G40. */
export function changedLate(
  { events, register: called }: BlockWords,
  trace: Trace,
): void {
  const { side, register } = trace.state;
  const next = events.has("compensationLeft")
    ? "left"
    : events.has("compensationRight")
      ? "right"
      : null;
  if (side === null || next === null) return;
  if (next !== side || (called && called.value !== register))
    switchOffLate(trace);
}

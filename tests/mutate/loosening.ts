/** Who is there when a piece comes loose by the visits, and what the wire does after that. */
import { lengthOf } from "../acceptance/plane.js";
import type { Told } from "./difference.js";
import {
  type Deeds,
  nearestOf,
  SAME_PASS,
  STEP,
  type Visit,
} from "./visits.js";

export const names = (comment: string, id: string): boolean =>
  new RegExp(`(^|[^\\w-])${id}($|[^\\w-])`).test(comment);

/** mm of skimming beside a loose piece in the thread that freed it, from which it is a fault beyond doubt. */
const SKIMMED_LOOSE = 2;

/** mm of burning after which nobody who was called to a stop still stands there. */
const GONE = 100;

export function people(
  id: string,
  own: readonly number[],
  b: Deeds,
  tell: Told,
): void {
  const freed = freedAt(own, b);
  if (freed === null) return;
  const stops = b.replay.stops.filter(
    (s) => !s.optional && names(s.comment, id),
  );
  const before = stops.filter((s) => s.line < freed).at(-1);
  const other = Math.max(
    0,
    ...b.own
      .map((places) => freedAt(places, b))
      .filter((line): line is number => line !== null && line < freed),
  );
  if (before && before.line < other)
    tell(
      "stop early",
      `${id} comes loose at line ${freed}, and another piece in line ${other} after its stop`,
      id,
    );
  if (!before) tell("unattended", `${id} comes loose at line ${freed}`, id);
  else {
    const freeing = b.replay.threadings.findLast((t) => t.line < freed);
    const burnt = b.replay.threadings
      .filter((t) => t.line > before.line && t.line < (freeing?.line ?? 0))
      .flatMap((t) => t.moves)
      .reduce((sum, m) => sum + lengthOf(m.piece), 0);
    if (burnt > GONE)
      tell(
        "stop early",
        `${id} comes loose at line ${freed}, ${burnt.toFixed(0)} mm after its stop`,
        id,
      );
  }
  const next =
    b.replay.threadings.find((t) => t.line > freed)?.line ??
    Number.POSITIVE_INFINITY;
  const again = own.filter((k) => {
    const visits = b.visits[k] as Visit[];
    const until = nearestOf(visits.filter((v) => v.line <= freed));
    return visits.some(
      (v) => v.line > freed && v.line < next && v.nearest < until - SAME_PASS,
    );
  }).length;
  if (again * STEP > SKIMMED_LOOSE)
    tell(
      "cuts on",
      `${id}, freed at line ${freed}, is skimmed before line ${next}`,
      id,
    );
  else if (again > 0)
    tell("slight", `${id} is skimmed a little when it is loose`);
  if (next === Number.POSITIVE_INFINITY) return;
  let back = Number.POSITIVE_INFINITY;
  for (const k of own)
    for (const { line } of b.visits[k] as Visit[])
      if (line > next && line < back) back = line;
  const thread = b.replay.threadings.findLast((t) => t.line < back)?.line ?? 0;
  if (
    back < Number.POSITIVE_INFINITY &&
    !stops.some((s) => s.line > freed && s.line < thread)
  )
    tell(
      "in the way",
      `the wire is back at ${id} at line ${back}, freed at line ${freed}`,
      id,
    );
}

/** An outline in a piece is cut after the piece came loose. */
export function inLoosePiece(
  features: readonly { readonly id: string; readonly parent: string | null }[],
  n: number,
  b: Deeds,
  tell: Told,
): void {
  const { id, parent } = features[n] as (typeof features)[number];
  const around = features.findIndex((f) => f.id === parent);
  if (around < 0) return;
  const freed = freedAt(b.own[around] as number[], b);
  const thread = b.replay.threadings.find((t) => t.line > (freed ?? 0));
  const last = Math.max(
    0,
    ...(b.own[n] as number[]).flatMap((k) =>
      (b.visits[k] as Visit[]).map((v) => v.line),
    ),
  );
  if (freed !== null && thread && last > thread.line)
    tell(
      "in the way",
      `${id} is cut at line ${last}, ${parent} is loose since line ${freed}`,
      id,
    );
}

/** The line with which the wire has been all round an outline; null when it never was. */
export function freedAt(own: readonly number[], d: Deeds): number | null {
  let line = 0;
  for (const k of own) {
    const first = (d.visits[k] as Visit[])[0];
    if (!first) return null;
    line = Math.max(line, first.line);
  }
  return own.length > 0 ? line : null;
}

/** Pieces that come loose, looked at closely on a raster. */
import { loosened } from "../acceptance/material.js";
import {
  boundsOf,
  boundsOfAll,
  grown,
  type Piece,
} from "../acceptance/plane.js";
import type { Replay } from "../acceptance/replay.js";
import type { GoodProgram } from "./good-programs.js";
import { movesOf, outlinesOf } from "./visits.js";

/** mm round a change in which chips are looked for. */
const LOOK_ROUND = 1;

/** Looked at closely round what one program does and the other does not. */
export function freesMore(
  good: GoodProgram,
  before: Replay,
  now: Replay,
): boolean {
  const key = (m: { piece: Piece }): string => JSON.stringify(m.piece);
  const [was, is] = [before, now].map((r) => new Set(movesOf(r).map(key)));
  const changed = [
    ...movesOf(now).filter((m) => !was?.has(key(m))),
    ...movesOf(before).filter((m) => !is?.has(key(m))),
  ];
  if (changed.length === 0) return false;
  const window = grown(
    boundsOfAll(changed.map((m) => boundsOf(m.piece))),
    LOOK_ROUND,
  );
  const { wire, passes } = good.job;
  const kerf = wire.diameter / 2 + (passes[0]?.gap as number);
  const pieces = (r: Replay): number =>
    loosened(
      window,
      r.threadings.map((t) => t.moves.map((m) => m.piece as Piece)),
      kerf,
      [],
      false,
    ).length;
  return pieces(now) > pieces(before);
}

export function freesEarly(
  good: GoodProgram,
  r: Replay,
  surely: boolean,
  web: number,
): boolean {
  const { wire, passes } = good.job;
  const kerf = wire.diameter / 2 + (passes[0]?.gap as number) + web / 2;
  return good.layout.features.some((f, n) => {
    const window = grown(
      boundsOfAll((outlinesOf(good)[n] as Piece[]).map(boundsOf)),
      2,
    );
    const stop = r.stops.find((s) => !s.optional && s.comment.includes(f.id));
    const cut = movesOf(r)
      .filter((m) => m.line < (stop?.line ?? Number.POSITIVE_INFINITY))
      .map((m) => m.piece);
    return loosened(window, [cut], kerf, [], surely).length > 0;
  });
}

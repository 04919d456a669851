/**
 * Slits as the proof sees them: the drawn line, and the straight way on from an end that lies open. A move that keeps to
 * them all along cuts the slit; the strip it clears, a rough's kerf wide, is what the drawing asks for and no gouge.
 */
import type { Finding } from "../base/finding.js";
import { fixed, placeText } from "../base/numbers.js";
import { AT_EDGE, FOLLOWING, MAX_GOUGE, SLIVER } from "../base/tolerance.js";
import {
  line,
  type Segment,
  segmentBox,
  segmentLength,
  tangentAt,
} from "../geometry/segment.js";
import { along, distance, negate, pair, type Vec } from "../geometry/vec.js";
import type { Slit } from "../plan/feature.js";
import type { Job, Pass } from "../plan/job/job.js";
import { type Path, traceTolerance } from "./coverage.js";
import type { Move } from "./follow.js";
import {
  type BoxIndex,
  clearanceAt,
  type Edge,
  type Ground,
  indexOf,
  regionAt,
} from "./ground.js";
import { pointTo } from "./measure.js";
import {
  stretchesWithin,
  stretchLength,
  union,
  WHOLE,
  without,
  xAt,
  yAt,
} from "./stretches.js";

/** The lines of all slits, found by place. */
export interface SlitLines {
  readonly slits: readonly Slit[];
  /** mm: half the width, wire radius and the rough's gap. */
  readonly half: number;
  readonly segments: readonly Segment[];
  /** Of each segment its slit, and whether it is only the way on from an end. */
  readonly of: readonly { readonly slit: number; readonly wayOn: boolean }[];
  readonly index: BoxIndex;
}

export function slitLines(ground: Ground, job: Job): SlitLines {
  const { slits } = ground.layout;
  const half = job.wire.diameter / 2 + (job.passes[0] as Pass).gap;
  const own = slits.flatMap(({ contour }, slit) => {
    const first = contour.segments[0] as Segment;
    const last = contour.segments.at(-1) as Segment;
    return [
      ...contour.segments.map((segment) => ({ segment, slit, wayOn: false })),
      ...[
        ...wayOn(first.start, negate(tangentAt(first, 0)), half, ground, job),
        ...wayOn(last.end, tangentAt(last, 1), half, ground, job),
      ].map((segment) => ({ segment, slit, wayOn: true })),
    ];
  });
  const segments = own.map((o) => o.segment);
  return { slits, half, segments, of: own, index: indexOf(segments) };
}

/** mm between looks along the way on, and how far it is looked. */
const STEP = 0.05;
const FARTHEST = 60;

/** Straight on from an end until kept metal, or, once clear of the edge it leaves, another edge comes near. */
function wayOn(
  at: Vec,
  out: Vec,
  half: number,
  ground: Ground,
  job: Job,
): Segment[] {
  let end = 0;
  let clear = false;
  for (let far = AT_EDGE; far <= FARTHEST; far += STEP) {
    const p = along(at, out, far);
    if (!isOpen(p, ground, job)) break;
    if (clearanceAt(ground, p, half) >= half) clear = true;
    else if (clear) break;
    end = far;
  }
  return end > 0 ? [line(at, along(at, out, end))] : [];
}

/** Nothing that is kept: waste, air, or a drawn hole. */
function isOpen(p: Vec, ground: Ground, { startHoles, wire }: Job): boolean {
  return (
    regionAt(ground, p) !== "kept" ||
    ground.layout.holes.some(
      (h) =>
        distance(h.at, p) <=
        (h.diameter ?? startHoles.diameter ?? wire.diameter) / 2,
    )
  );
}

/** Of each move of one thread the slit it cuts. A way on counts only in a thread that cuts its slit. */
export function slitsFollowed(
  moves: readonly Segment[],
  lines: SlitLines,
): readonly (number | null)[] {
  if (lines.slits.length === 0) return moves.map(() => null);
  const keeps = (move: Segment, wayOn: boolean): number[] => {
    const by = new Map<number, Segment[]>();
    for (const k of lines.index.near(segmentBox(move), FOLLOWING)) {
      const of = lines.of[k] as SlitLines["of"][number];
      if (of.wayOn && !wayOn) continue;
      const segment = lines.segments[k] as Segment;
      by.set(of.slit, [...(by.get(of.slit) ?? []), segment]);
    }
    return [...by]
      .filter(([, segments]) => {
        const near = segments.flatMap((s) =>
          stretchesWithin(move, s, FOLLOWING),
        );
        // Of a move shorter than a sliver all could be away from the line.
        return (
          near.length > 0 &&
          stretchLength(move, without([WHOLE], union(near))) <= SLIVER
        );
      })
      .map(([slit]) => slit);
  };
  const cut = new Set(moves.flatMap((m) => keeps(m, false)));
  return moves.map((m) => keeps(m, true).find((slit) => cut.has(slit)) ?? null);
}

/** Does a place lie on the line of a slit, or on its way on? */
export function isOnSlit(p: Vec, slit: number, lines: SlitLines): boolean {
  return lines.segments.some(
    (s, k) => lines.of[k]?.slit === slit && pointTo(s, p.x, p.y) <= FOLLOWING,
  );
}

export interface SlitCheck {
  readonly slit: number;
  /** mm of the line, and of what the wire's centre ran along. */
  readonly long: number;
  readonly reached: number;
  readonly findings: readonly Finding[];
}

/** Was each slit cut from end to end, and does none take away an edge that it only passes by? */
export function checkSlits(
  lines: SlitLines,
  path: Path,
  ground: Ground,
  job: Job,
): SlitCheck[] {
  return lines.slits.map((slit, k) => {
    const { long, missed, at } = missedOf(slit, k, path, job);
    return {
      slit: k,
      long,
      reached: long - missed,
      findings: [
        ...(at ? [missing(slit, missed, long, at)] : []),
        ...grazed(slit, k, lines, ground),
      ],
    };
  });
}

function missedOf({ contour }: Slit, k: number, path: Path, job: Job) {
  const tolerance = traceTolerance(job);
  let long = 0;
  let missed = 0;
  let at: Vec | null = null;
  for (const s of contour.segments) {
    const runs = path.index
      .near(segmentBox(s), tolerance)
      .map((m) => path.moves[m] as Move)
      .filter((m) => m.slit === k)
      .flatMap((m) => stretchesWithin(s, m.segment, tolerance));
    const rest = without([WHOLE], union(runs));
    const left = stretchLength(s, rest);
    long += segmentLength(s);
    const [first] = rest;
    if (left <= SLIVER || !first) continue;
    missed += left;
    const t = (first.from + first.to) / 2;
    at ??= { x: xAt(s, t), y: yAt(s, t) };
  }
  return { long, missed, at };
}

function missing(slit: Slit, missed: number, long: number, at: Vec): Finding {
  const where = pair(at);
  const all = missed > 0.99 * long;
  return {
    code: "proof/slit-missing",
    severity: "error",
    message: `${slit.id}: ${all ? "the wire never runs along it" : `the wire leaves out ${fixed(missed, 4)} mm of its line of ${fixed(long, 4)} mm, beginning`} about ${placeText(where)}; the wire's centre has to run on the line from end to end`,
    where,
    feature: slit.id,
  };
}

/** How far (in half widths) from where a slit crosses an edge it may come near that edge: a crossing at 18°. */
const ABOUT_CROSSING = 3.2;

/** An edge within half the width of the line, where the line crosses it nowhere about. */
function grazed(
  slit: Slit,
  k: number,
  { segments, of, half }: SlitLines,
  ground: Ground,
): Finding[] {
  const lines = segments.filter((_, i) => of[i]?.slit === k);
  const crossings = lines.flatMap((s) =>
    ground.index.near(segmentBox(s), AT_EDGE).flatMap((e) => {
      const { segment, feature } = ground.edges[e] as Edge;
      return stretchesWithin(segment, s, FOLLOWING).map(({ from, to }) => {
        const t = (from + to) / 2;
        return { feature, at: { x: xAt(segment, t), y: yAt(segment, t) } };
      });
    }),
  );
  for (const s of slit.contour.segments)
    for (const e of ground.index.near(segmentBox(s), half)) {
      const { segment, feature } = ground.edges[e] as Edge;
      for (const near of stretchesWithin(segment, s, half - MAX_GOUGE)) {
        const about = crossings
          .filter((c) => c.feature === feature)
          .flatMap(({ at }) =>
            stretchesWithin(segment, line(at, at), ABOUT_CROSSING * half),
          );
        const taken = without([near], union(about));
        const [first] = taken;
        if (!first || stretchLength(segment, taken) <= SLIVER) continue;
        const t = (first.from + first.to) / 2;
        const where = pair({ x: xAt(segment, t), y: yAt(segment, t) });
        return [
          {
            code: "proof/slit-gouge",
            severity: "error",
            message: `${slit.id} passes ${ground.layout.features[feature]?.id ?? "an edge"} at ${placeText(where)} nearer than half its width (${fixed(half, 4)} mm) without running into it: its kerf takes the finished edge there; move the line off`,
            where,
            feature: slit.id,
          },
        ];
      }
    }
  return [];
}

/** One slit → its cut: where the wire is threaded, along the line once, out where the line runs out of the metal. */
import type { Finding } from "../base/finding.js";
import { placeText, trimmed } from "../base/numbers.js";
import { AT_EDGE, SAME_POINT } from "../base/tolerance.js";
import { contourLength, reverseContour } from "../geometry/contour.js";
import { line, type Segment } from "../geometry/segment.js";
import {
  along,
  distance,
  dot,
  left,
  pair,
  sub,
  type Vec,
} from "../geometry/vec.js";
import type { DrawnHole, Slit } from "./feature.js";
import { roomFor } from "./hole-room.js";
import { type Job, roughKerf } from "./job.js";
import { holeSizes, wanderIn } from "./job-start-holes.js";
import type { Cut, PlannedSlit, StartHole } from "./plan.js";
import { entryFindings } from "./plan-findings.js";
import {
  beyond,
  type LineEnd,
  lineEnds,
  type Region,
  regionOf,
} from "./slit-ground.js";
import {
  crossedOpening,
  freedPieces,
  holdersOf,
  tooClose,
} from "./slit-pieces.js";
import type { Surroundings } from "./surroundings.js";

export interface SlitPlan {
  readonly slit: PlannedSlit;
  readonly cut: Cut;
  /** Opening whose slug has to be out before: the wire is threaded there, or runs right through. */
  readonly after: string | null;
  /** Parts and openings in whose kept metal it runs; null: the block. */
  readonly holders: readonly (string | null)[];
}

export interface SlitPlans {
  readonly planned: readonly SlitPlan[];
  readonly findings: readonly Finding[];
}

export function planSlits(around: Surroundings, job: Job): SlitPlans {
  const { layout } = around;
  const plans = layout.slits.map((slit) => planSlit(slit, around, job));
  return {
    planned: plans.flatMap((p) => p.planned),
    findings: [
      ...plans.flatMap((p) => p.findings),
      ...tooClose(layout, job),
      ...freedPieces(layout, job),
    ],
  };
}

/** Where a slit may begin. */
interface Begin {
  /** 0: where the line is drawn from, 1: where it is drawn to. */
  readonly end: number;
  readonly hole: StartHole;
  readonly after: string | null;
  /** The least is taken. */
  readonly rank: number;
  readonly findings: readonly Finding[];
}

/** Least trouble first: a hole that is there, a slug that is out, the open, a hole in waste, a hole in what is kept. */
const RANKS = { drawn: 0, opening: 1, air: 2, waste: 3, own: 4 } as const;

function planSlit(
  slit: Slit,
  around: Surroundings,
  job: Job,
): { readonly planned: readonly SlitPlan[]; readonly findings: Finding[] } {
  const { layout } = around;
  const holders = holdersOf(layout, slit);
  if (holders.length === 0) return { planned: [], findings: [inWaste(slit)] };
  const ends = lineEnds(slit.contour);
  const wish = job.features[slit.id]?.startHole ?? null;
  const begins = wish
    ? byHand(slit, ends, wish, around, job)
    : ends.flatMap((end, i) => beginsAt(slit, end, i, around, job));
  const begin = begins.reduce<Begin | null>(
    (a, b) => (a && a.rank <= b.rank ? a : b),
    null,
  );
  if (!begin)
    return {
      planned: [],
      findings: [wish ? refused(slit, wish, job) : noStart(slit, job)],
    };
  const contour = begin.end === 0 ? slit.contour : reverseContour(slit.contour);
  const [start, end] = lineEnds(contour);
  const out = runOut(end, around, job);
  const path = [
    ...contour.segments,
    ...(out > 0 ? [line(end.at, along(end.at, end.out, out))] : []),
  ];
  const to = (path.at(-1) as Segment).end;
  return {
    planned: [
      {
        slit: {
          ...slit,
          startHole: begin.hole,
          length: contourLength(slit.contour),
          width: roughKerf(job),
        },
        cut: {
          kind: "cut",
          feature: slit.id,
          attended: false,
          thread: begin.hole.at,
          lead: [],
          strokes: [
            {
              pass: 1,
              stretch: "slit",
              direction: "along",
              side: "left",
              from: start.at,
              path,
              outline: [],
              to,
            },
          ],
        },
        after: begin.after ?? crossedOpening(layout, slit),
        holders,
      },
    ],
    findings: [...begin.findings],
  };
}

function beginsAt(
  slit: Slit,
  end: LineEnd,
  i: number,
  around: Surroundings,
  job: Job,
): Begin[] {
  const { layout } = around;
  const half = roughKerf(job) / 2;
  const drawn = layout.holes.flatMap((h) => drawnBegin(end, i, h, job));
  const region = beyond(layout, end);
  const inTheOpen = (room: number, rank: number): Begin[] => {
    const at = outward(end, region, room, half, around);
    return at
      ? [
          {
            end: i,
            hole: { at, diameter: 0, drawn: false },
            after:
              region.kind === "opening" ? (region.feature?.id ?? null) : null,
            rank,
            findings: [],
          },
        ]
      : [];
  };
  switch (region.kind) {
    case "opening":
      return [...drawn, ...inTheOpen(half + THREAD_ROOM, RANKS.opening)];
    case "air":
      return [...drawn, ...inTheOpen(half + IN_THE_OPEN, RANKS.air)];
    case "waste":
      return [...drawn, ...inWasteHole(slit, end, i, region, around, job)];
    case "kept":
      return [...drawn, ...ownHole(slit, end, i, around, job, RANKS.own)];
  }
}

/** mm of air about the rough's kerf where the wire is threaded in an opening that is cut, and beside the block. Common practice. */
const THREAD_ROOM = 0.2;
const IN_THE_OPEN = 1;

/** A hole that the line's end lies in: threaded on the line or its way on, as near to the middle as that goes. */
function drawnBegin(
  { at, out }: LineEnd,
  end: number,
  hole: DrawnHole,
  job: Job,
): Begin[] {
  const diameter = hole.diameter ?? (holeSizes(job)[0] as number);
  if (distance(at, hole.at) > diameter / 2 + AT_EDGE) return [];
  const thread = along(at, out, Math.max(0, dot(sub(hole.at, at), out)));
  const play =
    hole.diameter === null ? AT_EDGE : (hole.diameter - job.wire.diameter) / 2;
  if (distance(thread, hole.at) > play - SAME_POINT) return [];
  return [
    {
      end,
      hole: { at: thread, diameter, drawn: true },
      after: null,
      rank: RANKS.drawn,
      findings: [],
    },
  ];
}

/** mm from place to place on the way out of a line's end, and how far at most. */
const STEP = 0.05;
const FARTHEST = 50;

/**
 * The first place straight on from the end with `room` to every edge, without leaving the region it comes into, and
 * without nearing another edge once it is clear of the one it crosses.
 */
function outward(
  { at, out }: LineEnd,
  region: Region,
  room: number,
  half: number,
  { layout, edges }: Surroundings,
): Vec | null {
  let clear = false;
  for (let far = 0; far <= FARTHEST; far += STEP) {
    const p = along(at, out, far);
    const here = regionOf(layout, p);
    const inside =
      here.kind === region.kind && here.feature?.id === region.feature?.id;
    if (far > 0 && !inside) return null;
    const off = edges.nearest(p)?.distance ?? Number.POSITIVE_INFINITY;
    if (inside && off >= room) return p;
    if (off >= half) clear = true;
    else if (clear) return null;
  }
  return null;
}

/** Straight on in the waste about a part, where a hole takes nothing that is kept. */
function inWasteHole(
  slit: Slit,
  end: LineEnd,
  i: number,
  region: Region,
  around: Surroundings,
  job: Job,
): Begin[] {
  const wander = wanderIn(job);
  for (const diameter of holeSizes(job)) {
    const room = roomFor(diameter, job, wander);
    const at = outward(end, region, room, roughKerf(job) / 2, around);
    if (!at) continue;
    const hole = { at, diameter, drawn: false };
    return [
      {
        end: i,
        hole,
        after: null,
        rank: RANKS.waste,
        findings: entryFindings(slit, { hole, grid: 0 }, around, job),
      },
    ];
  }
  return [];
}

/** At the very end of the line, in what is kept: the largest drill that leaves the clearance to every edge. */
function ownHole(
  slit: Slit,
  { at }: LineEnd,
  i: number,
  around: Surroundings,
  job: Job,
  rank: number,
): Begin[] {
  const room = around.edges.nearest(at)?.distance ?? Number.POSITIVE_INFINITY;
  const { clearance } = job.startHoles;
  const fits = (wander: number) =>
    holeSizes(job).find((d) => d / 2 + clearance + wander <= room);
  const diameter = fits(wanderIn(job)) ?? fits(0);
  if (diameter === undefined) return [];
  const hole = { at, diameter, drawn: false };
  const where = pair(at);
  const width = roughKerf(job);
  return [
    {
      end: i,
      hole,
      after: null,
      rank,
      findings: [
        ...entryFindings(slit, { hole, grid: 0 }, around, job),
        ...(rank === RANKS.own && diameter > width
          ? [
              {
                code: "slit/own-hole",
                severity: "warning" as const,
                message: `${slit.id} begins in kept metal: a start hole of ${trimmed(diameter, 3)} mm is planned at its end, ${placeText(where)}, and stays there, wider than the slit of ${trimmed(width, 3)} mm. Draw the hole you want on startHoles.layer, put it at the other end with features.${slit.id}.startHole, or draw the slit on into an opening or out of the block`,
                where,
                feature: slit.id,
              },
            ]
          : []),
      ],
    },
  ];
}

/** At the end of the line that the job names, and nowhere else; a hole in what is kept is then as it was asked for. */
function byHand(
  slit: Slit,
  ends: readonly LineEnd[],
  wish: Vec,
  around: Surroundings,
  job: Job,
): Begin[] {
  const i = ends.findIndex((e) => distance(e.at, wish) <= AT_EDGE);
  const end = ends[i];
  if (!end) return [];
  return [
    ...beginsAt(slit, end, i, around, job).filter((b) => b.rank < RANKS.own),
    ...ownHole(slit, end, i, around, job, RANKS.waste),
  ];
}

/**
 * mm that the wire runs on past an open end, until the slit's two walls are both out of the metal: more than nothing
 * where the edge there is round or slants.
 */
function runOut(end: LineEnd, { layout }: Surroundings, job: Job): number {
  if (beyond(layout, end).kind === "kept") return 0;
  const half = roughKerf(job) / 2;
  const isOut = (p: Vec): boolean => regionOf(layout, p).kind !== "kept";
  const most = MOST_RUN_OUT * half;
  for (let far = 0; far <= most; far += STEP) {
    const at = along(end.at, end.out, far);
    if (far > 0 && !isOut(at)) return Math.max(0, far - STEP);
    if (
      isOut(along(at, left(end.out), half)) &&
      isOut(along(at, left(end.out), -half))
    )
      return far;
  }
  return most;
}

/** Half widths of the slit: an edge that slants by 70° still is run out of. */
const MOST_RUN_OUT = 3;

function inWaste(slit: Slit): Finding {
  const where = pair(lineEnds(slit.contour)[0].at);
  return {
    code: "slit/in-waste",
    severity: "error",
    message: `${slit.id} at ${placeText(where)} runs through nothing that is kept: check the roles of the layers, or leave it out with features.${slit.id}.role "ignore"`,
    where,
    feature: slit.id,
  };
}

function noStart(slit: Slit, job: Job): Finding {
  const where = pair(lineEnds(slit.contour)[0].at);
  const least = holeSizes(job).at(-1) ?? 0;
  return {
    code: "slit/no-start",
    severity: "error",
    message: `${slit.id} at ${placeText(where)}: at neither end can the wire be threaded: a hole of ${trimmed(least, 3)} mm wants ${trimmed(least / 2 + job.startHoles.clearance, 3)} mm to every edge, and no way straight on leads into an opening or out of the block with room to thread in. Draw a hole at an end on startHoles.layer, or draw the line on into an opening`,
    where,
    feature: slit.id,
  };
}

function refused(slit: Slit, wish: Vec, job: Job): Finding {
  const [start, end] = lineEnds(slit.contour).map((e) => placeText(pair(e.at)));
  const least = holeSizes(job).at(-1) ?? 0;
  return {
    code: "start-hole/refused",
    severity: "error",
    message: `${slit.id}: its start hole cannot be at ${placeText(pair(wish))}, where features.${slit.id}.startHole puts it: a slit begins at one of its ends, ${start} or ${end}, and a hole of ${trimmed(least, 3)} mm wants ${trimmed(least / 2 + job.startHoles.clearance, 3)} mm to every edge there`,
    where: pair(wish),
    feature: slit.id,
  };
}

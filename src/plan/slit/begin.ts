/** Where the wire may be threaded for a slit. Lengths mm. */
import type { Finding } from "../../base/finding.js";
import { placeText, trimmed } from "../../base/numbers.js";
import { AT_EDGE, SAME_POINT } from "../../base/tolerance.js";
import { distanceToSegment } from "../../geometry/distance.js";
import {
  along,
  distance,
  dot,
  pair,
  sub,
  type Vec,
} from "../../geometry/vec.js";
import { roomFor } from "../entry/hole-room.js";
import type { Slit } from "../feature.js";
import { type Job, roughKerf } from "../job/job.js";
import { holeSizes, wanderIn } from "../job/start-holes.js";
import type { StartHole } from "../plan.js";
import { entryFindings } from "../plan-findings.js";
import type { Surroundings } from "../surroundings.js";
import {
  aroundHolders,
  beyond,
  type LineEnd,
  lineEnds,
  type Region,
  regionOf,
} from "./ground.js";

/** Where a slit may begin. */
export interface Begin {
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

/** A slit, and what a hole for it has to mind. */
export interface SlitSite {
  readonly slit: Slit;
  readonly around: Surroundings;
  readonly job: Job;
  /** Drawn in the block, or planned for parts and for the slits before this one. */
  readonly holes: readonly StartHole[];
  /** Features in whose kept metal it runs; null: the block. */
  readonly holders: readonly (string | null)[];
}

/** All holes that are drawn: where one has no size, the job's. */
export function holesDrawn({ layout }: Surroundings, job: Job): StartHole[] {
  const [usual] = holeSizes(job);
  return layout.holes.map(({ at, diameter }) => ({
    at,
    diameter: diameter ?? (usual as number),
    drawn: true,
  }));
}

/**
 * Where the wire may be threaded: at either end; or at the one that the job names and nowhere else, and a hole in what is kept
 * is then as it was asked for.
 */
export function beginsOf(site: SlitSite, wish: Vec | null): Begin[] {
  return lineEnds(site.slit.contour).flatMap((end, i) => {
    if (!wish) return beginsAt(site, end, i);
    if (distance(end.at, wish) > AT_EDGE) return [];
    return [
      ...beginsAt(site, end, i).filter((b) => b.rank < RANKS.own),
      ...ownHole(site, end, i, RANKS.waste),
    ];
  });
}

/**
 * mm from a place to the nearest edge, hole, or kerf of another slit: of one that runs through the place itself, a hole there
 * takes nothing that the slit leaves.
 */
function roomAt({ slit, around, job, holes }: SlitSite, at: Vec): number {
  const half = roughKerf(job) / 2;
  const slits = around.layout.slits
    .filter((s) => s.id !== slit.id)
    .map(({ contour }) =>
      Math.min(
        ...contour.segments.map((s) => distanceToSegment(s, at.x, at.y)),
      ),
    )
    .filter((off) => off > half);
  return Math.min(
    around.edges.nearest(at)?.distance ?? Number.POSITIVE_INFINITY,
    ...slits.map((off) => off - half),
    ...holes.map((h) => distance(h.at, at) - h.diameter / 2),
  );
}

function beginsAt(site: SlitSite, end: LineEnd, i: number): Begin[] {
  const { around, job } = site;
  const half = roughKerf(job) / 2;
  const drawn = inHoles(site, end, i);
  const region = beyond(around.layout, end);
  const inTheOpen = (room: number, rank: number): Begin[] => {
    const edge = (p: Vec): number =>
      around.edges.nearest(p)?.distance ?? Number.POSITIVE_INFINITY;
    const at = outward(end, region, room, half, around, edge);
    const after =
      region.kind === "opening" ? (region.feature?.id ?? null) : null;
    return at
      ? [begin(i, { at, diameter: 0, drawn: false }, rank, [], after)]
      : [];
  };
  const slugStands = aroundHolders(around.layout, site.holders).some(
    (o) => o.id === region.feature?.id,
  );
  switch (slugStands ? "waste" : region.kind) {
    case "opening":
      return [...drawn, ...inTheOpen(half + THREAD_ROOM, RANKS.opening)];
    case "air":
      return [...drawn, ...inTheOpen(half + IN_THE_OPEN, RANKS.air)];
    case "waste":
      return [...drawn, ...inWasteHole(site, end, i, region)];
    case "kept":
      return [...drawn, ...ownHole(site, end, i, RANKS.own)];
  }
}

const begin = (
  end: number,
  hole: StartHole,
  rank: number,
  findings: readonly Finding[] = [],
  after: string | null = null,
): Begin => ({ end, hole, after, rank, findings });

/** mm of air about the rough's kerf where the wire is threaded in an opening that is cut, and beside the block. Common practice. */
const THREAD_ROOM = 0.2;
const IN_THE_OPEN = 1;

/** Drawn holes that the line's end lies in: threaded on the line or its way on, as near to the middle as that goes. */
function inHoles(
  { around, job }: SlitSite,
  { at, out }: LineEnd,
  end: number,
): Begin[] {
  return around.layout.holes.flatMap((hole) => {
    const diameter = hole.diameter ?? (holeSizes(job)[0] as number);
    if (distance(at, hole.at) > diameter / 2 + AT_EDGE) return [];
    const thread = along(at, out, Math.max(0, dot(sub(hole.at, at), out)));
    const play =
      hole.diameter === null
        ? AT_EDGE
        : (hole.diameter - job.wire.diameter) / 2;
    if (distance(thread, hole.at) > play - SAME_POINT) return [];
    return [begin(end, { at: thread, diameter, drawn: true }, RANKS.drawn)];
  });
}

/** mm from place to place on the way out of a line's end, and how far at most. */
const STEP = 0.05;
const FARTHEST = 50;

/**
 * The first place straight on from the end with `room` to everything that `off` measures, without leaving the region it
 * comes into, and without nearing another edge once it is clear of the one it crosses.
 */
function outward(
  { at, out }: LineEnd,
  region: Region,
  room: number,
  half: number,
  { layout, edges }: Surroundings,
  off: (p: Vec) => number,
): Vec | null {
  let clear = false;
  for (let far = 0; far <= FARTHEST; far += STEP) {
    const p = along(at, out, far);
    const here = regionOf(layout, p);
    const inside =
      here.kind === region.kind && here.feature?.id === region.feature?.id;
    if (far > 0 && !inside) return null;
    if (inside && off(p) >= room) return p;
    const edge = edges.nearest(p)?.distance ?? Number.POSITIVE_INFINITY;
    if (edge >= half) clear = true;
    else if (clear) return null;
  }
  return null;
}

/** Straight on in the waste about a part, where a hole takes nothing that is kept. */
function inWasteHole(
  site: SlitSite,
  end: LineEnd,
  i: number,
  region: Region,
): Begin[] {
  const { slit, around, job } = site;
  const half = roughKerf(job) / 2;
  for (const diameter of holeSizes(job)) {
    const room = roomFor(diameter, job, wanderIn(job));
    const at = outward(end, region, room, half, around, (p) => roomAt(site, p));
    if (!at) continue;
    const hole = { at, diameter, drawn: false };
    const findings = entryFindings(slit, { hole, grid: 0 }, around, job);
    return [begin(i, hole, RANKS.waste, findings)];
  }
  return [];
}

/** At the very end of the line, in what is kept: the largest drill that leaves the clearance to all about it. */
function ownHole(
  site: SlitSite,
  { at }: LineEnd,
  i: number,
  rank: number,
): Begin[] {
  const { slit, around, job } = site;
  const room = roomAt(site, at);
  const { clearance } = job.startHoles;
  const fits = (wander: number) =>
    holeSizes(job).find((d) => d / 2 + clearance + wander <= room);
  const diameter = fits(wanderIn(job)) ?? fits(0);
  if (diameter === undefined) return [];
  const hole = { at, diameter, drawn: false };
  const stays = rank === RANKS.own && diameter > roughKerf(job);
  return [
    begin(i, hole, rank, [
      ...entryFindings(slit, { hole, grid: 0 }, around, job),
      ...(stays ? [staysThere(slit, hole, job)] : []),
    ]),
  ];
}

function staysThere(
  { id }: Slit,
  { at, diameter }: StartHole,
  job: Job,
): Finding {
  const where = pair(at);
  return {
    code: "slit/own-hole",
    severity: "warning",
    message: `${id} begins in kept metal: a start hole of ${trimmed(diameter, 3)} mm is planned at its end, ${placeText(where)}, and stays there, wider than the slit of ${trimmed(roughKerf(job), 3)} mm. Draw the hole you want on startHoles.layer, put it at the other end with features.${id}.startHole, or draw the slit on into an opening or out of the block`,
    where,
    feature: id,
  };
}

/**
 * Openings whose slug would be too small to keep: one cut with nobody there takes the inside away from the start hole
 * outward (`clearing-path.ts`), then every pass runs once round, with overlap. No tab, no slug, no stop.
 */
import type { Finding } from "../../base/finding.js";
import { placeText, trimmed } from "../../base/numbers.js";
import { contourLength } from "../../geometry/contour.js";
import { deepestPoint, isDeeperThan } from "../../geometry/deepest.js";
import { segmentLength } from "../../geometry/segment.js";
import { distance, pair, type Vec } from "../../geometry/vec.js";
import { type HandPlace, placeByHand, tabsByHand } from "../entry/by-hand.js";
import type { Entry } from "../entry/entry.js";
import { nearestOnGrid } from "../entry/hole-places.js";
import { takesWire } from "../entry/hole-room.js";
import { rankLeadPlaces } from "../entry/lead-places.js";
import { type OutlineProfile, placingScore } from "../entry/placing-score.js";
import {
  goesStraight,
  spotAlong,
  standOffDistance,
  standsClear,
} from "../entry/stand-off.js";
import type { Job } from "../job/job.js";
import { holeSizes, wanderIn } from "../job/start-holes.js";
import type { Cut, StartHole, Stroke } from "../plan.js";
import { kerfDepth, type Slug } from "../slug/slug.js";
import { inWasteOf, type Surroundings } from "../surroundings.js";
import { LAP_OF_ROUND, type TabSpan } from "../tab/tab.js";
import {
  offSpot,
  reachedByAll,
  type Spot,
  type Track,
} from "../track/track.js";
import { COARSE, clearingPath } from "./clearing-path.js";
import { type Arcs, type FeatureCuts, roundStroke } from "./cuts.js";
import { type ArcSide, arcIsClear } from "./lead-arc.js";

export interface CutAway {
  readonly entry: Entry;
  readonly cuts: FeatureCuts;
  /** By which the last pass runs over its own beginning, mm. */
  readonly overlap: number;
}

/**
 * Why the slug of an opening is not to be kept; `null` when it is. A slug thinner than the wire is held by nothing:
 * it tilts in the kerf and shorts the wire (common practice, no source).
 */
export function whyCutAway(
  { track }: OutlineProfile,
  slug: Slug,
  job: Job,
): string | null {
  if (track.feature.role !== "opening") return null;
  const { minSlugArea } = job.tabs;
  const { lightest } = job.process.tabs;
  if (slug.area < minSlugArea)
    return `its slug would be ${trimmed(slug.area, 3)} mm², less than tabs.minSlugArea (${trimmed(minSlugArea, 3)} mm²)`;
  if (slug.area === 0) return "the rough leaves no slug";
  if (slug.mass < lightest)
    return `its slug would weigh ${trimmed(1000 * slug.mass, 3)} g, less than the ${trimmed(1000 * lightest, 3)} g that stand up to the flushing`;
  const { contour } = track;
  // Every shape holds a circle of radius area / perimeter, and a slug's is shorter than its opening's.
  if ((2 * slug.area) / contourLength(contour) >= job.wire.diameter)
    return null;
  const taken = kerfDepth(job);
  if (isDeeperThan(contour, taken + job.wire.diameter / 2)) return null;
  const wide = 2 * (deepestPoint(contour, COARSE).distance - taken);
  return `its slug would be ${trimmed(wide, 3)} mm thin, less than the wire: it would tilt and short`;
}

/** The lead by hand, or places for it from the best on; none where it cannot be as the hand says. */
function leadsFor(
  profile: OutlineProfile,
  around: Surroundings,
  job: Job,
  usual: TabSpan,
): readonly Spot[] {
  const { id } = profile.track.feature;
  const [tab = null] = tabsByHand(id, job, []);
  const hand: HandPlace = placeByHand(profile, around, job, tab, usual);
  if (!hand.ok) return [];
  if (hand.lead) return [hand.lead];
  const { track } = profile;
  const span = Math.max(job.lead.overlap, job.wire.diameter);
  const judge = (lead: Spot) => placingScore(profile, lead, span);
  return rankLeadPlaces({ profile, span, judge, job })
    .map((p) => p.spot)
    .filter((s) => reachedByAll(track, s) && standsClear(track, around, s, job))
    .slice(0, TRIALS);
}

/** How many of the best places for the lead are tried for each hole. */
const TRIALS = 12;

/** `usual`: the tab it would have. `null` where no hole, no lead-in or no way from loop to loop is to be found. */
export function cutAway(
  profile: OutlineProfile,
  self: number,
  around: Surroundings,
  job: Job,
  usual: TabSpan,
): CutAway | null {
  const { track } = profile;
  const overlap = Math.min(job.lead.overlap, LAP_OF_ROUND * profile.round);
  const leads = leadsFor(profile, around, job, usual);
  for (const { hole, grid } of holesIn(profile, self, around, job)) {
    const bored = { at: hole.at, radius: boredRadius(hole, around, job) };
    for (const lead of leads) {
      const start = offSpot(track, lead, standOffDistance(job));
      const inside = clearingPath(track, around, job, bored, start);
      if (!inside) continue;
      const ends = track.passes.map((_, k) =>
        roundEnds(profile, around, lead, overlap, k, job),
      );
      return {
        entry: { hole, lead, grid },
        cuts: cutsAway(track, hole.at, inside, ends, job),
        overlap: ends.at(-1)?.overlap ?? 0,
      };
    }
  }
  return null;
}

/** mm about the middle of a hole that are gone however the drill wandered; 0 where no drawing says that it is there, and how wide. */
function boredRadius(
  hole: StartHole,
  { layout }: Surroundings,
  job: Job,
): number {
  const there = layout.holes.find(({ at }) => distance(at, hole.at) === 0);
  return Math.max(0, (there?.diameter ?? 0) / 2 - wanderIn(job));
}

/** Where a pass once round begins, and where it ends with its overlap. */
interface RoundEnds {
  readonly lead: Spot;
  readonly lap: Spot;
  readonly overlap: number;
  readonly arcs: Arcs;
}

function roundEnds(
  { track, round }: OutlineProfile,
  around: Surroundings,
  first: Spot,
  overlap: number,
  k: number,
  job: Job,
): RoundEnds {
  const further = (from: Spot, way: number) =>
    (way === 0
      ? null
      : spotAlong(track, around, job, from, way, way + round / 4)) ?? {
      spot: from,
      far: 0,
    };
  const most = round / 16 / Math.max(1, job.passes.length - 1);
  const moved = further(first, k * Math.min(job.lead.spread, most)).spot;
  const lead = goesStraight(track, around, first, moved, job) ? moved : first;
  const { spot: lap, far } = further(lead, overlap);
  const clear = (spot: Spot, side: ArcSide): boolean =>
    k > 0 &&
    job.lead.kind === "arc" &&
    arcIsClear(track, around, first, spot, side, job);
  const arcs = { in: clear(lead, "in"), out: clear(lap, "out") };
  return { lead, lap, overlap: far, arcs };
}

/** One cut: the inside, then every pass once round, to and fro. */
function cutsAway(
  track: Track,
  hole: Vec,
  path: Stroke["path"],
  ends: readonly RoundEnds[],
  job: Job,
): FeatureCuts {
  const inside: Stroke = {
    pass: 1,
    stretch: "inside",
    direction: "ccw",
    side: "left",
    from: hole,
    path,
    outline: [],
    to: path.at(-1)?.end ?? hole,
  };
  const rounds = ends.map(({ lead, lap, arcs }, k) =>
    roundStroke(
      track,
      { k, start: lead, end: lap, forward: k % 2 === 0, arcs },
      job,
    ),
  );
  const cut: Cut = {
    kind: "cut",
    feature: track.feature.id,
    attended: false,
    thread: hole,
    lead: [],
    strokes: [
      ...(path.length > 0 ? [inside] : []),
      ...rounds.map((r) => r.stroke),
    ],
  };
  return {
    unattended: [cut],
    attended: [],
    findings: rounds.flatMap((r) => r.findings),
  };
}

/** Holes to try: the one placed by hand, else those drawn, else the largest that fits about the deepest place. */
function holesIn(
  { track }: OutlineProfile,
  self: number,
  around: Surroundings,
  job: Job,
): Omit<Entry, "lead">[] {
  const { clearance, grid } = job.startHoles;
  const wish = job.features[track.feature.id]?.startHole;
  const sizes = holeSizes(job);
  const newHole = (
    at: Vec,
    step: number,
    wander = 0,
  ): Omit<Entry, "lead">[] => {
    const room = (around.edges.nearest(at)?.distance ?? 0) - wander;
    const diameter = sizes.find((d) => d / 2 + clearance <= room);
    return diameter === undefined
      ? []
      : [{ hole: { at, diameter, drawn: false }, grid: step }];
  };
  if (wish) return inWasteOf(around, self, wish) ? newHole(wish, 0) : [];
  const drawn = around.layout.holes
    .filter(
      (h) =>
        inWasteOf(around, self, h.at) && takesWire(h, around.layout.holes, job),
    )
    .map(({ at, diameter }) => ({
      hole: { at, diameter: diameter ?? (sizes[0] as number), drawn: true },
      grid: 0,
    }));
  if (drawn.length > 0) return drawn;
  const { at } = deepestPoint(track.contour, COARSE);
  const steps = [1, 5, 50].map((k) => grid / k);
  return [wanderIn(job), 0].flatMap((wander) =>
    steps.flatMap((step) => newHole(nearestOnGrid(at, step), step, wander)),
  );
}

export function cutAwayFinding(
  { track }: OutlineProfile,
  why: string,
  { entry, cuts }: CutAway,
): Finding {
  const { id } = track.feature;
  const where = pair(entry.hole.at);
  const inside = cuts.unattended
    .flatMap((c) => c.strokes)
    .filter((s) => s.stretch === "inside")
    .flatMap((s) => s.path)
    .reduce((sum, s) => sum + segmentLength(s), 0);
  return {
    code: "slug/cut-away",
    severity: "note",
    message: `${id} at ${placeText(where)}: ${why}; the inside is cut away whole, from the start hole outward (${trimmed(inside, 1)} mm of wire path beside the passes), so nothing comes loose and nobody has to be there`,
    where,
    feature: id,
  };
}

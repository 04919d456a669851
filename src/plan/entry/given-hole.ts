/** Start holes that are there already, drawn on `startHoles.layer`, or placed by hand in the job. */
import type { Finding } from "../../base/finding.js";
import { placeText, trimmed } from "../../base/numbers.js";
import type { Box } from "../../geometry/segment.js";
import { distance, dot, pair, sub, type Vec } from "../../geometry/vec.js";
import { holeSizes, wanderIn } from "../job/start-holes.js";
import type { StartHole } from "../plan.js";
import { leavesOneSlug } from "../slug/one-slug.js";
import { insideKerf, kerfDepth } from "../slug/slug.js";
import { steps } from "../steps.js";
import { inWasteOf } from "../surroundings.js";
import { type Spot, spotNormal, spotPoint } from "../track/track.js";
import { type Entry, LONGEST_SHARED, type Site } from "./entry.js";
import { footOn, type Place } from "./hole-places.js";
import { roomFor, takesWire } from "./hole-room.js";
import { isClear } from "./lead-clear.js";
import { goodPlaces, rankLeadPlaces } from "./lead-places.js";
import { LEAST_WEB } from "./stand-off.js";
import { neighboursHoles, partsBlock } from "./ways-in.js";

/** What a lead from a hole at the other end of the outline is worth less than one from close by; common practice. */
export const FAR_HOLE = 0.25;

/** What a slanting lead is worth less than one that is square to the edge; common practice. */
const SLANTING = 0.15;

/** The best lead from one of the holes that are drawn in this feature's waste, or `null`. */
export function entryFromDrawnHole(site: Site): Entry | null {
  const { around, job } = site;
  const usual = holeSizes(job)[0] as number;
  return bestOf(
    site,
    around.layout.holes.map(({ at, diameter }) => ({
      at,
      diameter: diameter ?? usual,
      drawn: true,
    })),
  );
}

/** The best lead from a hole that is planned for a neighbour, if it is near and as good as from one of its own. */
export function entryFromNeighbour(site: Site): Entry | null {
  const { ways, track, job, around, self } = site;
  if (track.feature.role !== "part") return null;
  const near = LONGEST_SHARED * roomFor(holeSizes(job)[0] as number, job, 0);
  const box = around.boxes[self] as Box;
  const holes = neighboursHoles(
    ways,
    track.feature,
    (h) => !h.drawn && isWithin(box, h.at, near),
  );
  if (holes.length === 0) return null;
  const good = [...goodPlaces(rankLeadPlaces(site))].at(-1)?.score ?? 1;
  return bestOf(
    site,
    holes,
    ({ hole, lead }) =>
      distance(hole, spotPoint(track, lead)) <= near &&
      (site.judge(lead) ?? 0) >= good,
  );
}

function isWithin(b: Box, p: Vec, margin: number): boolean {
  return (
    p.x >= b.minX - margin &&
    p.x <= b.maxX + margin &&
    p.y >= b.minY - margin &&
    p.y <= b.maxY + margin
  );
}

function bestOf(
  site: Site,
  holes: readonly StartHole[],
  goes: (place: Place) => boolean = () => true,
): Entry | null {
  const { self, around, ways, track, job } = site;
  let best: { entry: Entry; worth: number } | null = null;
  for (const hole of holes) {
    if (!inWasteOf(around, self, hole.at)) continue;
    if (partsBlock(ways, track.feature, hole)) continue;
    if (!takesWire(hole, around.layout.holes, job)) continue;
    const found = bestLead(site, hole, goes);
    if (found && (!best || found.worth > best.worth))
      best = { entry: { hole, lead: found.lead, grid: 0 }, worth: found.worth };
  }
  return best?.entry ?? null;
}

export type HandHole =
  | { readonly ok: true; readonly entry: Entry }
  | { readonly ok: false; readonly finding: Finding };

/** The entry from the hole that the job places by hand: there and nowhere else, or the reason why not. */
export function entryFromHandHole(site: Site, at: Vec): HandHole {
  const { track, self, around, job } = site;
  const { id } = track.feature;
  const refused = (reason: string): HandHole => ({
    ok: false,
    finding: {
      code: "start-hole/refused",
      severity: "error",
      message: `${id}: its start hole cannot be at ${placeText(pair(at))}, where features.${id}.startHole puts it: ${reason}`,
      where: pair(at),
      feature: id,
    },
  });
  if (!inWasteOf(around, self, at))
    return refused(
      `that is not in the waste of ${id}; put it ${track.feature.role === "part" ? "outside the part, in the block" : "inside the opening"}`,
    );
  const { clearance } = job.startHoles;
  const room = around.edges.nearest(at)?.distance ?? Number.POSITIVE_INFINITY;
  const sizes = holeSizes(job);
  const fits = (wander: number) =>
    sizes.find((d) => d / 2 + clearance + wander <= room);
  const diameter = fits(wanderIn(job)) ?? fits(0);
  if (diameter === undefined)
    return refused(
      `it is ${trimmed(room, 3)} mm from an edge, and a hole of ${trimmed(sizes.at(-1) ?? 0, 3)} mm wants ${trimmed((sizes.at(-1) ?? 0) / 2 + clearance, 3)} mm (startHoles.clearance ${trimmed(clearance, 3)} mm); move it`,
    );
  const hole = { at, diameter, drawn: false };
  const found = bestLead(site, hole);
  if (!found)
    return refused(
      "no straight lead-in from there meets the outline without nearing another edge, and without the hole cutting the waste in two; move it, or the lead or the tab if they are placed by hand",
    );
  return { ok: true, entry: { hole, lead: found.lead, grid: 0 } };
}

/**
 * The best lead point that a straight way leads to from a hole, square to the outline or slanting by up to 45°, and that
 * leaves the waste in one piece though the hole reach the rough's kerf.
 */
function bestLead(
  site: Site,
  { at: hole, diameter }: StartHole,
  goes: (place: Place) => boolean = () => true,
): { lead: Spot; worth: number } | null {
  const { track, profile, judge, fixed, job, around } = site;
  const ranked = rankLeadPlaces(site);
  const opens = around.edges.anyNearer(
    hole.x,
    hole.y,
    diameter / 2 + LEAST_WEB + kerfDepth(job),
  );
  const body = opens ? insideKerf(track.contour, job) : [];
  const pieces = [...new Set(ranked.map(({ piece }) => piece))];
  const leads = fixed
    ? [fixed]
    : [
        ...pieces.flatMap((piece) => footOn(track, piece, hole) ?? []),
        ...ranked.map(({ spot }) => spot),
      ];
  return (
    leads
      .flatMap((lead) => {
        const edge = spotPoint(track, lead);
        const far = distance(hole, edge);
        const upright = dot(sub(hole, edge), spotNormal(track, lead)) / far;
        const score = judge(lead);
        if (score === null || upright < Math.SQRT1_2) return [];
        const worth =
          score -
          FAR_HOLE * Math.min(1, far / profile.size) -
          (upright < 0.9999 ? SLANTING : 0);
        return [{ lead, worth }];
      })
      .sort((a, b) => steps(b.worth) - steps(a.worth))
      .find(
        ({ lead }) =>
          goes({ hole, lead }) &&
          isClear(site, { hole, lead }, 0) &&
          (!opens || leavesOneSlug(site, body, { hole, lead }, diameter)),
      ) ?? null
  );
}

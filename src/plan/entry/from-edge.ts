/**
 * A part that begins at the block's edge: the wire is threaded in the open, outside the block, and saws its way in
 * square to the outline. Only the first way in may: from the edge a second one would cut the rest of the block in two.
 */
import type { Finding } from "../../base/finding.js";
import { trimmed } from "../../base/numbers.js";
import { SAME_POINT } from "../../base/tolerance.js";
import type { Contour } from "../../geometry/contour.js";
import { contourBox, windingNumber } from "../../geometry/contour.js";
import { distanceToSegment } from "../../geometry/distance.js";
import { intersectSegments } from "../../geometry/intersect.js";
import { line } from "../../geometry/segment.js";
import { along, distance, pair, type Vec } from "../../geometry/vec.js";
import type { Feature, Layout } from "../feature.js";
import { type Job, roughKerf } from "../job/job.js";
import { steps } from "../steps.js";
import {
  type Spot,
  spotNormal,
  spotPoint,
  type Track,
} from "../track/track.js";
import type { Entry, Site } from "./entry.js";
import { FAR_HOLE } from "./given-hole.js";
import { leadsIn } from "./lead-clear.js";
import { rankLeadPlaces } from "./lead-places.js";

/** mm between the wire's sweep and the block's edge where it is threaded. Common practice, no source. */
const IN_THE_OPEN = 1;

/** Does the job want this feature to begin at the block's edge? Parts that lie in a piece of their own have no way there. */
function wantsEdge({ id, role, parent }: Feature, job: Job): boolean {
  const wish = job.features[id];
  // A hole that is placed by hand goes before what holds for all.
  if (wish?.startHole) return false;
  const start = wish?.start ?? job.start;
  return start === "edge" && role === "part" && parent === null;
}

/** Is it to begin there, with the edge drawn? */
export function fromEdgeWanted(
  feature: Feature,
  { stock }: Layout,
  job: Job,
): boolean {
  return stock !== null && wantsEdge(feature, job);
}

/** What a job asks of an edge that is not there, or of features that cannot reach it. */
export function edgeFaults({ features, stock }: Layout, job: Job): Finding[] {
  const impossible = features
    .filter((f) => job.features[f.id]?.start === "edge" && !wantsEdge(f, job))
    .map((f) =>
      refused(
        f,
        f.role === "opening"
          ? "the plate around an opening is kept, and a cut from the edge would open it"
          : `it lies inside ${f.parent}, and the way to the edge would cut through that`,
      ),
    );
  if (stock || !features.some((f) => wantsEdge(f, job))) return impossible;
  return [
    ...impossible,
    {
      code: "start/no-block",
      severity: "error",
      message: `start is "edge", but no outline is the block's: draw its edge and give the layer the role "stock" in roles.layers, or leave start out and drill holes`,
    },
  ];
}

function refused(f: Feature, reason: string): Finding {
  return {
    code: "start/refused",
    severity: "error",
    message: `${f.id} cannot begin at the block's edge, as features.${f.id}.start has it: ${reason}; leave it out`,
    where: pair((f.contour.segments[0] ?? line(ORIGIN, ORIGIN)).start),
    feature: f.id,
  };
}

const ORIGIN: Vec = { x: 0, y: 0 };

export type EdgeEntry =
  /** null: nobody asked for it by name, and there is no way in from the edge. */
  | { readonly ok: true; readonly entry: Entry | null }
  | { readonly ok: false; readonly finding: Finding };

/** The best way in from the edge: a good place for the tab, and not far. */
export function entryFromEdge(site: Site): EdgeEntry {
  const { track, around, profile, judge, fixed, job } = site;
  const { stock } = around.layout;
  const leads = fixed ? [fixed] : rankLeadPlaces(site).map((p) => p.spot);
  const best = leads
    .flatMap((lead) => {
      const score = judge(lead);
      const at =
        score === null || !stock ? null : outside(track, lead, stock, job);
      if (score === null || !at) return [];
      const far = distance(at, spotPoint(track, lead)) / profile.size;
      return [{ lead, at, worth: score - FAR_HOLE * Math.min(1, far) }];
    })
    .sort((a, b) => steps(b.worth) - steps(a.worth))
    .find(({ lead, at }) => leadsIn(site, { hole: at, lead }, around.outlines));
  if (best) {
    const hole = { at: best.at, diameter: 0, drawn: false };
    return { ok: true, entry: { hole, lead: best.lead, grid: 0 } };
  }
  if (job.features[track.feature.id]?.start !== "edge")
    return { ok: true, entry: null };
  return {
    ok: false,
    finding: refused(
      track.feature,
      `no straight way, square to the outline, leads out of the block without nearing another edge, with ${trimmed(IN_THE_OPEN, 2)} mm of air beside it to thread in`,
    ),
  };
}

/** Where the straight way off a spot has left the block, once for all, and the wire stands clear of it. */
function outside(
  track: Track,
  lead: Spot,
  stock: Contour,
  job: Job,
): Vec | null {
  const edge = spotPoint(track, lead);
  const normal = spotNormal(track, lead);
  const box = contourBox(stock);
  const far = Math.hypot(box.maxX - box.minX, box.maxY - box.minY);
  const ray = line(edge, along(edge, normal, far));
  const hits = stock.segments
    .flatMap((s) => intersectSegments(ray, s).map((h) => h.at))
    .filter((p, i, all) =>
      all.slice(0, i).every((q) => distance(p, q) > SAME_POINT),
    );
  const [exit] = hits;
  if (!exit || hits.length > 1) return null;
  const air = roughKerf(job) / 2 + IN_THE_OPEN;
  // Where the edge slants away from the lead, a little farther.
  for (const off of [air, 1.5 * air, 2 * air]) {
    const at = along(exit, normal, off);
    const near = stock.segments.every(
      (s) => distanceToSegment(s, at.x, at.y) >= air - SAME_POINT,
    );
    if (near && windingNumber(stock, at) === 0) return at;
  }
  return null;
}

/**
 * What the roughs of parts cut off the waste around them: pockets behind mouths that a kerf closes, corners of a block whose
 * edge a kerf opens in two places, and what lies between parts so near each other that their kerfs meet.
 */
import type { Finding } from "../../base/finding.js";
import { placeText, trimmed } from "../../base/numbers.js";
import { HOLDING_WEB } from "../../base/tolerance.js";
import {
  areaMoments,
  type Contour,
  contourArea,
  reverseContour,
} from "../../geometry/contour.js";
import {
  loopContour,
  type OffsetLoop,
  offsetLeft,
} from "../../geometry/offset.js";
import { pair } from "../../geometry/vec.js";
import type { Feature, Layout } from "../feature.js";
import { crumbArea, type Job } from "../job/job.js";
import type { PlannedFeature } from "../plan.js";
import type { Planned } from "../plan-feature.js";
import type { Track } from "../track/track.js";
import { kerfDepth } from "./slug.js";

/** One finding, at the largest piece, for each that would come loose with nobody there between the same edges. */
export function partedBlock(
  planned: readonly Planned[],
  { stock }: Layout,
  job: Job,
): Finding[] {
  const parts = planned.filter((p) => p.feature.role === "part");
  const parents = [...new Set(parts.map((p) => p.feature.parent))];
  return parents.flatMap((parent) => {
    const own = parts.filter((p) => p.feature.parent === parent);
    const around = planned.find((p) => p.feature.id === parent);
    return partedWaste(own, around ?? null, stock, job);
  });
}

/** What is left around `parts` once all roughs have gone round, in the opening that holds them or in the block. */
function partedWaste(
  parts: readonly Planned[],
  within: Planned | null,
  stock: Contour | null,
  job: Job,
): Finding[] {
  const tracks = parts.map((p) => p.track);
  const depth = Math.max(
    ...[...tracks, ...(within ? [within.track] : [])].map((t) =>
      kerfDepth({ ...job, passes: t.passes.map((p) => p.pass) }),
    ),
  );
  const d = depth + HOLDING_WEB;
  const rim = within ? within.track.contour : stock && grown(stock, d);
  const holds = within ? within.feature.further.length + 1 : rim ? 1 : 0;
  const loops = offsetLeft(
    [...tracks.map((t) => t.contour), ...(rim ? [rim] : [])],
    d,
  );
  const least = crumbArea(job);
  const pieces = loops
    .map((loop) => ({ loop, area: contourArea(loopContour(loop)) }))
    .filter(({ area }) => area > least)
    .sort((a, b) => b.area - a.area);
  const named = (loop: OffsetLoop): Feature[] =>
    tracks
      .filter((_, i) => loop.segments.some((s) => s.contour === i))
      .map((t) => t.feature);
  const edge = within
    ? `the outline of ${within.feature.id}`
    : "the block's edge";
  const told = new Map<string, Finding>();
  for (const { loop, area } of pieces.slice(holds)) {
    const owners = named(loop);
    const atRim = loop.segments.some((s) => s.contour === tracks.length);
    const finding = cutOff(loop, area, owners, atRim ? edge : null, depth);
    const key =
      finding.code === "part/pocket"
        ? finding.message
        : owners.map((f) => f.id).join();
    if (!told.has(key)) told.set(key, finding);
  }
  return [
    ...told.values(),
    ...(within
      ? []
      : loops.flatMap((loop) => openedTwice(loop, parts, tracks))),
  ];
}

function grown(stock: Contour, d: number): Contour | null {
  const [loop] = offsetLeft([reverseContour(stock)], d);
  return loop ? reverseContour(loopContour(loop)) : null;
}

function cutOff(
  loop: OffsetLoop,
  area: number,
  parts: readonly Feature[],
  edge: string | null,
  depth: number,
): Finding {
  const where = pair(areaMoments(loopContour(loop)).centroid);
  const [part] = parts;
  const about = `${placeText(where)}, ${trimmed(area, 3)} mm²`;
  if (part && parts.length === 1 && edge === null)
    return {
      code: "part/pocket",
      severity: "error",
      message: `${part.id}: its rough closes round the waste in a pocket about ${about}: the mouth is so narrow that the kerfs along its two walls meet, and that waste would come loose with nobody there. Take a thinner wire, or draw the pocket as an opening of its own that leaves out the mouth`,
      where,
      feature: part.id,
    };
  const names = [...parts.map((p) => p.id), ...(edge === null ? [] : [edge])];
  return {
    code: "part/parts-block",
    severity: "error",
    message: `the roughs cut off the waste about ${about}, between ${names.join(" and ")}: their kerfs reach ${trimmed(depth, 3)} mm off the outlines and meet there, and it would come loose with nobody there. Move the parts apart or farther from the edge, take a larger block, or a thinner wire`,
    where,
    ...(part ? { feature: part.id } : {}),
  };
}

/**
 * A part that begins at the block's edge, or several that hang together, open the block once. A kerf that runs out of the
 * block somewhere else, too, parts it.
 */
function openedTwice(
  loop: OffsetLoop,
  parts: readonly Planned[],
  tracks: readonly Track[],
): Finding[] {
  const fromEdge = parts
    .filter((_, i) => loop.segments.some((s) => s.contour === i))
    .map((p) => p.feature)
    .filter((f) => f.startHole.diameter === 0);
  const most = loop.segments.some((s) => s.contour === tracks.length) ? 0 : 1;
  return fromEdge.slice(most).map((f: PlannedFeature) => ({
    code: "part/parts-block",
    severity: "error" as const,
    message: `${f.id} begins at the block's edge at ${placeText(pair(f.startHole.at))}, but its kerf opens that edge in another place as well: the block would come apart with nobody there. Start it from a hole (features.${f.id}.start "hole"), or take a larger block`,
    where: pair(f.startHole.at),
    feature: f.id,
  }));
}

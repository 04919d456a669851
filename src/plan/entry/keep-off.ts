/** Stretches of an outline that the job keeps free of tab and lead-in: `features.<id>.keepOff`. */
import type { Finding } from "../../base/finding.js";
import { placeText } from "../../base/numbers.js";
import { indexSegments } from "../../geometry/distance.js";
import { segmentLength } from "../../geometry/segment.js";
import { pair, type Vec } from "../../geometry/vec.js";
import { NO_WISH } from "../job/features.js";
import type { Job } from "../job/job.js";
import { ON_OUTLINE } from "../surroundings.js";
import type { Track } from "../track/track.js";

/** mm along a track's outline from its start: from `from` on for `length`, round and round. */
export interface KeptFree {
  readonly from: number;
  readonly length: number;
}

export function keptFree(
  track: Track,
  job: Job,
): { readonly stretches: readonly KeptFree[]; readonly findings: Finding[] } {
  const { id, role } = track.feature;
  const wishes = (job.features[id] ?? NO_WISH).keepOff;
  if (wishes.length === 0) return { stretches: [], findings: [] };
  const edge = indexSegments(track.contour.segments);
  const ways: number[] = [];
  const round = track.contour.segments.reduce((sum, s) => {
    ways.push(sum);
    return sum + segmentLength(s);
  }, 0);
  const findings: Finding[] = [];
  const placeOf = (at: Vec): number => {
    const near = edge.nearest(at, ON_OUTLINE);
    const segment = near && track.contour.segments[near.segment];
    if (segment)
      return (ways[near.segment] as number) + near.t * segmentLength(segment);
    findings.push({
      code: "tab/keep-off",
      severity: "error",
      message: `${id}: features.${id}.keepOff names ${placeText(pair(at))}, more than ${ON_OUTLINE} mm from the outline: put both ends of a stretch on the edge`,
      where: pair(at),
      feature: id,
    });
    return 0;
  };
  // The job goes counter-clockwise; the track of a part runs the other way.
  const stretches = wishes.map(({ from, to }): KeptFree => {
    const [a, b] = role === "opening" ? [from, to] : [to, from];
    const start = placeOf(a);
    return { from: start, length: wrapped(placeOf(b) - start, round) };
  });
  return { stretches, findings };
}

/** Does the way from `from` on for `length` touch one of the stretches? All mm along an outline of `round`. */
export function isKeptFree(
  stretches: readonly KeptFree[],
  from: number,
  length: number,
  round: number,
): boolean {
  return stretches.some(
    (s) =>
      wrapped(from - s.from, round) < s.length ||
      wrapped(s.from - from, round) < length,
  );
}

function wrapped(place: number, round: number): number {
  return ((place % round) + round) % round;
}

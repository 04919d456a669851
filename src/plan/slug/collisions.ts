/** Cuts that would touch another feature's edge: two outlines whose waste sides face each other across too little. */
import type { Finding } from "../../base/finding.js";
import { placeText, trimmed } from "../../base/numbers.js";
import { MAX_GOUGE } from "../../base/tolerance.js";
import { type Segment, segmentBox } from "../../geometry/segment.js";
import { pair } from "../../geometry/vec.js";
import type { Job } from "../job/job.js";
import type { Surroundings } from "../surroundings.js";
import { edgesNearer } from "../surroundings.js";
import type { Track } from "../track/track.js";

/** One finding for each pair of features, at the first place found; the block's own edge may be cut open. */
export function collisions(
  tracks: readonly Track[],
  around: Surroundings,
  job: Job,
): Finding[] {
  const { features } = around.layout;
  return tracks.flatMap((track) => {
    const self = features.findIndex((f) => f.id === track.feature.id);
    const struck = new Map<number, Segment>();
    for (const { pass, loop } of track.passes) {
      const sweep = job.wire.diameter / 2 + pass.gap;
      for (const { segment } of loop.segments) {
        const b = segmentBox(segment);
        const strangers = around.edges
          .near(b.minX, b.minY, b.maxX, b.maxY, sweep)
          .some((e) => around.owner[e] !== self && around.owner[e] !== -1);
        if (!strangers) continue;
        for (const e of edgesNearer(around.edges, segment, sweep - MAX_GOUGE)) {
          const owner = around.owner[e] as number;
          if (owner !== self && owner !== -1 && !struck.has(owner))
            struck.set(owner, segment);
        }
      }
    }
    return [...struck].map(([owner, segment]) => {
      const where = pair(segment.start);
      const other = features[owner]?.id ?? "";
      return {
        code: "feature/too-close",
        severity: "error" as const,
        message: `the wire that cuts ${track.feature.id} would cut into ${other} near ${placeText(where)}: their edges leave less than the ${trimmed((job.passes[0]?.offset ?? 0) + job.wire.diameter / 2, 3)} mm it needs; move them apart, or take a thinner wire`,
        where,
        feature: track.feature.id,
      };
    });
  });
}

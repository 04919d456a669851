/** Overlap and spread that came out shorter than the job asks: where passes end a line may stay on the face. */
import type { Finding } from "../../base/finding.js";
import { placeText, trimmed } from "../../base/numbers.js";
import { SAME_POINT } from "../../base/tolerance.js";
import { pair } from "../../geometry/vec.js";
import type { Placed } from "../entry/entries.js";
import type { Feature } from "../feature.js";
import type { Job } from "../job/job.js";
import { LAP_OF_ROUND } from "../tab/tab.js";
import { spotPoint, type Track } from "../track/track.js";

/** At each tab of a feature. A single pass has nothing to overlap with. */
export function tabOverlaps(
  track: Track,
  placed: readonly Placed[],
  job: Job,
): Finding[] {
  if (job.passes.length < 2) return [];
  return placed.flatMap(({ marks, tab }) => {
    const overlap = marks.ends.at(-1)?.overlap ?? 0;
    const where = spotPoint(track, marks.lead);
    return overlapFinding(track.feature, where, overlap, tab.round, job);
  });
}

/** Skims of an opening that begin nearer to each other than the job asks. */
export function tabSpreads(
  track: Track,
  placed: readonly Placed[],
  job: Job,
): Finding[] {
  const { feature } = track;
  const skims = job.passes.length - 1;
  const asked = job.lead.spread;
  if (skims < 1 || asked === 0 || feature.role === "part") return [];
  return placed.flatMap(({ marks }) => {
    const each = (marks.ends.at(-1)?.spread ?? 0) / skims;
    // A place on a corner moves on a little; that is no less than was asked.
    if (each >= asked - SAME_POINT) return [];
    const where = pair(spotPoint(track, marks.lead));
    return [
      {
        code: "lead/spread-short",
        severity: "note" as const,
        message: `${feature.id}: beside the lead-in at ${placeText(where)} each skim begins ${trimmed(each, 3)} mm farther on than the pass before it, not lead.spread (${trimmed(asked, 3)} mm): its path is too short for more, or the threaded wire has no straight way there`,
        where,
        feature: feature.id,
      },
    ];
  });
}

/** `overlap` at the lead-in, of a path `round` mm long. */
export function overlapFinding(
  feature: Feature,
  { x, y }: { readonly x: number; readonly y: number },
  overlap: number,
  round: number,
  job: Job,
): Finding[] {
  const asked = job.lead.overlap;
  if (overlap >= asked - SAME_POINT) return [];
  const where: [number, number] = [x, y];
  const about = (code: string, message: string): Finding => ({
    code,
    severity: "note",
    message: `${feature.id}: beside the lead-in at ${placeText(where)} ${message}`,
    where,
    feature: feature.id,
  });
  if (overlap <= 0)
    return [
      about(
        "lead/no-overlap",
        `there is no straight way for an overlap; the passes meet end to end there`,
      ),
    ];
  const most = LAP_OF_ROUND * round;
  const why =
    most < asked && overlap >= most - SAME_POINT
      ? `more would be over ${trimmed(100 * LAP_OF_ROUND, 1)} % of its path of ${trimmed(round, 2)} mm`
      : `the threaded wire has no straight way farther on; put the lead-in elsewhere (features.${feature.id}.lead) if a line there would matter`;
  return [
    about(
      "lead/overlap-short",
      `the passes overlap by ${trimmed(overlap, 3)} mm, not by lead.overlap (${trimmed(asked, 3)} mm): ${why}`,
    ),
  ];
}

/** Where on the outline the lead-in may meet it, with the tab behind it: places along every stretch, the best first. */

import { nearestOnSegment } from "../../geometry/distance.js";
import type { OffsetSegment } from "../../geometry/offset.js";
import { type Segment, segmentLength } from "../../geometry/segment.js";
import { steps } from "../steps.js";
import { offEnds, type PassLoop, type Spot, spotOn } from "../track/track.js";
import type { Site } from "./entry.js";
import type { OutlineProfile } from "./placing-score.js";

export interface LeadPlace {
  /** The piece of the rough's path it lies on. */
  readonly piece: OffsetSegment;
  readonly spot: Spot;
  readonly score: number;
}

/** Places score at least this share of the best to be as good as it: shorter leads and larger holes then decide. */
const AS_GOOD = 0.85;

/** mm between a tab's two ends and the corners beside it, together. */
const TO_CORNER = 0.05;

/** All places, the best first; equal ones in the outline's order. */
export function rankLeadPlaces({
  profile,
  span,
  judge,
  job,
}: Pick<Site, "profile" | "span" | "judge" | "job">): LeadPlace[] {
  const { loop } = profile.track.passes[0] as PassLoop;
  return loop.segments
    .filter((p) => !p.corner)
    .flatMap((piece) =>
      leadSpots(profile, piece, span, job.lead.overlap).flatMap((spot) => {
        const score = judge(spot);
        return score === null ? [] : [{ piece, spot, score }];
      }),
    )
    .sort((a, b) => steps(b.score) - steps(a.score));
}

/** The first of them, those that are about as good as the best. */
export function goodPlaces(ranked: Iterable<LeadPlace>): Iterable<LeadPlace> {
  return {
    *[Symbol.iterator]() {
      let best: number | null = null;
      for (const place of ranked) {
        best ??= place.score;
        if (place.score < AS_GOOD * best) return;
        yield place;
      }
    },
  };
}

/** Those that are kept, in their order; each is asked about once, and only when it is its turn. */
export function keptPlaces(
  all: readonly LeadPlace[],
  keep: (place: LeadPlace) => boolean,
): Iterable<LeadPlace> {
  const kept: LeadPlace[] = [];
  let asked = 0;
  return {
    *[Symbol.iterator]() {
      for (let k = 0; ; k++) {
        while (k === kept.length) {
          const place = all[asked++];
          if (!place) return;
          if (keep(place)) kept.push(place);
        }
        yield kept[k] as LeadPlace;
      }
    },
  };
}

/**
 * On a stretch that holds it whole, the tab stands in the middle, abreast of the centre of gravity, or a quarter off the
 * middle; else the lead does. Near the ends only as a last resort.
 */
function leadSpots(
  { track, cg }: OutlineProfile,
  piece: OffsetSegment,
  span: number,
  overlap: number,
): Spot[] {
  const source = track.contour.segments[piece.index] as Segment;
  const l = segmentLength(source) * (piece.to - piece.from);
  const back = l > span + TO_CORNER ? span / 2 / l : 0;
  const least = 2 * back + Math.min(0.06, (1 - 2 * back) / 4);
  const abreast =
    (nearestOnSegment(source, cg).t - piece.from) / (piece.to - piece.from);
  // Ahead of the lead the overlap should find room before the stretch ends.
  const most = 1 - Math.min(Math.max(0.06, (overlap + 0.1) / l), 0.25);
  return [0.5, abreast, 0.25, 0.75]
    .map((u) => Math.max(least, Math.min(most, u + back)))
    .concat(0.06, 0.94)
    .filter((u, k, all) => all.indexOf(u) === k)
    .map((u) => spotOn(piece, offEnds(track, piece, u)));
}

/** Places towards the forward end of a stretch, the tab behind them towards its middle. */
export function endSpots(piece: OffsetSegment): Spot[] {
  return [0.99, 0.97, 0.94, 0.9, 0.85, 0.8, 0.7].map((u) => spotOn(piece, u));
}

/** A straight stretch long enough for the lead with the tab behind it and something to spare. */
export function holdsTab({ segment }: OffsetSegment, span: number): boolean {
  return segment.kind === "line" && segmentLength(segment) > 1.5 * span;
}

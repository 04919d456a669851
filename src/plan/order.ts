/**
 * In which order the steps are done. A visit is what is done at one feature without going elsewhere; visits go by
 * phase (nobody there, somebody there), within it by turn, and within a turn by the shortest way with the wire out.
 */
import type { Finding } from "../base/finding.js";
import { distance, type Vec } from "../geometry/vec.js";
import type { FeatureCuts } from "./cuts.js";
import type { Feature } from "./feature.js";
import type { Job } from "./job.js";
import type { PlannedFeature, Step, Travel } from "./plan.js";
import { shortTour } from "./tour/tour.js";
import { turnsOf } from "./turns.js";

export interface Orderable {
  readonly feature: PlannedFeature;
  readonly cuts: FeatureCuts;
}

export interface Ordered {
  readonly steps: readonly Step[];
  readonly travel: Travel;
  readonly findings: readonly Finding[];
}

interface Visit {
  readonly feature: PlannedFeature;
  readonly rank: number;
  readonly steps: readonly Step[];
}

/** Where the machine stands before the first thread: the zero of the drawing. */
const REFERENCE: Vec = { x: 0, y: 0 };

/** `features` are all of the layout, planned or not: a list may name any of them. */
export function inOrder(
  planned: readonly Orderable[],
  features: readonly Feature[],
  job: Job,
): Ordered {
  const turns = turnsOf(features, job.order.features);
  const visits = planned.flatMap(({ feature, cuts }): Visit[] => {
    const turn = turns.of.get(feature.id) as number;
    const { unattended, attended } = cuts;
    return job.order.rule === "one-by-one"
      ? [{ feature, rank: turn, steps: [unattended, ...attended] }]
      : [
          { feature, rank: turn, steps: [unattended] },
          { feature, rank: turns.end + turn, steps: attended },
        ];
  });
  const asDrawn = [...visits].sort((a, b) => a.rank - b.rank);
  const tour = shortTour({
    points: visits.map((v) => v.feature.startHole.at),
    ranks: visits.map((v) => v.rank),
    start: REFERENCE,
    end: null,
  }).map((i) => visits[i] as Visit);
  const steps = tour.flatMap((v) => v.steps);
  return {
    steps,
    travel: {
      rapid: rapidTravel(steps),
      asDrawn: rapidTravel(asDrawn.flatMap((v) => v.steps)),
    },
    findings: turns.findings,
  };
}

/** mm with the wire out: from the reference point to the first thread, then from where each cut ends to the next thread. */
export function rapidTravel(steps: readonly Step[]): number {
  let at = REFERENCE;
  let sum = 0;
  for (const step of steps) {
    if (step.kind === "stop") continue;
    sum += distance(at, step.thread);
    at = step.strokes.at(-1)?.to ?? step.thread;
  }
  return sum;
}

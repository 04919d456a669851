/**
 * In which order the steps are done. A visit is what is done at one feature without going elsewhere; visits go by
 * phase (nobody there, somebody there…), within it by turn, and within a turn by the shortest way with the wire out.
 */
import type { Finding } from "../../base/finding.js";
import { distance, type Vec } from "../../geometry/vec.js";
import type { FeatureCuts } from "../cuts/cuts.js";
import { REST, relievedCuts } from "../cuts/stress-relief.js";
import type { Feature } from "../feature.js";
import type { Job } from "../job/job.js";
import type { PlannedFeature, Step, Travel } from "../plan.js";
import type { SlitPlan } from "../slit/plan-slit.js";
import { shortTour } from "./tour/tour.js";
import { type Turns, turnsOf } from "./turns.js";

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
  /** Phase first, turn within it second. */
  readonly phase: number;
  readonly turn: number;
  readonly hole: Vec;
  readonly steps: readonly Step[];
}

/** Where the machine stands before the first thread: the zero of the drawing. */
const REFERENCE: Vec = { x: 0, y: 0 };

/** Has the wire, threaded to cut a feature, a straight way from place to place? */
export type Goes = (feature: string, from: Vec, to: Vec) => boolean;

/** `features` are all of the layout, planned or not: a list may name any of them. */
export function inOrder(
  planned: readonly Orderable[],
  slits: readonly SlitPlan[],
  features: readonly Feature[],
  job: Job,
  goes: Goes,
): Ordered {
  const turns = turnsOf(features, job.order.features);
  const inSlug = insideOpenings(features);
  const ofFeatures = planned.flatMap(({ feature, cuts }) =>
    phasesOf(feature, cuts, job, inSlug, goes)
      .map(
        (steps, phase): Visit => ({
          phase,
          turn: turns.of.get(feature.id) as number,
          hole: feature.startHole.at,
          steps,
        }),
      )
      .filter((v) => v.steps.length > 0),
  );
  const visits = [
    ...ofFeatures,
    ...slits.map((s) => slitVisit(s, turns, inSlug, job)),
  ];
  const rankOf = (v: Visit): number => v.phase * turns.end + v.turn;
  const tour = shortTour({
    points: visits.map((v) => v.hole),
    ranks: visits.map(rankOf),
    start: REFERENCE,
    end: null,
  }).map((i) => visits[i] as Visit);
  const steps = tour.flatMap((v) => v.steps);
  const asDrawn = [...visits].sort((a, b) => rankOf(a) - rankOf(b));
  return {
    steps: job.stressRelief ? withRest(tour) : steps,
    travel: {
      rapid: rapidTravel(steps),
      asDrawn: rapidTravel(asDrawn.flatMap((v) => v.steps)),
    },
    findings: turns.findings,
  };
}

/**
 * A slit lets stress out and opens what it runs into, so it comes after all passes round its neighbours that can be done
 * before; where the wire is threaded in an opening, after that one's slug is out; and always before the part that holds
 * it comes free.
 */
function slitVisit(
  { cut, after, holders }: SlitPlan,
  turns: Turns,
  inSlug: ReadonlySet<string>,
  job: Job,
): Visit {
  const held = holders.flatMap((id) =>
    id === null ? [] : (turns.of.get(id) ?? []),
  );
  const visit = (phase: number, turn: number): Visit => ({
    phase,
    turn,
    hole: cut.thread,
    steps: [cut],
  });
  // Between whole turns: after what lies inside the part, before the part; where none holds it, after everything.
  const beforeFree = Math.min(turns.end, ...held) - 0.5;
  if (job.order.rule === "one-by-one") return visit(0, beforeFree);
  const lastly = turns.end - 0.25;
  if (!job.stressRelief)
    return after === null ? visit(0, lastly) : visit(1, beforeFree);
  if (holders.some((id) => id !== null && inSlug.has(id)))
    return after === null ? visit(0, lastly) : visit(1, beforeFree);
  return after === null
    ? visit(AFTER_REST, lastly)
    : visit(AFTER_REST + 1, beforeFree);
}

/** The phase in which the skims begin when stress is let out first. */
const AFTER_REST = 2;

/** What is done at a feature in each phase. */
function phasesOf(
  { id, role }: PlannedFeature,
  cuts: FeatureCuts,
  job: Job,
  inSlug: ReadonlySet<string>,
  goes: Goes,
): readonly (readonly Step[])[] {
  const { unattended, attended } = cuts;
  if (job.order.rule === "one-by-one") return [[...unattended, ...attended]];
  if (!job.stressRelief) return [unattended, attended];
  // Before the slug it lies in is taken out it must be done.
  if (inSlug.has(id)) return [[], [...unattended, ...attended]];
  // Without a slug nothing has to be taken out before the rest: what is cut away whole comes after it, at one go.
  if (attended.length === 0) return [[], [], unattended, []];
  const { rough, release, skims, last } = relievedCuts(cuts, role, (from, to) =>
    goes(id, from, to),
  );
  return [rough, release, skims, last];
}

/** Ids of the features with an opening somewhere around them. */
function insideOpenings(features: readonly Feature[]): Set<string> {
  const byId = new Map(features.map((f) => [f.id, f]));
  const inside = new Set<string>();
  const outermostFirst = [...features].sort((a, b) => a.depth - b.depth);
  for (const f of outermostFirst) {
    const around = f.parent === null ? undefined : byId.get(f.parent);
    if (around && (around.role === "opening" || inside.has(around.id)))
      inside.add(f.id);
  }
  return inside;
}

function withRest(tour: readonly Visit[]): Step[] {
  const before = tour.filter((v) => v.phase < AFTER_REST);
  const after = tour.filter((v) => v.phase >= AFTER_REST);
  return [
    ...before.flatMap((v) => v.steps),
    ...(after.length > 0 ? [REST] : []),
    ...after.flatMap((v) => v.steps),
  ];
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

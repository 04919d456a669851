/** How long, how much wire, how often somebody is needed. Lengths m, times min, masses kg; all rates are common practice. */
import { segmentLength } from "../geometry/segment.js";
import { distance, type Vec } from "../geometry/vec.js";
import type { Cut, Plan, Stroke } from "../plan/plan.js";
import { wireMassPerMetre } from "../process/wires.js";

export interface PassEstimate {
  readonly pass: number;
  readonly kind: "rough" | "skim";
  /** m */
  readonly length: number;
  /** mm²/min of cut face, common practice. */
  readonly areaRate: number;
  /** mm/min along the path: area rate / thickness. */
  readonly feed: number;
  /** min */
  readonly time: number;
}

export interface Estimate {
  /** m the wire travels while burning: leads, strokes and backing off. */
  readonly cutLength: number;
  /** min of burning; threading, stops and filling the tank are not in it. */
  readonly time: number;
  readonly passes: readonly PassEstimate[];
  /** min of burning with somebody there, and without. */
  readonly attended: number;
  readonly unattended: number;
  /** m */
  readonly wireLength: number;
  /** kg */
  readonly wireMass: number;
  readonly threads: number;
  readonly stops: number;
}

/** One stroke with the way the wire makes to get to it; mm. */
export interface StrokeTravel {
  readonly cut: Cut;
  readonly stroke: Stroke;
  readonly length: number;
}

/**
 * Time = length × thickness / area rate (definition of the area rate), pass by pass; wire = time × feed.
 */
export function estimatePlan(plan: Plan): Estimate {
  const { passes, stock, wire, process } = plan.job;
  const travels = strokeTravels(plan);
  const feedOf = (pass: number): number =>
    (passes[pass - 1]?.areaRate ?? Number.NaN) / stock.thickness;
  const minutes = (list: readonly StrokeTravel[]): number =>
    list.reduce((sum, t) => sum + t.length / feedOf(t.stroke.pass), 0);
  const metres = (list: readonly StrokeTravel[]): number =>
    list.reduce((sum, t) => sum + t.length, 0) / 1000;

  const time = minutes(travels);
  const wireLength = time * process.wire.feed;
  return {
    cutLength: metres(travels),
    time,
    passes: passes.map((p) => {
      const own = travels.filter((t) => t.stroke.pass === p.number);
      return {
        pass: p.number,
        kind: p.kind,
        length: metres(own),
        areaRate: p.areaRate,
        feed: feedOf(p.number),
        time: minutes(own),
      };
    }),
    attended: minutes(travels.filter((t) => t.cut.attended)),
    unattended: minutes(travels.filter((t) => !t.cut.attended)),
    wireLength,
    wireMass:
      (wireLength * wireMassPerMetre(wire.diameter, process.wire.density)) /
      1000,
    threads: plan.steps.filter((s) => s.kind === "cut").length,
    stops: plan.steps.filter((s) => s.kind === "stop").length,
  };
}

/** Every stroke in order. The lead from the start hole counts with the first stroke of its cut. */
export function strokeTravels(plan: Plan): readonly StrokeTravel[] {
  return plan.steps.flatMap((step) => {
    if (step.kind === "stop") return [];
    let way: readonly Vec[] = [step.thread, ...step.lead];
    return step.strokes.map((stroke) => {
      const first = stroke.path[0]?.start ?? stroke.from;
      const last = stroke.path.at(-1)?.end ?? stroke.to;
      const length =
        wayLength([...way, stroke.from, first]) +
        stroke.path.reduce((sum, s) => sum + segmentLength(s), 0) +
        distance(last, stroke.to);
      way = [stroke.to];
      return { cut: step, stroke, length };
    });
  });
}

function wayLength(points: readonly Vec[]): number {
  return points.reduce(
    (sum, p, i) => sum + (i === 0 ? 0 : distance(points[i - 1] as Vec, p)),
    0,
  );
}

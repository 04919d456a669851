/** How long, how much wire, how often somebody is needed, what it costs. Lengths m, times min, masses kg. */
import { segmentLength } from "../geometry/segment.js";
import { distance, type Vec } from "../geometry/vec.js";
import type { Cut, Plan, Stroke } from "../plan/plan.js";
import { wireMassPerMetre } from "../process/wires.js";

export interface PassEstimate {
  readonly pass: number;
  readonly kind: "rough" | "skim";
  /** m */
  readonly length: number;
  /** mm²/min of cut face. */
  readonly areaRate: number;
  /** mm/min along the path: area rate / thickness. */
  readonly feed: number;
  /** min */
  readonly time: number;
}

export interface FeatureEstimate {
  readonly id: string;
  /** m */
  readonly length: number;
  /** min of burning. */
  readonly time: number;
  readonly threads: number;
  readonly stops: number;
}

/** In the currency of the job's rates. */
export interface Cost {
  readonly machine: number;
  readonly labour: number;
  readonly wire: number;
  readonly total: number;
  /** The total when the area rates turn out as high and as low as they may. */
  readonly range: readonly [low: number, high: number];
  readonly currency: string;
}

export interface Estimate {
  /** m the wire travels while burning: leads, strokes and backing off. */
  readonly cutLength: number;
  /** min of burning; threading, stops and filling the tank are not in it. */
  readonly time: number;
  /** min of burning when the area rates turn out as high and as low as they may. */
  readonly timeRange: readonly [low: number, high: number];
  readonly passes: readonly PassEstimate[];
  readonly features: readonly FeatureEstimate[];
  /** min of burning with somebody there, and without. */
  readonly attended: number;
  readonly unattended: number;
  /** min the machine is taken up: setting up, burning, threading and stops. */
  readonly machine: number;
  /** min of somebody's work: setting up, stops, and burning that is watched. */
  readonly labour: number;
  /** m */
  readonly wireLength: number;
  /** kg; all of it is scrap afterwards. */
  readonly wireMass: number;
  /** Full spools that is. */
  readonly spools: number;
  readonly threads: number;
  readonly stops: number;
  /** null when the job gives no rates. */
  readonly cost: Cost | null;
}

/** One stroke with the way the wire makes to get to it; mm. */
export interface StrokeTravel {
  readonly cut: Cut;
  readonly stroke: Stroke;
  readonly length: number;
}

/**
 * Time = length × thickness / area rate (definition of the area rate), pass by pass; wire = time × feed. The rates of
 * the process table are as sure as its `working.rateRange` says.
 */
export function estimatePlan(plan: Plan): Estimate {
  const { passes, stock, wire, process } = plan.job;
  const { thread, stop, setup, rateRange } = process.working;
  const travels = strokeTravels(plan);
  const feedOf = (pass: number): number =>
    (passes[pass - 1]?.areaRate ?? Number.NaN) / stock.thickness;
  const minutes = (list: readonly StrokeTravel[]): number =>
    list.reduce((sum, t) => sum + t.length / feedOf(t.stroke.pass), 0);
  const metres = (list: readonly StrokeTravel[]): number =>
    list.reduce((sum, t) => sum + t.length, 0) / 1000;

  const time = minutes(travels);
  const attended = minutes(travels.filter((t) => t.cut.attended));
  const threads = plan.steps.filter((s) => s.kind === "cut").length;
  const stops = plan.steps.filter((s) => s.kind === "stop").length;
  const wireLength = time * process.wire.feed;
  const wireMass =
    (wireLength * wireMassPerMetre(wire.diameter, process.wire.density)) / 1000;
  const idle = setup + threads * thread + stops * stop;
  const labour = setup + stops * stop + attended;
  return {
    cutLength: metres(travels),
    time,
    timeRange: [time / rateRange[1], time / rateRange[0]],
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
    features: featureEstimates(plan, travels, metres, minutes),
    attended,
    unattended: time - attended,
    machine: time + idle,
    labour,
    wireLength,
    wireMass,
    spools: wireMass / process.wire.spool,
    threads,
    stops,
    cost: costOf(plan, { time, idle, attended, labour, wireMass }),
  };
}

function featureEstimates(
  plan: Plan,
  travels: readonly StrokeTravel[],
  metres: (list: readonly StrokeTravel[]) => number,
  minutes: (list: readonly StrokeTravel[]) => number,
): FeatureEstimate[] {
  const own = new Map<string, StrokeTravel[]>();
  for (const t of travels) {
    const list = own.get(t.cut.feature);
    if (list) list.push(t);
    else own.set(t.cut.feature, [t]);
  }
  const count = new Map<string, { threads: number; stops: number }>();
  for (const step of plan.steps) {
    // The stop at which the whole block rests is nobody's own.
    if (step.feature === null) continue;
    const c = count.get(step.feature) ?? { threads: 0, stops: 0 };
    if (step.kind === "cut") c.threads++;
    else c.stops++;
    count.set(step.feature, c);
  }
  return [...plan.features, ...plan.slits].map(({ id }) => ({
    id,
    length: metres(own.get(id) ?? []),
    time: minutes(own.get(id) ?? []),
    threads: count.get(id)?.threads ?? 0,
    stops: count.get(id)?.stops ?? 0,
  }));
}

/** What takes longer at a low area rate costs more with it: burning on the machine, burning that is watched, wire. */
function costOf(
  plan: Plan,
  e: {
    readonly time: number;
    readonly idle: number;
    readonly attended: number;
    readonly labour: number;
    readonly wireMass: number;
  },
): Cost | null {
  const { rates, process } = plan.job;
  if (!rates) return null;
  const at = (slow: number) => {
    const machine = (rates.machineHour * (e.time * slow + e.idle)) / 60;
    const labour =
      (rates.labourHour * (e.labour + e.attended * (slow - 1))) / 60;
    const wire = rates.wireKg * e.wireMass * slow;
    return { machine, labour, wire, total: machine + labour + wire };
  };
  const [low, high] = process.working.rateRange;
  return {
    ...at(1),
    range: [at(1 / high).total, at(1 / low).total],
    currency: rates.currency,
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

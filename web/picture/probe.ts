/** What lies under a point of the picture, in words. Pure. */
import {
  type Contour,
  type Cut,
  keepsBlock,
  type LengthUnit,
  lengthFigure,
  lengthText,
  massText,
  nearestOnSegment,
  type Plan,
  type PlannedFeature,
  type PlannedSlit,
  type Segment,
  type Vec,
  windingNumber,
} from "../../src/index.js";
import { around, rectOf, touches } from "./box.js";
import { cutsOf } from "./scene.js";

export interface Probe {
  /** The feature the thing belongs to, if any. */
  readonly feature: string | null;
  /** The nearest point of the thing. */
  readonly at: Vec;
  readonly text: string;
}

/** The thing nearest to `p` within `reach` mm; else the feature or the metal around it. */
export function probe(plan: Plan, p: Vec, reach: number): Probe {
  const { units } = plan.job;
  const isNear = ({ contour }: { readonly contour: Contour }): boolean =>
    touches(around(p.x, p.y, reach + 3), rectOf(contour));
  const near = plan.features.filter(isNear);
  const things = [
    ...near.flatMap((f) => thingsOf(plan, f, p, units)),
    ...plan.slits.filter(isNear).flatMap((s) => slitThings(s, p, units)),
  ];
  // Things at one place differ by rounding only.
  const steps = (t: Thing): number => Math.round((1000 * t.distance) / reach);
  const close = things
    .filter((t) => t.distance <= reach)
    .sort((a, b) => steps(a) - steps(b) || a.rank - b.rank);
  const [best] = close;
  if (best) return { feature: best.feature, at: best.at, text: best.text };
  const inside = near
    .filter((f) => isInside(f.contour, p))
    .sort((a, b) => b.depth - a.depth)[0];
  if (inside) return { feature: inside.id, at: p, text: pieceText(inside) };
  return {
    feature: null,
    at: p,
    text:
      plan.stock && !isInside(plan.stock, p)
        ? "outside the block"
        : keepsBlock(plan)
          ? "metal that stays"
          : "waste: what is left about the parts",
  };
}

function thingsOf(
  plan: Plan,
  f: PlannedFeature,
  p: Vec,
  units: LengthUnit,
): Thing[] {
  const cuts = cutsOf(plan).filter((c) => c.feature === f.id);
  return [
    holeThing(f, p, units),
    outlineThing(f, p),
    ...cuts.flatMap((c) => strokeThings(plan, f, c, p, units)),
  ];
}

interface Thing extends Probe {
  readonly distance: number;
  /** Of two things at one place the lower rank is named. */
  readonly rank: number;
}

function slitThings(s: PlannedSlit, p: Vec, units: LengthUnit): Thing[] {
  return [
    holeThing(s, p, units),
    {
      ...nearestOf(s.contour.segments, p),
      feature: s.id,
      rank: 1,
      text: `${s.id}: the wire’s centre runs on this line and leaves a slit ${lengthText(s.width, units)} wide`,
    },
  ];
}

function holeThing(
  f: PlannedFeature | PlannedSlit,
  p: Vec,
  units: LengthUnit,
): Thing {
  const { at, diameter, drawn } = f.startHole;
  const distance = Math.max(
    0,
    Math.hypot(p.x - at.x, p.y - at.y) - diameter / 2,
  );
  return {
    feature: f.id,
    at,
    distance,
    rank: 0,
    text:
      diameter === 0
        ? `threaded here for ${f.id}, without a hole`
        : `start hole of ${f.id}, diameter ${lengthText(diameter, units)}${drawn ? ", as drawn" : ""}`,
  };
}

function outlineThing(f: PlannedFeature, p: Vec): Thing {
  return {
    ...nearestOf(f.contour.segments, p),
    feature: f.id,
    rank: 1,
    text: `finished edge of ${f.id}`,
  };
}

function strokeThings(
  { job }: Plan,
  f: PlannedFeature,
  cut: Cut,
  p: Vec,
  units: LengthUnit,
): Thing[] {
  return cut.strokes.map((s) => {
    const kind = job.passes[s.pass - 1]?.kind ?? "skim";
    const way = s.direction === "ccw" ? "counter-clockwise" : "clockwise";
    const near = nearestOf(s.path, p);
    if (s.stretch === "inside")
      return {
        ...near,
        feature: f.id,
        rank: 1 + s.pass,
        text: `wire’s centre, cutting the inside of ${f.id} away: no slug is left`,
      };
    if (s.stretch === "tab" && f.tab)
      return {
        ...near,
        feature: f.id,
        rank: 0,
        text: `tab of ${f.id}, ${lengthText(f.tab.length, units)}: left standing until somebody is there (pass ${s.pass})`,
      };
    return {
      ...near,
      feature: f.id,
      rank: 1 + s.pass,
      text: `wire’s centre, pass ${s.pass} (${kind}) of ${f.id}, ${way}`,
    };
  });
}

/** The nearest point of a chain. */
export function nearestOf(
  segments: readonly Segment[],
  p: Vec,
): {
  readonly at: Vec;
  readonly distance: number;
  readonly index: number;
  readonly t: number;
} {
  let best = { at: p, distance: Number.POSITIVE_INFINITY, index: 0, t: 0 };
  segments.forEach((s, index) => {
    const n = nearestOnSegment(s, p);
    if (n.distance < best.distance)
      best = { at: n.at, distance: n.distance, index, t: n.t };
  });
  return best;
}

function pieceText(f: PlannedFeature): string {
  if (f.role === "opening" && f.tab === null)
    return `the inside of ${f.id}: cut away whole, so no slug is left`;
  const mass = massText(f.slug.mass);
  return f.role === "part"
    ? `the part ${f.id}, ${mass}`
    : `the slug of ${f.id}, ${mass}: falls out`;
}

function isInside(c: Contour, p: Vec): boolean {
  return windingNumber(c, p) !== 0;
}

export function placeOf(p: Vec, units: LengthUnit): string {
  return `X ${lengthFigure(p.x, units)}  Y ${lengthFigure(p.y, units)} ${units}`;
}

/** A plan as layers of path data, bottom to top. Pure. */
import {
  type Cut,
  entriesOf,
  type Plan,
  type PlannedFeature,
  type Vec,
} from "../../src/index.js";
import { boxOf } from "./box.js";
import { chainPath, circlePath, linesPath, type Origin } from "./paths.js";
import type { Rect } from "./view.js";

export interface Shape {
  /** Class of the path; the style sheet says how it looks. */
  readonly kind: string;
  readonly d: string;
  /** Width in mm, for what is drawn to scale. */
  readonly width?: number;
}

export interface Scene {
  readonly origin: Origin;
  readonly box: Rect;
  readonly shapes: readonly Shape[];
}

export function sceneOf(plan: Plan): Scene {
  const box = boxOf(plan);
  const origin = {
    x: Math.round((box.minX + box.maxX) / 2),
    y: Math.round((box.minY + box.maxY) / 2),
  };
  return {
    origin,
    box,
    shapes: [
      ...metal(plan, origin, box),
      ...kerf(plan, origin),
      ...passes(plan, origin),
      ...ways(plan, origin),
      ...tabs(plan, origin),
      ...holes(plan, origin),
      ...outlines(plan, origin),
    ].filter((shape) => shape.d !== ""),
  };
}

function metal(plan: Plan, o: Origin, box: Rect): Shape[] {
  const keepsBlock = plan.features.some((f) => f.role === "opening");
  const block: Shape[] = plan.stock
    ? [
        {
          kind: keepsBlock ? "kept" : "waste",
          d: chainPath(o, plan.stock.segments, true),
        },
      ]
    : keepsBlock
      ? [{ kind: "kept", d: rectPath(o, box) }]
      : [];
  const byDepth = [...plan.features].sort((a, b) => a.depth - b.depth);
  return joined([
    ...block,
    ...byDepth.map((f) => ({
      kind: f.role === "part" ? "kept" : "waste",
      d: chainPath(o, f.contour.segments, true),
    })),
  ]);
}

/** Neighbours of one kind as one shape: hundreds of small ones would make every frame slow. */
function joined(shapes: readonly Shape[]): Shape[] {
  const list: Shape[] = [];
  for (const next of shapes) {
    const last = list.at(-1);
    if (last?.kind === next.kind)
      list[list.length - 1] = { ...last, d: last.d + next.d };
    else list.push(next);
  }
  return list;
}

function rectPath(o: Origin, r: Rect): string {
  return `${linesPath(o, [
    { x: r.minX, y: r.minY },
    { x: r.maxX, y: r.minY },
    { x: r.maxX, y: r.maxY },
    { x: r.minX, y: r.maxY },
  ])}Z`;
}

export function cutsOf(plan: Plan): Cut[] {
  return plan.steps.filter((step) => step.kind === "cut");
}

/** Everything between the thread and the first stroke. */
export function leadPoints(cut: Cut): Vec[] {
  const first = cut.strokes[0];
  return [cut.thread, ...cut.lead, ...(first ? [first.from] : [])];
}

function kerf(plan: Plan, o: Origin): Shape[] {
  const rough = plan.job.passes[0];
  if (!rough) return [];
  const d = cutsOf(plan).flatMap((cut) => {
    const own = cut.strokes.filter((s) => s.pass === 1);
    const start = own[0]?.path[0]?.start;
    return [
      ...(start ? [linesPath(o, [...leadPoints(cut), start])] : []),
      ...own.map((s) => chainPath(o, s.path)),
    ];
  });
  return [
    {
      kind: "kerf",
      d: d.join(""),
      width: plan.job.wire.diameter + 2 * rough.gap,
    },
  ];
}

function passes(plan: Plan, o: Origin): Shape[] {
  const strokes = cutsOf(plan).flatMap((cut) => cut.strokes);
  return plan.job.passes.map((pass) => ({
    kind: `pass pass-${Math.min(pass.number, 6)}`,
    d: strokes
      .filter((s) => s.pass === pass.number)
      .map((s) => {
        const first = s.path[0];
        const last = s.path.at(-1);
        return first && last
          ? linesPath(o, [s.from, first.start]) +
              chainPath(o, s.path) +
              linesPath(o, [last.end, s.to])
          : "";
      })
      .join(""),
  }));
}

/** Leads with the wire in, and the way from one cut to the next with the wire out. */
function ways(plan: Plan, o: Origin): Shape[] {
  const cuts = cutsOf(plan);
  const travel = cuts.slice(1).map((cut, i) => {
    const before = cuts[i]?.strokes.at(-1)?.to;
    return before ? linesPath(o, [before, cut.thread]) : "";
  });
  return [
    { kind: "travel", d: travel.join("") },
    {
      kind: "lead",
      d: cuts.map((cut) => linesPath(o, leadPoints(cut))).join(""),
    },
  ];
}

function tabs(plan: Plan, o: Origin): Shape[] {
  const strokes = cutsOf(plan).flatMap((cut) =>
    cut.strokes.filter((s) => s.stretch === "tab" && s.pass === 1),
  );
  return [
    { kind: "tab", d: strokes.map((s) => chainPath(o, s.path)).join("") },
  ];
}

function holes(plan: Plan, o: Origin): Shape[] {
  const path = (drawn: boolean): string =>
    plan.features
      .flatMap(entriesOf)
      .filter(
        ({ startHole: { diameter, drawn: there } }) =>
          diameter > 0 && there === drawn,
      )
      .map(({ startHole: { at, diameter } }) => circlePath(o, at, diameter / 2))
      .join("");
  return [
    { kind: "hole", d: path(false) },
    { kind: "hole drawn", d: path(true) },
  ];
}

function outlines(plan: Plan, o: Origin): Shape[] {
  const closed = (f: PlannedFeature): string =>
    chainPath(o, f.contour.segments, true);
  return [
    {
      kind: "edge",
      d: plan.stock ? chainPath(o, plan.stock.segments, true) : "",
    },
    { kind: "outline", d: plan.features.map(closed).join("") },
    {
      kind: "unplanned",
      d: plan.unplanned.map((c) => chainPath(o, c.segments, c.closed)).join(""),
    },
  ];
}

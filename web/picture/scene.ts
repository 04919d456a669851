/** A plan as layers of path data, bottom to top. Pure. */
import {
  type Contour,
  type Cut,
  entriesOf,
  keepsBlock,
  type Plan,
  type Vec,
} from "../../src/index.js";
import { around, boxOf, rectOf } from "./box.js";
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

/** A blank sheet. */
export const EMPTY: Scene = {
  origin: { x: 0, y: 0 },
  box: around(0, 0, 10),
  shapes: [],
};

/** What one feature or cut adds to a layer; those of one patch are drawn as one path. */
interface Piece extends Shape {
  readonly patch: number;
}

export function sceneOf(plan: Plan): Scene {
  const box = boxOf(plan);
  const origin = {
    x: Math.round((box.minX + box.maxX) / 2),
    y: Math.round((box.minY + box.maxY) / 2),
  };
  const patchOf = patchesOf(plan, box);
  return {
    origin,
    box,
    shapes: joined([
      ...metal(plan, origin, box, patchOf),
      ...slits(plan, origin, patchOf),
      ...kerf(plan, origin, patchOf),
      ...passes(plan, origin, patchOf),
      ...ways(plan, origin, patchOf),
      ...tabs(plan, origin, patchOf),
      ...holes(plan, origin, patchOf),
      ...outlines(plan, origin, patchOf),
    ]),
  };
}

/** The patch that a feature lies in. */
type PatchOf = (feature: string) => number;

/** Features in a patch, about. */
const PATCH = 16;

/**
 * The drawing in patches side by side: the browser draws in tiles, and for each it goes through all of every path that
 * touches it. One path for everything would be gone through for every tile, a path for each feature is slow to lay out.
 */
function patchesOf({ features }: Plan, box: Rect): PatchOf {
  const side = Math.ceil(Math.sqrt(features.length / PATCH));
  const cell = (p: number, least: number, most: number): number =>
    Math.floor((side * (p - least)) / (most - least || 1));
  const patches = new Map(
    features.map(({ id, contour }) => {
      const r = rectOf(contour);
      const column = cell((r.minX + r.maxX) / 2, box.minX, box.maxX);
      const row = cell((r.minY + r.maxY) / 2, box.minY, box.maxY);
      return [id, side * row + column];
    }),
  );
  return (feature) => patches.get(feature) ?? 0;
}

/** Neighbours of one kind as one shape for each patch. */
function joined(pieces: readonly Piece[]): Shape[] {
  const runs: Map<number, Piece[]>[] = [];
  let before: Piece | undefined;
  for (const piece of pieces) {
    if (piece.d === "") continue;
    if (before?.kind !== piece.kind) runs.push(new Map());
    before = piece;
    const run = runs.at(-1) as Map<number, Piece[]>;
    const patch = run.get(piece.patch);
    if (patch) patch.push(piece);
    else run.set(piece.patch, [piece]);
  }
  return runs
    .flatMap((run) => [...run.values()])
    .map((patch) => {
      const { patch: _, ...first } = patch[0] as Piece;
      return { ...first, d: patch.map(({ d }) => d).join("") };
    });
}

function metal(plan: Plan, o: Origin, box: Rect, patchOf: PatchOf): Piece[] {
  const isKept = keepsBlock(plan);
  const kind = isKept ? "kept" : "waste";
  const block = plan.stock
    ? [{ kind, patch: 0, d: chainPath(o, plan.stock.segments, true) }]
    : isKept
      ? [{ kind, patch: 0, d: rectPath(o, box) }]
      : [];
  const byDepth = [...plan.features].sort((a, b) => a.depth - b.depth);
  return [
    ...block,
    ...byDepth.map((f) => ({
      kind: f.role === "part" ? "kept" : "waste",
      patch: patchOf(f.id),
      d: chainPath(o, f.contour.segments, true),
    })),
  ];
}

function rectPath(o: Origin, r: Rect): string {
  return `${linesPath(o, [
    { x: r.minX, y: r.minY },
    { x: r.maxX, y: r.minY },
    { x: r.maxX, y: r.maxY },
    { x: r.minX, y: r.maxY },
  ])}Z`;
}

/** The line of an outline or a slit by its name. */
export function lineOf(plan: Plan, id: string | null): Contour | null {
  const has = (one: { readonly id: string }): boolean => one.id === id;
  const one = plan.features.find(has) ?? plan.slits.find(has);
  return one?.contour ?? null;
}

export function cutsOf(plan: Plan): Cut[] {
  return plan.steps.filter((step) => step.kind === "cut");
}

/** Everything between the thread and the first stroke. */
export function leadPoints(cut: Cut): Vec[] {
  const first = cut.strokes[0];
  return [cut.thread, ...cut.lead, ...(first ? [first.from] : [])];
}

function kerf(plan: Plan, o: Origin, patchOf: PatchOf): Piece[] {
  const rough = plan.job.passes[0];
  if (!rough) return [];
  return cutsOf(plan).map((cut) => {
    const own = cut.strokes.filter((s) => s.pass === 1);
    const start = own[0]?.path[0]?.start;
    return {
      kind: "kerf",
      patch: patchOf(cut.feature),
      d: [
        start ? linesPath(o, [...leadPoints(cut), start]) : "",
        ...own.map((s) => chainPath(o, s.path)),
      ].join(""),
      width: plan.job.wire.diameter + 2 * rough.gap,
    };
  });
}

function passes(plan: Plan, o: Origin, patchOf: PatchOf): Piece[] {
  const cuts = cutsOf(plan);
  return plan.job.passes.flatMap(({ number }) =>
    cuts.map((cut) => ({
      kind: `pass pass-${Math.min(number, 6)}`,
      patch: patchOf(cut.feature),
      d: cut.strokes
        .filter((s) => s.pass === number)
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
    })),
  );
}

/** Leads with the wire in, and the way from one cut to the next with the wire out. */
function ways(plan: Plan, o: Origin, patchOf: PatchOf): Piece[] {
  const cuts = cutsOf(plan);
  const travel = cuts.slice(1).map((cut, i) => {
    const before = cuts[i]?.strokes.at(-1)?.to;
    return {
      kind: "travel",
      patch: patchOf(cut.feature),
      d: before ? linesPath(o, [before, cut.thread]) : "",
    };
  });
  const leads = cuts.map((cut) => ({
    kind: "lead",
    patch: patchOf(cut.feature),
    d: linesPath(o, leadPoints(cut)),
  }));
  return [...travel, ...leads];
}

function tabs(plan: Plan, o: Origin, patchOf: PatchOf): Piece[] {
  return cutsOf(plan).map((cut) => ({
    kind: "tab",
    patch: patchOf(cut.feature),
    d: cut.strokes
      .filter((s) => s.stretch === "tab" && s.pass === 1)
      .map((s) => chainPath(o, s.path))
      .join(""),
  }));
}

function holes(plan: Plan, o: Origin, patchOf: PatchOf): Piece[] {
  const all = [
    ...plan.features.flatMap((f) =>
      entriesOf(f).map(({ startHole }) => ({ id: f.id, startHole })),
    ),
    ...plan.slits,
  ].map(({ id, startHole: { at, diameter, drawn } }) => ({
    kind: drawn ? "hole drawn" : "hole",
    patch: patchOf(id),
    d: diameter > 0 ? circlePath(o, at, diameter / 2) : "",
  }));
  return ["hole", "hole drawn"].flatMap((k) => all.filter((p) => p.kind === k));
}

/** Under the wire's centre, which runs on the line. */
function slits(plan: Plan, o: Origin, patchOf: PatchOf): Piece[] {
  return plan.slits.map(({ id, contour }) => ({
    kind: "outline",
    patch: patchOf(id),
    d: chainPath(o, contour.segments, false),
  }));
}

function outlines(plan: Plan, o: Origin, patchOf: PatchOf): Piece[] {
  return [
    {
      kind: "edge",
      patch: 0,
      d: plan.stock ? chainPath(o, plan.stock.segments, true) : "",
    },
    ...plan.features.map((f) => ({
      kind: "outline",
      patch: patchOf(f.id),
      d: chainPath(o, f.contour.segments, true),
    })),
    ...plan.unplanned.map((c) => ({
      kind: "unplanned",
      patch: 0,
      d: chainPath(o, c.segments, c.closed),
    })),
  ];
}

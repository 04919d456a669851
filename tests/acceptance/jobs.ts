/** What the jobs of the outside judge's drawings ask for: numbers that a person would write, with room on the drawing. */
import { insideRing, pt } from "./plane.js";
import type { Asked } from "./printed.js";
import { from, oneOf, type Random, whole } from "./shapes.js";
import type { Role, Truth } from "./truth.js";

export type Job = Record<string, unknown>;

/** What the contract's example of a job says, taken where no job is given. */
export const PLAIN: Asked = {
  wire: 0.25,
  order: "unattended-first",
  clearance: 0.5,
  grid: 0.5,
  overlap: 0.5,
  inch: false,
  control: false,
};

/** Radius of the largest circle within an opening, to about a hundredth of its size. */
function roomIn(truth: Truth, index: number): number {
  const o = truth.outlines[index] as Truth["outlines"][number];
  const b = o.bounds;
  let best = 0;
  // A coarse look is enough where one opening in hundreds decides.
  const n = truth.outlines.length > 50 ? 11 : 24;
  for (let i = 1; i < n; i++)
    for (let j = 1; j < n; j++) {
      const p = pt(
        b.x0 + ((b.x1 - b.x0) * i) / n,
        b.y0 + ((b.y1 - b.y0) * j) / n,
      );
      if (!insideRing(o.ring, p)) continue;
      // No more than 6 mm are asked for; what lies near decides quickly in most places.
      if (truth.edges.nearest(p, best).d <= best) continue;
      best = Math.max(best, Math.min(6, truth.edges.nearest(p, 6).d));
    }
  return best;
}

export interface Wish {
  readonly passes?: number;
  readonly inch?: boolean;
  readonly control?: boolean;
  readonly outer?: Role;
  /** mm: more than this does not stand on the shapes' straight sides. */
  readonly longestTab?: number;
  readonly layers?: Record<string, string>;
}

/** A job that the drawing has room for. */
export function jobFor(
  r: Random,
  truth: Truth,
  wish: Wish,
): { job: Job; asked: Asked } {
  const inch = wish.inch ?? r() < 0.25;
  const unit = inch ? 25.4 : 1;
  // Numbers a person would write in that unit.
  const say = (mm: number): number => Number((mm / unit).toFixed(inch ? 5 : 4));
  const wire = inch
    ? oneOf(r, [0.004, 0.006, 0.008, 0.01, 0.012])
    : oneOf(r, [0.1, 0.15, 0.2, 0.25, 0.3]);
  const n = wish.passes ?? whole(r, 1, 4);
  const gaps = [from(r, 0.02, 0.04), 0.015, 0.01, 0.008];
  const leaves = [from(r, 0.04, 0.06), 0.012, 0.004];
  const passes = Array.from({ length: n }, (_, i) => ({
    kind: i === 0 ? "rough" : "skim",
    gap: say(gaps[i] as number),
    leave: i === n - 1 ? 0 : say(leaves[i] as number),
  }));
  let room = 6;
  truth.outlines.forEach((o, i) => {
    if (o.role === "opening") room = Math.min(room, roomIn(truth, i));
  });
  // The hole must leave slug on both sides of it, or it would cut the slug in two.
  const most = 2 * (room - wire - 0.2);
  const diameter = say(
    Math.max(
      0.4,
      Math.min(oneOf(r, [0.5, 0.8, 1, 1.5, 2]), most * 0.5, room * 0.8),
    ),
  );
  const clearance = say(Math.min(oneOf(r, [0.2, 0.5, 1]), room * 0.3));
  const slack = room - (diameter * unit) / 2 - clearance * unit;
  const grids = inch ? [0.02, 0.01, 0.005, 0.001] : [0.5, 0.25, 0.1, 0.02];
  const grid = grids.find((g) => g * unit < slack) ?? (grids[3] as number);
  const auto = r() < 0.4;
  const tab = say(
    Math.min(wish.longestTab ?? 3, oneOf(r, [0.5, 0.8, 1, 1.5, 2, 3])),
  );
  const order = oneOf(r, ["unattended-first", "one-by-one"] as const);
  const overlap = say(oneOf(r, [0.3, 0.5, 1]));
  const control = wish.control ?? r() < 0.2;
  const byNumber = r() < 0.25;
  const job: Job = {
    units: inch ? "in" : "mm",
    stock: { material: "tool-steel", thickness: say(whole(r, 5, 60)) },
    wire: { diameter: wire, material: "brass" },
    passes: byNumber ? n : passes,
    startHoles: { diameter, clearance, grid },
    lead: { kind: "straight", overlap },
    tabs: { length: auto ? "auto" : tab, minSlugArea: 0 },
    order,
    program: { compensation: control ? "control" : "path" },
    roles: {
      ...(wish.outer ? { outer: wish.outer } : {}),
      ...(wish.layers ? { layers: wish.layers } : {}),
    },
  };
  const asked: Asked = {
    wire: wire * unit,
    order,
    clearance: clearance * unit,
    grid: grid * unit,
    overlap: overlap * unit,
    inch,
    control,
    ...(auto ? {} : { tab: tab * unit }),
    ...(byNumber
      ? { passCount: n }
      : {
          passes: passes.map((p) => ({
            gap: p.gap * unit,
            leave: p.leave * unit,
          })),
        }),
  };
  return { job, asked };
}

/** A job with little room asked for round its start holes. */
export function tightJob(
  r: Random,
  truth: Truth,
  diameter: number,
  wish: Wish = {},
): { job: Job; asked: Asked } {
  const { job, asked } = jobFor(r, truth, {
    outer: "opening",
    inch: false,
    ...wish,
  });
  const startHoles = { diameter, clearance: 0.1, grid: 0.05 };
  return {
    job: { ...job, startHoles },
    asked: { ...asked, clearance: 0.1, grid: 0.05 },
  };
}

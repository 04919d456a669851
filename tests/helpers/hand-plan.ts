/** Plans made by hand, with figures one can work out on paper: rectangles with rounded corners, entered from below. */
import type { Finding } from "../../src/base/finding.js";
import { areaMoments, type Contour } from "../../src/geometry/contour.js";
import {
  arcAbout,
  line,
  reverseSegment,
  type Segment,
} from "../../src/geometry/segment.js";
import { type Vec, vec } from "../../src/geometry/vec.js";
import type { CutRole } from "../../src/plan/feature.js";
import type { JobFile } from "../../src/plan/job/file.js";
import { type Job, settleJob } from "../../src/plan/job/job.js";
import type {
  Plan,
  PlannedFeature,
  Step,
  Stroke,
} from "../../src/plan/plan.js";
import { pieceMass } from "../../src/process/materials.js";

export interface Box {
  readonly id: string;
  readonly role: CutRole;
  readonly layer?: string;
  readonly center: Vec;
  readonly width: number;
  readonly height: number;
  readonly radius: number;
  readonly tab: number;
  readonly depth?: number;
}

/** Rounded rectangle drawn counter-clockwise from `startX` on its lower side round to `endX` on it (or closed). */
function rounded(b: Box, d: number, startX: number, endX: number): Segment[] {
  const r = b.radius + d;
  const { x, y } = b.center;
  const w = b.width / 2 + d;
  const h = b.height / 2 + d;
  const q = Math.PI / 2;
  const corner = (sx: number, sy: number, from: number): Segment =>
    arcAbout(vec(x + sx * (w - r), y + sy * (h - r)), r, from, q);
  return [
    line(vec(startX, y - h), vec(x + w - r, y - h)),
    corner(1, -1, -q),
    line(vec(x + w, y - h + r), vec(x + w, y + h - r)),
    corner(1, 1, 0),
    line(vec(x + w - r, y + h), vec(x - w + r, y + h)),
    corner(-1, 1, q),
    line(vec(x - w, y + h - r), vec(x - w, y - h + r)),
    corner(-1, -1, 2 * q),
    line(vec(x - w + r, y - h), vec(endX, y - h)),
  ];
}

export function boxContour(b: Box): Contour {
  const middle = b.center.x;
  return { closed: true, segments: rounded(b, 0, middle, middle) };
}

/** Where the lead meets the lower side, and where the tab begins. */
const leadX = (b: Box): number => b.center.x + b.tab / 2;
const tabX = (b: Box): number => b.center.x - b.tab / 2;

function feature(b: Box, job: Job): PlannedFeature {
  const contour = boxContour(b);
  const { area, centroid } = areaMoments(contour);
  const below = b.center.y - b.height / 2;
  const hole = vec(leadX(b), b.role === "opening" ? b.center.y : below - 3);
  return {
    id: b.id,
    role: b.role,
    layer: b.layer ?? "CUT",
    contour,
    depth: b.depth ?? 0,
    parent: null,
    area,
    perimeter: 2 * (b.width + b.height) - 8 * b.radius + 2 * Math.PI * b.radius,
    minInsideRadius:
      b.role === "opening"
        ? {
            value: b.radius,
            at: vec(b.center.x + b.width / 2, b.center.y + b.height / 2),
          }
        : null,
    startHole: { at: hole, diameter: 1, drawn: false },
    leadPoint: vec(leadX(b), below),
    tab: { length: b.tab, at: vec(b.center.x, below) },
    further: [],
    slug: {
      mass: pieceMass(area, job.stock.thickness, job.process.material.density),
      cg: centroid,
      area,
      size: [b.width, b.height],
      lean: null,
    },
  };
}

/** Offset as the rectangle's corners see it: inward for an opening. */
const signed = (b: Box, offset: number): number =>
  b.role === "opening" ? -offset : offset;

function stroke(
  b: Box,
  job: Job,
  pass: number,
  stretch: "open" | "tab",
  backwards: boolean,
): Stroke {
  const offset = job.passes[pass - 1]?.offset as number;
  const standOff = signed(b, (job.passes[0]?.offset as number) + 0.1);
  const below = b.center.y - b.height / 2;
  const trip = (d: number): Segment[] =>
    stretch === "open"
      ? rounded(b, d, leadX(b), tabX(b))
      : [line(vec(tabX(b), below - d), vec(leadX(b), below - d))];
  const turned = (list: Segment[]): Segment[] =>
    backwards ? list.map(reverseSegment).reverse() : list;
  const path = turned(trip(signed(b, offset)));
  const away = (p: Vec): Vec => vec(p.x, below - standOff);
  return {
    pass,
    stretch,
    direction: backwards ? "cw" : "ccw",
    side: (b.role === "opening") === backwards ? "right" : "left",
    from: away(path[0]?.start as Vec),
    path,
    outline: turned(trip(0)),
    to: away(path.at(-1)?.end as Vec),
  };
}

function openSteps(b: Box, job: Job, thread: Vec): Step[] {
  const strokes = job.passes.map((p) =>
    stroke(b, job, p.number, "open", p.number % 2 === 0),
  );
  return [
    { kind: "cut", feature: b.id, attended: false, thread, lead: [], strokes },
  ];
}

function tabSteps(b: Box, job: Job, thread: Vec): Step[] {
  const last = job.passes.length;
  const cut = (passes: readonly number[]): Step => ({
    kind: "cut",
    feature: b.id,
    attended: true,
    thread,
    lead: [],
    strokes: passes.map((p) => stroke(b, job, p, "tab", p % 2 === 0)),
  });
  const stop = (action: "secure" | "remove", reason: string): Step => ({
    kind: "stop",
    feature: b.id,
    action,
    reason: `${b.id}: ${reason}`,
  });
  const secure = stop("secure", "secure the slug, it comes loose next");
  if (b.role === "part") return [secure, cut([last])];
  const skims = job.passes.slice(1).map((p) => p.number);
  return [
    secure,
    cut([1]),
    stop("remove", "take the slug out"),
    ...(skims.length ? [cut(skims)] : []),
  ];
}

export function handPlan(
  boxes: readonly Box[],
  options: {
    readonly name?: string;
    readonly job?: JobFile;
    readonly stock?: Contour | null;
    readonly findings?: readonly Finding[];
  } = {},
): Plan {
  const job = settleJob(options.job ?? {});
  const features = boxes.map((b) => feature(b, job));
  const holeOf = (i: number): Vec => features[i]?.startHole.at as Vec;
  return {
    name: options.name ?? "hand-made",
    job,
    stock: options.stock ?? null,
    features,
    steps: [
      ...boxes.flatMap((b, i) => openSteps(b, job, holeOf(i))),
      ...boxes.flatMap((b, i) => tabSteps(b, job, holeOf(i))),
    ],
    travel: { rapid: 0, asDrawn: 0 },
    slits: [],
    unplanned: [],
    findings: options.findings ?? [],
  };
}

/** A 20 × 10 mm window with 1 mm corners in a 60 × 40 mm block. */
export const WINDOW: Box = {
  id: "opening-1",
  role: "opening",
  center: vec(0, 0),
  width: 20,
  height: 10,
  radius: 1,
  tab: 2,
};

export const BLOCK: Contour = boxContour({
  ...WINDOW,
  width: 60,
  height: 40,
  radius: 3,
});

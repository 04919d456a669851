/**
 * Plans by formula for the writer and the proof: squares with sharp corners and circles, entered from below. The lead
 * meets the lower side right of its middle, the tab lies across the middle, and the tab's skims overlap at both ends.
 */
import {
  areaMoments,
  type Contour,
  circleContour,
  contourLength,
  polygonContour,
} from "../../src/geometry/contour.js";
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

export interface Shape {
  readonly id: string;
  readonly role: CutRole;
  readonly kind: "square" | "circle";
  readonly center: Vec;
  /** Side or diameter. */
  readonly size: number;
  readonly tab: number;
}

export const SQUARE: Shape = {
  id: "opening-1",
  role: "opening",
  kind: "square",
  center: vec(0, 0),
  size: 10,
  tab: 1,
};

export function shapeContour(s: Shape): Contour {
  const h = s.size / 2;
  const { x, y } = s.center;
  return s.kind === "circle"
    ? circleContour(s.center, h)
    : polygonContour([
        vec(x - h, y - h),
        vec(x + h, y - h),
        vec(x + h, y + h),
        vec(x - h, y + h),
      ]);
}

/**
 * The shape grown by `d` (mm, negative: shrunk), counter-clockwise from `start` to `end`, both mm along the lower side
 * from its middle (for the circle: along the drawn circle from its lowest point), once round.
 */
function loop(s: Shape, d: number, start: number, end: number): Segment[] {
  const { x, y } = s.center;
  const h = s.size / 2;
  if (s.kind === "circle") {
    const from = -Math.PI / 2 + start / h;
    const sweep =
      end > start ? (end - start) / h : 2 * Math.PI + (end - start) / h;
    const parts = Math.ceil(sweep / 3);
    return Array.from({ length: parts }, (_, k) =>
      arcAbout(s.center, h + d, from + (sweep * k) / parts, sweep / parts),
    );
  }
  const low = y - h - d;
  if (end > start) return [line(vec(x + start, low), vec(x + end, low))];
  // Grown corners are rolled about the drawn corner, shrunk ones stay sharp.
  const c = d > 0 ? h : h + d;
  const e = h + d;
  const corner = (sx: number, sy: number, from: number): Segment[] =>
    d > 0 ? [arcAbout(vec(x + sx * h, y + sy * h), d, from, Math.PI / 2)] : [];
  return [
    line(vec(x + start, low), vec(x + c, low)),
    ...corner(1, -1, -Math.PI / 2),
    line(vec(x + e, y - c), vec(x + e, y + c)),
    ...corner(1, 1, 0),
    line(vec(x + c, y + e), vec(x - c, y + e)),
    ...corner(-1, 1, Math.PI / 2),
    line(vec(x - e, y + c), vec(x - e, y - c)),
    ...corner(-1, -1, Math.PI),
    line(vec(x - c, low), vec(x + end, low)),
  ];
}

/** The point at `along` (mm from the lowest middle) and `d` outside the outline. */
function pointOn(s: Shape, along: number, d: number): Vec {
  const h = s.size / 2;
  if (s.kind === "square") return vec(s.center.x + along, s.center.y - h - d);
  const a = -Math.PI / 2 + along / h;
  return vec(
    s.center.x + (h + d) * Math.cos(a),
    s.center.y + (h + d) * Math.sin(a),
  );
}

function stroke(
  s: Shape,
  job: Job,
  pass: number,
  stretch: "open" | "tab",
  start: number,
  end: number,
  backwards: boolean,
): Stroke {
  const sign = s.role === "opening" ? -1 : 1;
  const first = job.passes[0]?.offset as number;
  const offset = job.passes[pass - 1]?.offset as number;
  const turned = (list: Segment[]): Segment[] =>
    backwards ? list.map(reverseSegment).reverse() : list;
  const away = (along: number): Vec => pointOn(s, along, sign * (first + 0.1));
  return {
    pass,
    stretch,
    direction: backwards ? "cw" : "ccw",
    side: (s.role === "opening") === backwards ? "right" : "left",
    from: away(backwards ? end : start),
    path: turned(loop(s, sign * offset, start, end)),
    outline: turned(loop(s, 0, start, end)),
    to: away(backwards ? start : end),
  };
}

function plannedFeature(s: Shape, job: Job): PlannedFeature {
  const contour = shapeContour(s);
  const { area, centroid } = areaMoments(contour);
  const h = s.size / 2;
  const at =
    s.role === "opening" ? s.center : vec(s.center.x, s.center.y - h - 3);
  return {
    id: s.id,
    role: s.role,
    layer: "CUT",
    contour,
    depth: 0,
    parent: null,
    area,
    perimeter: contourLength(contour),
    minInsideRadius: null,
    startHole: { at, diameter: 1, drawn: false },
    leadPoint: pointOn(s, s.tab / 2, 0),
    tab: { length: s.tab, at: pointOn(s, 0, 0) },
    further: [],
    slug: {
      mass: pieceMass(area, job.stock.thickness, job.process.material.density),
      cg: centroid,
      area,
      size: [s.size, s.size],
      lean: null,
    },
  };
}

function openSteps(s: Shape, job: Job, thread: Vec): Step[] {
  return [
    {
      kind: "cut",
      feature: s.id,
      attended: false,
      thread,
      lead: [],
      strokes: job.passes.map((p) =>
        stroke(
          s,
          job,
          p.number,
          "open",
          s.tab / 2,
          -s.tab / 2,
          p.number % 2 === 0,
        ),
      ),
    },
  ];
}

function tabSteps(s: Shape, job: Job, thread: Vec): Step[] {
  const over = job.lead.overlap;
  const sign = s.role === "opening" ? -1 : 1;
  const standOff = sign * ((job.passes[0]?.offset as number) + 0.1);
  const cut = (strokes: readonly Stroke[]): Step => ({
    kind: "cut",
    feature: s.id,
    attended: true,
    thread,
    // Back along the first lead: another way through the slug would cut a chip out of it.
    lead: [pointOn(s, s.tab / 2, standOff)],
    strokes,
  });
  const stop = (action: "secure" | "remove", what: string): Step => ({
    kind: "stop",
    feature: s.id,
    action,
    reason: `${s.id}: ${what}`,
  });
  const tab = (pass: number, more: number, backwards: boolean): Stroke =>
    stroke(s, job, pass, "tab", -s.tab / 2 - more, s.tab / 2 + more, backwards);
  const last = job.passes.length;
  if (s.role === "part")
    return [
      stop("secure", "hold the part, it comes loose next"),
      cut([tab(last, over, false)]),
    ];
  return [
    stop("secure", "secure the slug, it comes loose next"),
    cut([tab(1, 0, false)]),
    stop("remove", "take the slug out"),
    ...(last > 1
      ? [
          cut(
            job.passes
              .slice(1)
              .map((p) => tab(p.number, over, p.number % 2 === 0)),
          ),
        ]
      : []),
  ];
}

export function planOf(
  shapes: readonly Shape[],
  file: JobFile = {},
  stock: Contour | null = null,
): Plan {
  const job = settleJob(file);
  const features = shapes.map((s) => plannedFeature(s, job));
  const hole = (i: number): Vec => features[i]?.startHole.at as Vec;
  return {
    name: "by formula",
    job,
    stock,
    features,
    steps: [
      ...shapes.flatMap((s, i) => openSteps(s, job, hole(i))),
      ...shapes.flatMap((s, i) => tabSteps(s, job, hole(i))),
    ],
    travel: { rapid: 0, asDrawn: 0 },
    slits: [],
    unplanned: [],
    findings: [],
  };
}

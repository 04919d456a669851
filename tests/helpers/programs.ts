/**
 * Programs typed by formula, without the writer: what a careful person would type for a square opening, a round
 * opening and a punch. Default job: wire 0.25, offsets 0.21, 0.145 and 0.135.
 */
import {
  type Contour,
  circleContour,
  polygonContour,
} from "../../src/geometry/contour.js";
import { type Vec, vec } from "../../src/geometry/vec.js";
import type { CutRole, Feature, Layout } from "../../src/plan/feature.js";
import type { JobFile } from "../../src/plan/job/file.js";
import { type Job, settleJob } from "../../src/plan/job/job.js";
import { readProgram } from "../../src/program/trace.js";
import { NEUTRAL } from "../../src/program/words.js";
import { proveAsMeant } from "../../src/proof/meant.js";
import type { Proof } from "../../src/proof/proof.js";
import { prove } from "../../src/proof/prove.js";

export const JOB = settleJob({});

export const jobOf = (file: JobFile): Job => settleJob(file);

export function feature(
  id: string,
  role: CutRole,
  contour: Contour,
  depth = 0,
  parent: string | null = null,
): Feature {
  return { id, role, layer: "CUT", contour, depth, parent };
}

export function layoutOf(
  features: readonly Feature[],
  more: Partial<Layout> = {},
): Layout {
  return {
    features,
    stock: null,
    holes: [],
    tabMarks: [],
    slits: [],
    keepOff: [],
    ...more,
  };
}

export function squareContour(size: number, center: Vec = vec(0, 0)): Contour {
  const h = size / 2;
  return polygonContour([
    vec(center.x - h, center.y - h),
    vec(center.x + h, center.y - h),
    vec(center.x + h, center.y + h),
    vec(center.x - h, center.y + h),
  ]);
}

export const SQUARE = layoutOf([
  feature("opening-1", "opening", squareContour(10)),
]);
export const ROUND = layoutOf([
  feature("opening-1", "opening", circleContour(vec(0, 0), 10)),
]);
export const PUNCH = layoutOf([feature("part-1", "part", squareContour(10))]);

export function proveText(
  lines: readonly string[],
  layout: Layout = SQUARE,
  job: Job = JOB,
): Proof {
  return prove(readProgram(lines.join("\n"), NEUTRAL), layout, job);
}

/** The same for a program that somebody typed: a slip that goes through all of it is looked for. */
export function proveTyped(
  lines: readonly string[],
  layout: Layout = SQUARE,
  job: Job = JOB,
): Proof {
  const text = lines.join("\n");
  return proveAsMeant((as) => readProgram(text, NEUTRAL, as), layout, job)
    .proof;
}

const n = (value: number): string => value.toFixed(4);
const to = (x: number, y: number): string => `G01 X${n(x)} Y${n(y)}`;

export const HEAD = ["%", "G71 G90 G17 G40"];
export const TAIL = ["M30", "%"];

export const threadAt = (x: number, y: number): string[] => [
  `G00 X${n(x)} Y${n(y)}`,
  "T1 M06",
  "M08",
];
export const CUT_WIRE = ["M09", "T0 M06"];

/** Half the distance between the two ends of the rough; the tab is that less half a kerf (0.155) on either side. */
const P = 0.7;
/** Overlap of the tab's skims beyond those ends. */
const LAP = 0.5;

/** A square opening of side 10 about `c`: three passes over the open stretch, the tab below, later. */
export function squareStrokes(c: Vec = vec(0, 0), job: Job = JOB) {
  const at = (x: number, y: number): string => to(c.x + x, c.y + y);
  const standOff = -5 + (job.passes[0]?.offset as number) + 0.1;
  const round = (o: number, back: boolean): string[] => {
    const s = 5 - o;
    const corners = [at(s, -s), at(s, s), at(-s, s), at(-s, -s)];
    const begin = back ? -P : P;
    return [
      at(begin, -s),
      ...(back ? corners.reverse() : corners),
      at(-begin, -s),
      at(-begin, standOff),
    ];
  };
  const tab = (o: number, from: number, until: number): string[] => [
    at(from, standOff),
    at(from, -5 + o),
    at(until, -5 + o),
    at(until, standOff),
  ];
  const [rough, ...skims] = job.passes.map((p) => p.offset) as [
    number,
    ...number[],
  ];
  return {
    lead: at(P, standOff),
    open: [rough, ...skims].map((o, k) => round(o, k % 2 === 1)),
    tab: tab(rough, -P, P),
    skims: skims.map((o, k) =>
      k % 2 === 0 ? tab(o, -P - LAP, P + LAP) : tab(o, P + LAP, -P - LAP),
    ),
    hole: threadAt(c.x + P, c.y),
  };
}

export function squareProgram(job: Job = JOB): string[] {
  const s = squareStrokes(vec(0, 0), job);
  return [
    ...HEAD,
    ...s.hole,
    s.lead,
    ...s.open.flat(),
    ...CUT_WIRE,
    "M00 (opening-1: secure the slug, it comes loose next)",
    ...s.hole,
    s.lead,
    ...s.tab,
    ...CUT_WIRE,
    "M00 (opening-1: take the slug out)",
    ...s.hole,
    s.lead,
    ...s.skims.flat(),
    ...CUT_WIRE,
    ...TAIL,
  ];
}

/**
 * A round opening of diameter 20 in quarters, its ends on the axes: the rough and the skims leave out the last 1.4 mm
 * of arc before the lowest point. Coordinates on the 0.0001 mm grid.
 */
export function roundProgram(job: Job = JOB): string[] {
  const R = 10;
  const gap = 1.4 / R;
  const standOff = R - (job.passes[0]?.offset as number) - 0.1;
  const spot = (r: number, angle: number): [number, number] => [
    Math.round(r * Math.cos(angle) * 1e4) / 1e4,
    Math.round(r * Math.sin(angle) * 1e4) / 1e4,
  ];
  const down = -Math.PI / 2;
  const point = (r: number, angle: number): string => to(...spot(r, angle));
  const arcs = (r: number, angles: readonly number[]): string[] =>
    angles.slice(1).map((a, k) => {
      const before = angles[k] as number;
      const [x, y] = spot(r, a);
      const [sx, sy] = spot(r, before);
      return `${a > before ? "G03" : "G02"} X${n(x)} Y${n(y)} I${n(-sx)} J${n(-sy)}`;
    });
  const stroke = (r: number, angles: readonly number[]): string[] => [
    point(standOff, angles[0] as number),
    point(r, angles[0] as number),
    ...arcs(r, angles),
    point(standOff, angles.at(-1) as number),
  ];
  const q = Math.PI / 2;
  const open = [down, down + q, down + 2 * q, down + 3 * q, down + 4 * q - gap];
  const lap = LAP / R;
  const tab = [down - gap, down];
  const tabLong = [down - gap - lap, down + lap];
  const radii = job.passes.map((p) => R - p.offset);
  const [rough, ...skims] = radii as [number, ...number[]];
  const hole = threadAt(0, -5);
  const lead = point(standOff, down);
  return [
    ...HEAD,
    ...hole,
    ...radii.flatMap((r, k) =>
      stroke(r, k % 2 === 1 ? [...open].reverse() : open),
    ),
    ...CUT_WIRE,
    "M00 (opening-1: secure the slug)",
    ...hole,
    lead,
    ...stroke(rough, tab),
    ...CUT_WIRE,
    "M00 (opening-1: take the slug out)",
    ...hole,
    lead,
    ...skims.flatMap((r, k) =>
      stroke(r, k % 2 === 1 ? [...tabLong].reverse() : tabLong),
    ),
    ...CUT_WIRE,
    ...TAIL,
  ];
}

/** A punch of side 10, cut from outside with the corners rolled; its tab below is cut last, at the finish offset. */
export function punchProgram(job: Job = JOB): string[] {
  const standOff = -5 - (job.passes[0]?.offset as number) - 0.1;
  const offsets = job.passes.map((p) => p.offset);
  const last = offsets.at(-1) as number;
  const round = (o: number, back: boolean): string[] => {
    const e = 5 + o;
    const word = back ? "G02" : "G03";
    const corner = (x: number, y: number, i: number, j: number): string =>
      `${word} X${n(x)} Y${n(y)} I${n(i)} J${n(j)}`;
    const begin = back ? -P : P;
    const way = back
      ? [
          to(-5, -e),
          corner(-e, -5, 0, o),
          to(-e, 5),
          corner(-5, e, o, 0),
          to(5, e),
          corner(e, 5, 0, -o),
          to(e, -5),
          corner(5, -e, -o, 0),
        ]
      : [
          to(5, -e),
          corner(e, -5, 0, o),
          to(e, 5),
          corner(5, e, -o, 0),
          to(-5, e),
          corner(-e, 5, 0, -o),
          to(-e, -5),
          corner(-5, -e, o, 0),
        ];
    return [to(begin, -e), ...way, to(-begin, -e), to(-begin, standOff)];
  };
  const hole = threadAt(P, -9);
  return [
    ...HEAD,
    ...hole,
    to(P, standOff),
    ...offsets.flatMap((o, k) => round(o, k % 2 === 1)),
    ...CUT_WIRE,
    "M00 (part-1: hold the part, it comes loose next)",
    ...hole,
    to(P, standOff),
    to(P + LAP, standOff),
    to(P + LAP, -5 - last),
    to(-P - LAP, -5 - last),
    to(-P - LAP, standOff),
    ...CUT_WIRE,
    ...TAIL,
  ];
}

/** The square opening again, with the offsets left to the control. */
export function controlProgram(): string[] {
  const standOff = "-4.6900";
  const stroke = (
    side: "G41" | "G42",
    d: number,
    points: readonly (readonly [number, number])[],
  ): string[] => [
    `${side} ${to(...(points[0] as [number, number]))} D${d}`,
    ...points.slice(1).map(([x, y]) => to(x, y)),
    `G40 G01 X${n((points.at(-1) as [number, number])[0])} Y${standOff}`,
  ];
  const ccw: (readonly [number, number])[] = [
    [P, -5],
    [5, -5],
    [5, 5],
    [-5, 5],
    [-5, -5],
    [-P, -5],
  ];
  const cw = [...ccw].reverse();
  const hole = threadAt(P, 0);
  const lead = `G01 X${n(P)} Y${standOff}`;
  const at = (x: number): string => `G01 X${n(x)} Y${standOff}`;
  return [
    ...HEAD,
    ...hole,
    lead,
    ...stroke("G41", 1, ccw),
    ...stroke("G42", 2, cw),
    ...stroke("G41", 3, ccw),
    ...CUT_WIRE,
    "M00 (opening-1: secure the slug)",
    ...hole,
    lead,
    at(-P),
    ...stroke("G41", 1, [
      [-P, -5],
      [P, -5],
    ]),
    ...CUT_WIRE,
    "M00 (opening-1: take the slug out)",
    ...hole,
    lead,
    at(-P - LAP),
    ...stroke("G41", 2, [
      [-P - LAP, -5],
      [P + LAP, -5],
    ]),
    ...stroke("G42", 3, [
      [P + LAP, -5],
      [-P - LAP, -5],
    ]),
    ...CUT_WIRE,
    ...TAIL,
  ];
}

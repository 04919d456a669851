/** Random layouts and jobs, as a tool room might bring them, for the planner's promise: what it finds no error in is proved. */
import {
  type Contour,
  circleContour,
  contourBox,
  counterClockwise,
  polygonContour,
} from "../../src/geometry/contour.js";
import { arcAbout, line, type Segment } from "../../src/geometry/segment.js";
import type { Vec } from "../../src/geometry/vec.js";
import type { CutRole, Feature, Layout } from "../../src/plan/feature.js";
import type { JobFile } from "../../src/plan/job-file.js";
import { feature, rectangle } from "../helpers/layouts.js";
import { gear, randomContour, rounded, star } from "../helpers/shapes.js";

type Random = () => number;

const between = (rnd: Random, low: number, high: number): number =>
  low + (high - low) * rnd();
const whole = (rnd: Random, low: number, high: number): number =>
  Math.floor(between(rnd, low, high + 1));
const pick = <T>(rnd: Random, from: readonly T[]): T =>
  from[Math.floor(rnd() * from.length)] as T;
const maybe = <T extends object>(
  rnd: Random,
  share: number,
  what: T,
): Partial<T> => (rnd() < share ? what : {});

/** About the origin, at most some 20 mm across. */
const SHAPES: Readonly<Record<string, (rnd: Random) => Contour | null>> = {
  gear: (rnd) =>
    gear(whole(rnd, 8, 16), 6, between(rnd, 4.4, 5.4), between(rnd, 0.2, 0.5)),
  "rounded star": (rnd) =>
    rounded(star(whole(rnd, 5, 10), 7, 4), between(rnd, 0.1, 0.75)),
  star: (rnd) => polygonContour(star(whole(rnd, 5, 10), 7, 4)),
  nasty: (rnd) => {
    const c = randomContour(rnd);
    return c && c.segments.length < 60 ? c : null;
  },
  bore: (rnd) => circleContour({ x: 0, y: 0 }, between(rnd, 0.6, 6)),
  slot: (rnd) => {
    const h = between(rnd, 0.4, 2);
    const box = corners(between(rnd, 2, 7), h);
    return rounded(box, h * between(rnd, 0.2, 0.999));
  },
  window: (rnd) =>
    polygonContour(corners(between(rnd, 1, 7), between(rnd, 1, 7))),
  cross: (rnd) => {
    const w = between(rnd, 0.3, 2);
    const points = [
      ...[
        [w, -6],
        [w, -w],
        [6, -w],
        [6, w],
        [w, w],
        [w, 6],
      ],
      ...[
        [-w, 6],
        [-w, w],
        [-6, w],
        [-6, -w],
        [-w, -w],
        [-w, -6],
      ],
    ].map(([x = 0, y = 0]) => ({ x, y }));
    return rnd() < 0.3
      ? polygonContour(points)
      : rounded(points, w * between(rnd, 0.1, 0.9));
  },
};

function corners(w: number, h: number): Vec[] {
  return [
    { x: -w, y: -h },
    { x: w, y: -h },
    { x: w, y: h },
    { x: -w, y: h },
  ];
}

/** Turned, made larger and moved to where nothing lies on a grid. */
function moved(c: Contour, angle: number, size: number, to: Vec): Contour {
  const cos = size * Math.cos(angle);
  const sin = size * Math.sin(angle);
  const at = (p: Vec): Vec => ({
    x: to.x + cos * p.x - sin * p.y,
    y: to.y + sin * p.x + cos * p.y,
  });
  const segments = c.segments.map((s): Segment => {
    if (s.kind === "line") return line(at(s.start), at(s.end));
    const center = at(s.center);
    const start = at(s.start);
    return {
      ...arcAbout(
        center,
        s.radius * size,
        Math.atan2(start.y - center.y, start.x - center.x),
        s.sweep,
      ),
      start,
      end: at(s.end),
    };
  });
  return { closed: true, segments };
}

interface Shape {
  readonly kind: string;
  readonly contour: Contour;
}

function shape(rnd: Random): Shape {
  for (;;) {
    const kind = pick(rnd, Object.keys(SHAPES));
    const contour = SHAPES[kind]?.(rnd);
    if (contour) return { kind, contour: counterClockwise(contour) };
  }
}

/** Rows and columns so far apart that no shape reaches the next. */
const CELL = 24;

export interface PlanCase {
  readonly layout: Layout;
  readonly file: JobFile;
  /** For a person who reads the failure. */
  readonly how: string;
}

/** One to four outlines, bare or in a block or in a part, some with a bore in them; and a job for them. */
export function planCase(rnd: Random): PlanCase {
  const bare = rnd() < 0.5;
  const count = bare ? 1 : whole(rnd, 1, 4);
  const shapes = Array.from({ length: count }, () => shape(rnd));
  const size = between(rnd, 0.3, 1.2);
  const angle = rnd() < 0.3 ? 0 : between(rnd, 0, 2 * Math.PI);
  const role: CutRole = rnd() < 0.35 ? "part" : "opening";
  const outer = bare ? null : pick(rnd, ["stock", "part", null] as const);
  const block = rectangle(
    -CELL / 2 - 2,
    -CELL / 2 - 2,
    CELL * count + 4,
    CELL + 4,
  );
  const frame = outer === "part" ? feature("part-0", "part", block) : null;
  const inFrame: CutRole = frame ? "opening" : role;
  const features: Feature[] = frame ? [frame] : [];
  shapes.forEach(({ contour }, k) => {
    const at = {
      x: CELL * k + between(rnd, -1, 1),
      y: between(rnd, -1, 1),
    };
    const turn = angle + (rnd() < 0.5 ? 0 : k);
    const one = feature(
      `${inFrame}-${k + 1}`,
      inFrame,
      moved(contour, turn, size, at),
      frame,
    );
    features.push(one);
    const within = rnd() < 0.25 ? inside(rnd, one, at) : null;
    if (within) features.push(within);
  });
  return {
    layout: {
      features,
      stock: outer === "stock" ? block : null,
      holes: [],
      tabMarks: [],
      keepOff: [],
    },
    file: jobFile(rnd, outer === "stock"),
    how: `${outer ?? "bare"}, ${inFrame}: ${shapes.map((s) => s.kind).join(", ")}`,
  };
}

/** A small bore about `at`, if it lies well within the outline. */
function inside(rnd: Random, { id, contour, role, depth }: Feature, at: Vec) {
  const radius = between(rnd, 0.5, 1.5);
  const room = Math.min(
    ...contour.segments.flatMap((s) => [
      Math.hypot(s.start.x - at.x, s.start.y - at.y),
    ]),
  );
  const box = contourBox(contour);
  const narrow = Math.min(box.maxX - box.minX, box.maxY - box.minY);
  if (room < radius + 1.5 || narrow < 4 * radius + 3) return null;
  const other: CutRole = role === "part" ? "opening" : "part";
  return {
    ...feature(`${other}-in-${id}`, other, circleContour(at, radius)),
    depth: depth + 1,
    parent: id,
  };
}

const GRIDS = {
  mm: [0.0001, 0.0001, 0.0001, 0.0003, 0.0005, 0.001, 0.002],
  in: [0.00001, 0.00001, 0.00001, 0.00002, 0.00005, 0.0001],
};

function jobFile(rnd: Random, block: boolean): JobFile {
  const units = rnd() < 0.25 ? "in" : "mm";
  const per = units === "in" ? 25.4 : 1;
  const mm = (n: number): number => Number((n / per).toFixed(6));
  const passes = whole(rnd, 1, 4);
  const spread = rnd() < 0.15 ? { spread: mm(between(rnd, 0.05, 0.5)) } : {};
  const arc = rnd() < 0.2 ? { radius: mm(between(rnd, 0.1, 1)) } : null;
  return {
    units,
    wire: { diameter: mm(pick(rnd, [0.1, 0.15, 0.2, 0.25, 0.3])) },
    stock: {
      thickness: mm(whole(rnd, 4, 60)),
      ...maybe(rnd, 0.15, { material: "carbide" }),
    },
    passes,
    ...maybe(rnd, 0.15, { flushing: "open" as const }),
    ...(passes > 1 && rnd() < 0.25 ? { stressRelief: true } : {}),
    ...(block && rnd() < 0.4 ? { start: "edge" as const } : {}),
    startHoles: maybe(rnd, 0.4, {
      diameter: mm(pick(rnd, [0.5, 0.8, 1, 1.5])),
      clearance: mm(pick(rnd, [0.1, 0.3, 0.5])),
    }),
    tabs: {
      length:
        rnd() < 0.5
          ? ("auto" as const)
          : mm(Number(between(rnd, 0.2, 2).toFixed(2))),
      ...maybe(rnd, 0.15, { minSlugArea: Number((20 / per ** 2).toFixed(6)) }),
    },
    lead: {
      overlap: mm(pick(rnd, [0, 0.3, 0.5, 1])),
      kind: arc ? "arc" : "straight",
      ...arc,
      ...(passes > 1 ? spread : {}),
    },
    order: pick(rnd, ["unattended-first", "one-by-one"] as const),
    program: {
      compensation: rnd() < 0.3 ? "control" : "path",
      resolution: pick(rnd, GRIDS[units]),
    },
  } as JobFile;
}

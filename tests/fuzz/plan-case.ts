/** Random layouts and jobs, as a tool room might bring them, for the planner's promise: what it finds no error in is proved. */
import {
  type Contour,
  circleContour,
  contourBox,
  counterClockwise,
  polygonContour,
} from "../../src/geometry/contour.js";
import {
  arcAbout,
  line,
  pointAt,
  type Segment,
} from "../../src/geometry/segment.js";
import type { Vec } from "../../src/geometry/vec.js";
import type {
  CutRole,
  DrawnHole,
  Feature,
  Layout,
  Slit,
} from "../../src/plan/feature.js";
import type { JobFile } from "../../src/plan/job/file.js";
import { feature, rectangle } from "../helpers/layouts.js";
import {
  bulged,
  gear,
  randomContour,
  rounded,
  star,
} from "../helpers/shapes.js";
import { between, maybe, pick, type Random, whole } from "./chance.js";
import { slitCase } from "./slit-case.js";

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
  keyway,
  comb,
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

/** A keyway of random width and depth cut into a bore. */
function keyway(rnd: Random): Contour {
  const r = between(rnd, 2, 6);
  const w = r * between(rnd, 0.05, 0.6);
  const deep = r * between(rnd, 0.1, 0.5);
  const top = Math.sqrt(r * r - w * w);
  const arc = 2 * Math.PI - 2 * Math.asin(w / r);
  return bulged([
    [w, top, 0],
    [w, r + deep, 0],
    [-w, r + deep, 0],
    [-w, top, Math.tan(arc / 4)],
  ]);
}

/** Rooms of random height off a passage of random width, its corners sharp or rounded. */
function comb(rnd: Random): Contour {
  const n = whole(rnd, 1, 4);
  const points: Vec[] = [];
  const pitch = 12 / n;
  const floor = between(rnd, 0.2, 1.5);
  for (let k = 0; k < n; k++) {
    const x = 6 - k * pitch;
    const w = pitch * between(rnd, 0.05, 0.9);
    const h = floor + between(rnd, 0.2, 5);
    points.push(
      { x: x - (pitch - w) / 2, y: h },
      { x: x - (pitch + w) / 2, y: h },
      { x: x - (pitch + w) / 2, y: floor },
      { x: x - pitch - (pitch - w) / 2, y: floor },
    );
  }
  points.pop();
  const [first] = points as [Vec];
  const last = points.at(-1) as Vec;
  const all = [
    { x: last.x, y: -1 },
    { x: first.x, y: -1 },
    ...points.slice(0, -1),
    last,
  ];
  return rnd() < 0.5
    ? polygonContour(all)
    : rounded(all, between(rnd, 0.02, 0.5));
}

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

/**
 * One to four outlines, bare or in a block or in a part, some with a bore in them; and a job for them. `slits` is the
 * share of cases with slits, which are drawn last.
 */
export function planCase(rnd: Random, slits = 0.2): PlanCase {
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
  const settled = jobFile(rnd, outer === "stock");
  const stock = outer === "stock" ? block : null;
  const holes = rnd() < 0.2 ? drawnHoles(rnd, features) : [];
  const tabMarks = rnd() < 0.1 ? features.map((f) => somewhere(rnd, f)) : [];
  const keepOff =
    rnd() < 0.1
      ? features.flatMap((f) => f.contour.segments.filter(() => rnd() < 0.3))
      : [];
  const file =
    rnd() < 0.3 ? { ...settled, ...byHand(rnd, features, settled) } : settled;
  const lines = rnd() < slits ? slitCase(rnd, features, stock) : [];
  return {
    layout: {
      features,
      slits: lines,
      stock,
      holes: [...holes, ...(rnd() < 0.15 ? lines.map(endHole(rnd)) : [])],
      tabMarks,
      // As a drawing's layout has it.
      keepOff: [...keepOff, ...lines.flatMap((s) => s.contour.segments)],
    },
    file,
    how: `${outer ?? "bare"}, ${inFrame}: ${[...shapes.map((s) => s.kind), ...lines.map(() => "slit")].join(", ")}`,
  };
}

/** A hole drawn at an end of a slit, or nearly there. */
const endHole =
  (rnd: Random) =>
  ({ contour }: Slit): DrawnHole => {
    const { start } = contour.segments[0] as Segment;
    const { end } = contour.segments.at(-1) as Segment;
    const off = rnd() < 0.6 ? 0 : between(rnd, 0, 0.4);
    return {
      at: moveBy(pick(rnd, [start, end]), off),
      diameter: rnd() < 0.2 ? null : between(rnd, 0.3, 2),
    };
  };

const moveBy = ({ x, y }: Vec, off: number): Vec => ({
  x: x + off,
  y: y + off / 2,
});

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

/** A place on the outline. */
function somewhere(rnd: Random, { contour }: Feature): Vec {
  return pointAt(pick(rnd, contour.segments), rnd());
}

/** Holes that are there already, by the middle of the outline or anywhere within its box. */
function drawnHoles(rnd: Random, features: readonly Feature[]): DrawnHole[] {
  return features.flatMap(({ contour }) => {
    const box = contourBox(contour);
    const middle = rnd() < 0.5;
    const somewhere = (low: number, high: number): number =>
      low + (high - low) * (middle ? 0.5 : rnd());
    return Array.from({ length: whole(rnd, 0, 2) }, () => ({
      at: {
        x: somewhere(box.minX, box.maxX),
        y: somewhere(box.minY, box.maxY),
      },
      diameter: rnd() < 0.2 ? null : between(rnd, 0.3, 4),
    }));
  });
}

/** Tabs, leads, holes and the order decided by hand, and roles of passes that a shop has found by trial. */
function byHand(
  rnd: Random,
  features: readonly Feature[],
  { units, wire }: JobFile,
): Partial<JobFile> {
  const per = units === "in" ? 25.4 : 1;
  const mm = (n: number): number => Number((n / per).toFixed(6));
  const at = (f: Feature): [number, number] => {
    const { x, y } = somewhere(rnd, f);
    return [mm(x), mm(y)];
  };
  const one = (f: Feature) => ({
    ...maybe(rnd, 0.6, {
      tab: Array.from({ length: whole(rnd, 1, 3) }, () => ({
        at: at(f),
        ...maybe(rnd, 0.3, { length: mm(between(rnd, 0.2, 2)) }),
      })),
    }),
    ...maybe(rnd, 0.2, { lead: { at: at(f) } }),
    ...maybe(rnd, 0.1, { start: pick(rnd, ["edge", "hole"] as const) }),
  });
  const passes = Array.from({ length: whole(rnd, 1, 4) }, () => ({
    gap: between(rnd, 0.004, 0.06),
    leave: between(rnd, 0.001, 0.4 * (wire?.diameter ?? 0.2) * per),
  }))
    .sort((a, b) => b.gap + b.leave - a.gap - a.leave)
    .map(({ gap, leave }, i, { length }) => ({
      gap: mm(gap),
      leave: i === length - 1 ? 0 : mm(leave),
    }));
  const last = passes.at(-1) as { gap: number; leave: number };
  const far = passes.at(-2);
  if (far && last.gap >= far.gap + far.leave) last.gap = far.gap;
  return {
    ...maybe(rnd, 0.5, {
      features: Object.fromEntries(
        features.filter(() => rnd() < 0.7).map((f) => [f.id, one(f)]),
      ),
    }),
    ...maybe(rnd, 0.5, { passes }),
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
  const wire = pick(rnd, [0.05, 0.1, 0.15, 0.2, 0.25, 0.3, 0.36]);
  const stressRelief =
    passes > 1 && rnd() < 0.25
      ? rnd() < 0.3
        ? { leave: mm(wire * between(rnd, 0.4, 1)) }
        : true
      : false;
  const spread = rnd() < 0.15 ? { spread: mm(between(rnd, 0.05, 0.5)) } : {};
  const arc = rnd() < 0.2 ? { radius: mm(between(rnd, 0.3, 1.2)) } : null;
  return {
    units,
    wire: { diameter: mm(wire) },
    stock: {
      thickness: mm(whole(rnd, 4, 60)),
      ...maybe(rnd, 0.15, { material: "carbide" }),
    },
    passes,
    ...maybe(rnd, 0.15, { flushing: "open" as const }),
    ...(stressRelief ? { stressRelief } : {}),
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
    order:
      stressRelief || rnd() < 0.5
        ? ("unattended-first" as const)
        : ("one-by-one" as const),
    program: {
      compensation: rnd() < 0.3 ? "control" : "path",
      resolution: pick(rnd, GRIDS[units]),
    },
  } as JobFile;
}

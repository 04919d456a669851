/** Drawings and jobs for the outside judge, each from a family and a seed; the truth is kept beside the file's text. */
import { Units } from "@tarikjabiri/dxf";
import {
  draw,
  drawSquashedCircle,
  newSheet,
  type Placing,
  place,
  placePoint,
  type Sheet,
  STYLES,
  type Style,
  still,
} from "./draw.js";
import { type Bounds, insideRing, type Pt, pt } from "./plane.js";
import type { Asked } from "./printed.js";
import {
  bulgePolygon,
  type Drawn,
  ellipseOf,
  from,
  MAKERS,
  oneOf,
  polygon,
  type Random,
  randomFrom,
  rounded,
  slot,
  whole,
} from "./shapes.js";
import { knowTruth, type Role, type TrueOutline, type Truth } from "./truth.js";

export interface Case {
  readonly name: string;
  readonly seed: number;
  readonly dxf: string;
  readonly job: object | null;
  readonly args: readonly string[];
  readonly asked: Asked;
  readonly truth: Truth;
  /** A refusal with an error finding is as good an answer as a right program. */
  readonly mayRefuse?: boolean;
}

type Job = Record<string, unknown>;

/** What the contract's example of a job says, taken where no job is given. */
const PLAIN: Asked = {
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

interface Wish {
  readonly passes?: number;
  readonly inch?: boolean;
  readonly control?: boolean;
  readonly outer?: Role;
  readonly layers?: Record<string, string>;
}

/** A job that the drawing has room for. */
function jobFor(
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
  const tab = say(oneOf(r, [0.5, 0.8, 1, 1.5, 2, 3]));
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

const UNITS: Readonly<Record<string, readonly [Units, number]>> = {
  mm: [Units.Millimeters, 1],
  in: [Units.Inches, 25.4],
  cm: [Units.Centimeters, 10],
  m: [Units.Meters, 1000],
  micron: [Units.Microns, 0.001],
};

const sheetIn = (r: Random, unit: string): Sheet => {
  const [code, mm] = UNITS[unit] as readonly [Units, number];
  return newSheet(code, mm, r);
};

const anywhere = (r: Random, reach: number): Placing => ({
  mirror: r() < 0.4,
  scale: 1,
  turn: r() < 0.3 ? 0 : from(r, 0, 2 * Math.PI),
  to: pt(from(r, -reach, reach), from(r, -reach, reach)),
});

const as = (d: Drawn, role: Role, layer: string): TrueOutline => ({
  kind: d.kind,
  spans: d.spans,
  role,
  layer,
});

const anyStyle = (r: Random): Style => oneOf(r, STYLES);
const makerNames = Object.keys(MAKERS);
const make = (r: Random, name: string): Drawn =>
  (MAKERS[name] as (r: Random) => Drawn)(r);

function single(
  seed: number,
  maker: string,
  role: "opening" | "part",
  how: { unit?: string; reach?: number; style?: Style; wish?: Wish } = {},
): Omit<Case, "name" | "seed"> {
  const r = randomFrom(seed);
  const sheet = sheetIn(r, how.unit ?? oneOf(r, ["mm", "mm", "in", "cm"]));
  const d = draw(
    sheet,
    make(r, maker),
    anywhere(r, how.reach ?? 60),
    how.style ?? anyStyle(r),
    "0",
  );
  const truth = knowTruth([as(d, role, "0")]);
  const plain = role === "part" && !how.wish && r() < 0.15;
  const { job, asked } = jobFor(r, truth, { ...how.wish, outer: role });
  return plain
    ? {
        dxf: sheet.writer.stringify(),
        job: null,
        args: [],
        asked: PLAIN,
        truth,
      }
    : { dxf: sheet.writer.stringify(), job, args: [], asked, truth };
}

/** Cells of a square lattice, row by row, with a shape of the given kinds in each. */
function scatter(
  r: Random,
  sheet: Sheet,
  names: readonly string[],
  pitch: number,
  columns: number,
  at: Pt,
  layer: string,
  role: Role,
  fit: number,
): TrueOutline[] {
  return names.map((name, i) => {
    const d = make(r, name);
    const b = knowTruth([as(d, role, layer)]).outlines[0]?.bounds as Bounds;
    const size = Math.hypot(b.x1 - b.x0, b.y1 - b.y0);
    const scale = Math.min(1, fit / size);
    const turn = from(r, 0, 2 * Math.PI);
    const mirror = r() < 0.3;
    // The middle of its box goes to the middle of the cell.
    const middle = pt((b.x0 + b.x1) / 2, (b.y0 + b.y1) / 2);
    const c = placePoint({ ...still, mirror, scale, turn }, middle);
    const cell = pt(
      at.x + ((i % columns) + 0.5) * pitch,
      at.y + (Math.floor(i / columns) + 0.5) * pitch,
    );
    const drawn = draw(
      sheet,
      d,
      { mirror, scale, turn, to: pt(cell.x - c.x, cell.y - c.y) },
      anyStyle(r),
      layer,
    );
    return as(drawn, role, layer);
  });
}

function frame(w: number, h: number, at: Pt): Drawn {
  return place(
    { ...still, to: at },
    polygon("block", [pt(0, 0), pt(w, 0), pt(w, h), pt(0, h)]),
  );
}

/** Openings on a layer of their own in a block. */
function block(
  seed: number,
  count: number,
  pitch: number,
  wish: Wish & { names?: readonly string[]; at?: Pt } = {},
): Omit<Case, "name" | "seed"> {
  const r = randomFrom(seed);
  const sheet = sheetIn(r, "mm");
  const at = wish.at ?? pt(whole(r, -50, 50), whole(r, -50, 50));
  const columns = Math.ceil(Math.sqrt(count * 1.3));
  const rows = Math.ceil(count / columns);
  const names = Array.from({ length: count }, () =>
    oneOf(r, wish.names ?? makerNames),
  );
  const edge = frame(columns * pitch, rows * pitch, at);
  const outlines = scatter(
    r,
    sheet,
    names,
    pitch,
    columns,
    at,
    "DIE",
    "opening",
    pitch - 6,
  );
  draw(sheet, edge, still, "loose", "BLOCK");
  const truth = knowTruth([as(edge, "stock", "BLOCK"), ...outlines]);
  const { job, asked } = jobFor(r, truth, {
    ...wish,
    layers: { BLOCK: "stock", DIE: "opening", NOTES: "ignore" },
  });
  return { dxf: sheet.writer.stringify(), job, args: [], asked, truth };
}

/** A part with openings in it, roles by nesting. */
function plate(seed: number): Omit<Case, "name" | "seed"> {
  const r = randomFrom(seed);
  const sheet = sheetIn(r, oneOf(r, ["mm", "in"]));
  const columns = whole(r, 1, 3);
  const rows = whole(r, 1, 2);
  const pitch = 30;
  const at = pt(whole(r, -40, 40), whole(r, -40, 40));
  const outer = place(
    {
      ...still,
      to: pt(at.x + (columns * pitch) / 2, at.y + (rows * pitch) / 2),
    },
    platform(r, columns * pitch, rows * pitch),
  );
  draw(sheet, outer, still, anyStyle(r), "0");
  const names = Array.from({ length: columns * rows }, () =>
    oneOf(r, makerNames),
  );
  const outlines = scatter(
    r,
    sheet,
    names,
    pitch,
    columns,
    at,
    "0",
    "opening",
    pitch - 8,
  );
  const truth = knowTruth([as(outer, "part", "0"), ...outlines]);
  const { job, asked } = jobFor(r, truth, {});
  return { dxf: sheet.writer.stringify(), job, args: [], asked, truth };
}

/** A plate about the origin, every corner with a radius or a point of its own. */
function platform(r: Random, w: number, h: number): Drawn {
  const corner = (x: number, y: number): { p: Pt; r: number } => ({
    p: pt((x * w) / 2, (y * h) / 2),
    r: oneOf(r, [0, 0.5, 2, 4]),
  });
  return rounded("plate", [
    corner(-1, -1),
    corner(1, -1),
    corner(1, 1),
    corner(-1, 1),
  ]);
}

/** Several parts out of one block. */
function parts(seed: number): Omit<Case, "name" | "seed"> {
  const r = randomFrom(seed);
  const sheet = sheetIn(r, "mm");
  const count = whole(r, 2, 4);
  const columns = 2;
  const pitch = 36;
  const at = pt(whole(r, -30, 30), whole(r, -30, 30));
  const edge = frame(columns * pitch, Math.ceil(count / 2) * pitch, at);
  draw(sheet, edge, still, "lwpolyline", "BLOCK");
  const names = Array.from({ length: count }, () => oneOf(r, makerNames));
  const outlines = scatter(
    r,
    sheet,
    names,
    pitch,
    columns,
    at,
    "PUNCH",
    "part",
    24,
  );
  const truth = knowTruth([as(edge, "stock", "BLOCK"), ...outlines]);
  const { job, asked } = jobFor(r, truth, {
    layers: { BLOCK: "stock", PUNCH: "part" },
  });
  return { dxf: sheet.writer.stringify(), job, args: [], asked, truth };
}

/** A circle made an ellipse by an INSERT with two scales. */
function squashed(seed: number): Omit<Case, "name" | "seed"> {
  const r = randomFrom(seed);
  const sheet = sheetIn(r, "mm");
  const radius = from(r, 3, 6);
  const sx = from(r, 1.1, 2);
  const sy = from(r, 0.6, 1);
  const turn = from(r, 0, 3);
  const to = pt(from(r, -20, 20), from(r, -20, 20));
  drawSquashedCircle(sheet, radius, sx, sy, turn, to, "0");
  const major = pt(radius * sx * Math.cos(turn), radius * sx * Math.sin(turn));
  const d = ellipseOf(to, major, sy / sx);
  const truth = knowTruth([as(d, "opening", "0")]);
  const { job, asked } = jobFor(r, truth, { outer: "opening" });
  return { dxf: sheet.writer.stringify(), job, args: [], asked, truth };
}

/** A job with little room asked for round its start holes. */
function tightJob(
  r: Random,
  truth: Truth,
  diameter: number,
): { job: Job; asked: Asked } {
  const { job, asked } = jobFor(r, truth, { outer: "opening", inch: false });
  const startHoles = { diameter, clearance: 0.1, grid: 0.05 };
  return {
    job: { ...job, startHoles },
    asked: { ...asked, clearance: 0.1, grid: 0.05 },
  };
}

/** A slot hardly wider than kerf and start hole: the slug may be cut in two by its own start hole, or be no slug at all. */
function tightSlot(seed: number): Omit<Case, "name" | "seed"> {
  const r = randomFrom(seed);
  const sheet = sheetIn(r, "mm");
  const width = from(r, 0.6, 2);
  const d = draw(sheet, slot(r, width), anywhere(r, 20), anyStyle(r), "0");
  const truth = knowTruth([as(d, "opening", "0")]);
  const hole = Number(
    Math.max(0.35, from(r, 0.4, 0.9) * (width - 0.25)).toFixed(2),
  );
  return {
    dxf: sheet.writer.stringify(),
    args: [],
    truth,
    mayRefuse: true,
    ...tightJob(r, truth, hole),
  };
}

/** Two lobes and a neck that the wire passes, but its rough or its slug may not. */
function neck(seed: number): Omit<Case, "name" | "seed"> {
  const r = randomFrom(seed);
  const sheet = sheetIn(r, "mm");
  const h = from(r, 0.2, 1.3) / 2;
  const x = 8 - Math.sqrt(25 - h * h);
  const bulge = Math.tan((Math.PI - Math.asin(h / 5)) / 2);
  const shape = bulgePolygon("dumbbell", [
    { p: pt(-x, -h), bulge: 0 },
    { p: pt(x, -h), bulge },
    { p: pt(x, h), bulge: 0 },
    { p: pt(-x, h), bulge },
  ]);
  const d = draw(sheet, shape, anywhere(r, 20), anyStyle(r), "0");
  const truth = knowTruth([as(d, "opening", "0")]);
  return {
    dxf: sheet.writer.stringify(),
    args: [],
    truth,
    mayRefuse: true,
    ...tightJob(r, truth, 1),
  };
}

/** 400 openings with three passes, the size the contract asks to be done in ten seconds. */
const MANY: Wish & { names: readonly string[] } = {
  passes: 3,
  inch: false,
  control: false,
  names: [
    "rectangle",
    "slot",
    "circle",
    "regular",
    "star",
    "gear-straight",
    "gear-radial",
    "keyhole",
    "L",
    "T",
    "round-plate",
    "ellipse",
    "arc-polygon",
  ],
};

type Family = (seed: number) => Omit<Case, "name" | "seed">;

export const FAMILIES: Readonly<Record<string, Family>> = {
  ...Object.fromEntries(
    makerNames.flatMap((m): [string, Family][] => [
      [`opening-${m}`, (s) => single(s, m, "opening")],
      [`part-${m}`, (s) => single(s, m, "part")],
    ]),
  ),
  plate,
  parts,
  block: (s) => block(s, 2 + (s % 9), 34),
  far: (s) =>
    single(
      s,
      oneOf(randomFrom(s + 1), makerNames),
      oneOf(randomFrom(s + 2), ["opening", "part"] as const),
      {
        reach: 9.9e3,
      },
    ),
  inch: (s) =>
    single(s, oneOf(randomFrom(s + 1), makerNames), "opening", {
      unit: "in",
      wish: { inch: true },
    }),
  "spline-inch": (s) =>
    single(
      s,
      oneOf(randomFrom(s + 1), ["spline-periodic", "spline-rational"]),
      oneOf(randomFrom(s + 2), ["opening", "part"] as const),
      {
        unit: "in",
        wish: { inch: true },
      },
    ),
  units: (s) =>
    single(s, oneOf(randomFrom(s + 1), makerNames), "opening", {
      unit: oneOf(randomFrom(s + 3), ["cm", "m", "micron"]),
    }),
  insert: (s) =>
    single(s, oneOf(randomFrom(s + 1), makerNames), "opening", {
      style: oneOf(randomFrom(s + 3), ["insert", "nested"] as const),
    }),
  control: (s) =>
    single(
      s,
      oneOf(randomFrom(s + 1), makerNames),
      oneOf(randomFrom(s + 2), ["opening", "part"] as const),
      {
        wish: { control: true },
      },
    ),
  squashed,
  "tight-slot": tightSlot,
  neck,
  many: (s) => block(s, 400, 20, MANY),
};

export function caseOf(name: string, seed: number): Case {
  const family = FAMILIES[name];
  if (!family) throw new RangeError(`no family ${name}`);
  // Families must not share their random numbers: the name goes into the seed.
  let mixed = seed * 7919;
  for (const ch of name) mixed = (mixed * 31 + ch.charCodeAt(0)) % 2147483647;
  return { name, seed, ...family(mixed) };
}

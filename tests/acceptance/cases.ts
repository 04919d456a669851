/** Drawings and jobs for the outside judge, each from a family and a seed; the truth is kept beside the file's text. */

import {
  draw,
  drawSquashedCircle,
  place,
  placePoint,
  type Sheet,
  type Style,
  still,
} from "./draw.js";
import { HARD } from "./hard-cases.js";
import { type Job, jobFor, PLAIN, type Wish } from "./jobs.js";
import { type Bounds, type Pt, pt } from "./plane.js";
import {
  type Drawn,
  ellipseOf,
  from,
  oneOf,
  polygon,
  type Random,
  randomFrom,
  rounded,
  whole,
} from "./shapes.js";
import {
  anyStyle,
  anywhere,
  as,
  type Case,
  type Family,
  make,
  makerNames,
  sheetIn,
} from "./sheets.js";
import { knowTruth, type Role, type TrueOutline } from "./truth.js";

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
function parts(
  seed: number,
  apart: readonly [number, number] = [12, 12],
): Omit<Case, "name" | "seed"> {
  const r = randomFrom(seed);
  const sheet = sheetIn(r, "mm");
  const count = whole(r, 2, 4);
  const columns = 2;
  const size = 24;
  const pitch = size + (apart[0] === apart[1] ? apart[0] : from(r, ...apart));
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
    size,
  );
  const truth = knowTruth([as(edge, "stock", "BLOCK"), ...outlines]);
  const { job, asked } = jobFor(r, truth, {
    layers: { BLOCK: "stock", PUNCH: "part" },
  });
  return { dxf: sheet.writer.stringify(), job, args: [], asked, truth };
}

/** The parts cut in from the block's edge, where a way leads to them. */
function fromEdge(c: Omit<Case, "name" | "seed">): Omit<Case, "name" | "seed"> {
  return {
    ...c,
    job: { ...c.job, start: "edge" },
    asked: { ...c.asked, edge: true },
    mayRefuse: true,
  };
}

/** Stress let out first: all roughs, the slugs out, a rest, all skims. */
function relieved(c: Omit<Case, "name" | "seed">): Omit<Case, "name" | "seed"> {
  const { passes, passCount, ...asked } = c.asked;
  const job = c.job as Job;
  const alone = (passes?.length ?? passCount) === 1;
  return {
    ...c,
    // One pass alone has no skims to come after a rest.
    job: {
      ...job,
      ...(alone ? { passes: 3 } : {}),
      stressRelief: true,
      order: "unattended-first",
    },
    asked: {
      ...(alone ? { ...asked, passCount: 3 } : c.asked),
      relief: true,
      order: "unattended-first",
    },
    mayRefuse: true,
  };
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

/** 400 openings with three passes, the size the contract asks to be done in ten seconds. */
const MANY: Wish & { names: readonly string[] } = {
  passes: 3,
  inch: false,
  control: false,
  longestTab: 1,
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

export const FAMILIES: Readonly<Record<string, Family>> = {
  ...Object.fromEntries(
    makerNames.flatMap((m): [string, Family][] => [
      [`opening-${m}`, (s) => single(s, m, "opening")],
      [`part-${m}`, (s) => single(s, m, "part")],
    ]),
  ),
  plate,
  parts: (s) => parts(s),
  crowd: (s) => ({ ...parts(s, [0.5, 5]), mayRefuse: true }),
  edge: (s) => fromEdge(parts(s, [4, 12])),
  relief: (s) => relieved(s % 2 ? plate(s) : block(s, 2 + (s % 3), 34)),
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
  ...HARD,
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

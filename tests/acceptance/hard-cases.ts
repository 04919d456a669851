/** Families that ask for what most drawings do not: necks, several tabs, passes that leave less, openings cut away whole, holes drawn. */
import { draw, place, still } from "./draw.js";
import { jobFor, tightJob, type Wish } from "./jobs.js";
import { type Bounds, gap, type Pt, pointOn, pt } from "./plane.js";
import {
  bulgePolygon,
  type Drawn,
  from,
  MAKERS,
  oneOf,
  randomFrom,
  rounded,
  slot,
  whole,
} from "./shapes.js";
import {
  anyStyle,
  anywhere,
  as,
  type Case,
  type Family,
  make,
  sheetIn,
} from "./sheets.js";
import { knowTruth, type Truth } from "./truth.js";

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
function neckWith(
  seed: number,
  width: readonly [number, number],
  wish: Wish,
): Omit<Case, "name" | "seed"> {
  const r = randomFrom(seed);
  const sheet = sheetIn(r, "mm");
  const h = from(r, ...width) / 2;
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
    ...tightJob(r, truth, 1, wish),
  };
}

/** A neck that the finish passes and the rough may not, its offsets in the control's registers. */
function neckControl(seed: number): Omit<Case, "name" | "seed"> {
  return neckWith(seed, [0.28, 0.75], { control: true, passes: 3 });
}

/** A piece of over 5 kg: one tab does not hold it. */
function heavy(seed: number): Omit<Case, "name" | "seed"> {
  const r = randomFrom(seed);
  const sheet = sheetIn(r, "mm");
  const role = oneOf(r, ["opening", "part"] as const);
  const [x, y] = [from(r, 70, 100), from(r, 60, 75)];
  const corner = (sx: number, sy: number): { p: Pt; r: number } => ({
    p: pt(sx * x, sy * y),
    r: oneOf(r, [0, 1, 8]),
  });
  const shape = rounded("slab", [
    corner(-1, -1),
    corner(1, -1),
    corner(1, 1),
    corner(-1, 1),
  ]);
  const d = draw(sheet, shape, anywhere(r, 20), anyStyle(r), "0");
  const truth = knowTruth([as(d, role, "0")]);
  const { job, asked } = jobFor(r, truth, { outer: role, inch: false });
  return {
    dxf: sheet.writer.stringify(),
    args: [],
    truth,
    job: {
      ...job,
      stock: { material: "tool-steel", thickness: whole(r, 45, 70) },
    },
    asked,
  };
}

/** Two or three tabs put by hand on straight sides. */
function tabsByHand(seed: number): Omit<Case, "name" | "seed"> {
  const r = randomFrom(seed);
  const sheet = sheetIn(r, "mm");
  const role = oneOf(r, ["opening", "part"] as const);
  const name = oneOf(r, ["rectangle", "regular", "L", "T", "U", "star"]);
  const d = draw(sheet, make(r, name), anywhere(r, 30), anyStyle(r), "0");
  const truth = knowTruth([as(d, role, "0")]);
  const { job, asked } = jobFor(r, truth, { outer: role, inch: false });
  const sides = d.spans.flatMap((s) =>
    s.t === "straight" && gap(s.a, s.b) > 4 ? [s] : [],
  );
  const first = Math.floor(r() * Math.max(1, sides.length));
  const step = Math.max(1, Math.floor(sides.length / oneOf(r, [2, 2, 3])));
  const chosen = [0, 1, 2]
    .map((i) => first + i * step)
    .filter((i) => i < first + sides.length)
    .flatMap((i) => sides[i % sides.length] ?? []);
  const tab = chosen.map((s) => {
    const p = pointOn(s, from(r, 0.4, 0.6));
    return { at: [p.x, p.y] };
  });
  return {
    dxf: sheet.writer.stringify(),
    args: [],
    truth,
    mayRefuse: true,
    job:
      tab.length > 0 ? { ...job, features: { [`${role}-1`]: { tab } } } : job,
    asked,
  };
}

/** Small openings of any shape, asked to be cut away whole. */
function cutAway(seed: number): Omit<Case, "name" | "seed"> {
  const r = randomFrom(seed);
  const sheet = sheetIn(r, "mm");
  const name = oneOf(r, Object.keys(MAKERS));
  const placing = { ...anywhere(r, 30), scale: from(r, 0.15, 0.4) };
  const d = draw(sheet, make(r, name), placing, anyStyle(r), "0");
  const truth = knowTruth([as(d, "opening", "0")]);
  const { job, asked } = tightJob(r, truth, oneOf(r, [0.4, 0.5, 0.8]), {
    passes: whole(r, 1, 3),
  });
  return {
    dxf: sheet.writer.stringify(),
    args: [],
    truth,
    mayRefuse: true,
    job: { ...job, tabs: { minSlugArea: 1e4 } },
    asked,
  };
}

/** An opening with its start hole drawn, small or nearly as large as the opening; the slug kept, or cut away whole. */
function drawnHole(away: boolean): Family {
  return (seed) => {
    const r = randomFrom(seed);
    const sheet = sheetIn(r, "mm");
    const name = oneOf(r, ["rectangle", "regular", "circle", "slot"]);
    const scale = away ? from(r, 0.2, 0.5) : 1;
    const placing = { ...anywhere(r, 30), scale };
    const d = draw(sheet, make(r, name), placing, anyStyle(r), "0");
    const truth = knowTruth([as(d, "opening", "0")]);
    const b = (truth.outlines[0] as Truth["outlines"][number]).bounds;
    const middle = pt((b.x0 + b.x1) / 2, (b.y0 + b.y1) / 2);
    const room = truth.edges.nearest(middle, 50).d;
    const share = away ? from(r, 0.3, 0.97) : from(r, 0.1, 0.4);
    const radius = Math.max(0.25, Number((share * room).toFixed(3)));
    const at = place({ ...still, to: middle }, circleOf(radius));
    draw(sheet, at, still, "loose", "HOLES");
    const { job, asked } = tightJob(r, truth, 0.5, { passes: whole(r, 1, 3) });
    return {
      dxf: sheet.writer.stringify(),
      args: [],
      truth,
      mayRefuse: true,
      job: {
        ...job,
        startHoles: { layer: "HOLES", clearance: 0.1, grid: 0.05 },
        ...(away ? { tabs: { minSlugArea: 1e4 } } : {}),
      },
      asked: { ...asked, drawn: [{ at: middle, diameter: 2 * radius }] },
    };
  };
}

/** Part in opening in part, three or four deep, each a smaller copy of the one around it. */
function nested(seed: number): Omit<Case, "name" | "seed"> {
  const r = randomFrom(seed);
  const sheet = sheetIn(r, "mm");
  const shape = make(
    r,
    oneOf(r, ["rectangle", "regular", "circle", "ellipse"]),
  );
  const b = knowTruth([as(shape, "part", "0")]).outlines[0]?.bounds as Bounds;
  const size = Math.min(b.x1 - b.x0, b.y1 - b.y0);
  const first = oneOf(r, ["part", "opening"] as const);
  const other = first === "part" ? "opening" : "part";
  const placing = anywhere(r, 30);
  let scale = from(r, 40, 70) / size;
  const outlines = Array.from({ length: whole(r, 2, 4) }, (_, i) => {
    const d = draw(sheet, shape, { ...placing, scale }, anyStyle(r), "0");
    scale *= from(r, 0.45, 0.75);
    return as(d, i % 2 ? other : first, "0");
  });
  const truth = knowTruth(outlines);
  return {
    dxf: sheet.writer.stringify(),
    args: [],
    truth,
    mayRefuse: true,
    ...jobFor(r, truth, { outer: first, inch: false }),
  };
}

function circleOf(radius: number): Drawn {
  return bulgePolygon("hole", [
    { p: pt(-radius, 0), bulge: 1 },
    { p: pt(radius, 0), bulge: 1 },
  ]);
}

export const HARD: Readonly<Record<string, Family>> = {
  "tight-slot": tightSlot,
  neck: (s) => neckWith(s, [0.2, 1.3], {}),
  "neck-control": neckControl,
  heavy,
  nested,
  "tabs-by-hand": tabsByHand,
  "cut-away": cutAway,
  "drawn-hole": drawnHole(false),
  "cut-away-hole": drawnHole(true),
};

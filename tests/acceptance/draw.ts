/** Outlines put in place and written as DXF by an independent library, in every way a drawing office might draw them. */
import {
  type DxfBlock,
  DxfWriter,
  LWPolylineFlags,
  point2d,
  point3d,
  SplineFlags,
  type Units,
} from "@tarikjabiri/dxf";
import { bulgeOf, folded, gap, type Piece, type Pt, pt } from "./plane.js";
import { type Drawn, type Entity, oneOf, type Random } from "./shapes.js";
import { reversedSpan, type Span } from "./truth.js";

/** Mirrored in the y axis first, then scaled, turned, moved: the order in which an INSERT works. */
export interface Placing {
  readonly mirror: boolean;
  readonly scale: number;
  readonly turn: number;
  readonly to: Pt;
}

export const still: Placing = {
  mirror: false,
  scale: 1,
  turn: 0,
  to: pt(0, 0),
};

export function placePoint(m: Placing, p: Pt): Pt {
  const x = (m.mirror ? -p.x : p.x) * m.scale;
  const y = p.y * m.scale;
  const c = Math.cos(m.turn);
  const s = Math.sin(m.turn);
  return pt(m.to.x + c * x - s * y, m.to.y + s * x + c * y);
}

function placeSpan(m: Placing, s: Span): Span {
  const go = (p: Pt): Pt => placePoint(m, p);
  if (s.t === "smooth")
    return {
      t: "smooth",
      points: s.points.map(go),
      headings: s.headings.map((h) =>
        folded((m.mirror ? Math.PI - h : h) + m.turn),
      ),
    };
  if (s.t === "straight") return { t: "straight", a: go(s.a), b: go(s.b) };
  return {
    t: "round",
    a: go(s.a),
    b: go(s.b),
    c: go(s.c),
    r: s.r * m.scale,
    turn: m.mirror ? -s.turn : s.turn,
  };
}

export function place(m: Placing, d: Drawn): Drawn {
  const spans = d.spans.map((s) => placeSpan(m, s));
  const ccw = m.mirror ? spans.reverse().map(reversedSpan) : spans;
  return {
    kind: d.kind,
    spans: ccw,
    ...(d.entity ? { entity: placeEntity(m, d.entity) } : {}),
  };
}

function placeEntity(m: Placing, e: Entity): Entity {
  if (e.e === "circle")
    return { ...e, c: placePoint(m, e.c), r: e.r * m.scale };
  if (e.e === "ellipse") {
    const c = placePoint(m, e.c);
    const tip = placePoint(m, pt(e.c.x + e.major.x, e.c.y + e.major.y));
    return { ...e, c, major: pt(tip.x - c.x, tip.y - c.y) };
  }
  return { ...e, points: e.points.map((p) => placePoint(m, p)) };
}

/** How a contour of lines and arcs is put on paper. */
export type Style =
  | "lwpolyline"
  /** LINE and ARC in random order and direction. */
  | "loose"
  /** The same with every number cut to a millionth of a mm. */
  | "loose-cut"
  /** Seen from below: extrusion (0, 0, -1). */
  | "ocs"
  /** In a block, in the block's own units and place, brought in by INSERT. */
  | "insert"
  /** In a block within a block. */
  | "nested";

export const STYLES: readonly Style[] = [
  "lwpolyline",
  "loose",
  "loose-cut",
  "ocs",
  "insert",
  "nested",
];

type Target = DxfWriter | DxfBlock;

const degrees = (rad: number): number => (rad * 180) / Math.PI;
const p2 = (p: Pt): { x: number; y: number } => point2d(p.x, p.y);
const p3 = (p: Pt): { x: number; y: number; z: number } => point3d(p.x, p.y, 0);

function drawEntity(to: Target, e: Entity, layerName: string): void {
  if (e.e === "circle") to.addCircle(p3(e.c), e.r, { layerName });
  else if (e.e === "ellipse")
    to.addEllipse(p3(e.c), p3(e.major), e.ratio, 0, 2 * Math.PI, { layerName });
  else
    to.addSpline(
      {
        controlPoints: e.points.map(p3),
        degreeCurve: e.degree,
        knots: [...e.knots],
        flags:
          SplineFlags.Planar |
          SplineFlags.Closed |
          (e.periodic ? SplineFlags.Periodic : 0) |
          (e.weights ? SplineFlags.Rational : 0),
        ...(e.weights ? { weights: [...e.weights] } : {}),
      },
      { layerName },
    );
}

function drawLoose(
  to: Target,
  r: Random,
  pieces: readonly Piece[],
  layerName: string,
  decimals: number | null,
): void {
  const n = (v: number): number =>
    decimals === null ? v : Number(v.toFixed(Math.max(0, decimals)));
  const cut = (p: Pt): Pt => pt(n(p.x), n(p.y));
  const pile = [...pieces];
  for (let i = pile.length - 1; i > 0; i--) {
    const j = Math.floor(r() * (i + 1));
    [pile[i], pile[j]] = [pile[j] as Piece, pile[i] as Piece];
  }
  for (const s of pile) {
    if (s.t === "straight") {
      const [a, b] = r() < 0.5 ? [s.a, s.b] : [s.b, s.a];
      to.addLine(p3(cut(a)), p3(cut(b)), { layerName });
      continue;
    }
    const [a, b] = s.turn > 0 ? [s.a, s.b] : [s.b, s.a];
    const angle = (p: Pt): number => {
      const d = degrees(Math.atan2(p.y - s.c.y, p.x - s.c.x));
      const up = d < 0 ? d + 360 : d;
      return decimals === null ? up : Number(up.toFixed(8));
    };
    to.addArc(p3(cut(s.c)), n(s.r), angle(a), angle(b), { layerName });
  }
}

function drawPolyline(
  to: Target,
  r: Random,
  pieces: readonly Piece[],
  layerName: string,
): void {
  // Any vertex may be the first and either way round is a drawing office's choice.
  const k = Math.floor(r() * pieces.length);
  let run: Piece[] = [...pieces.slice(k), ...pieces.slice(0, k)];
  if (r() < 0.5) run = run.reverse().map((s) => reversedSpan(s) as Piece);
  to.addLWPolyline(
    run.map((s) => ({ point: p2(s.a), bulge: bulgeOf(s) })),
    { flags: LWPolylineFlags.Closed, layerName },
  );
}

/** The same outline drawn on the underside: x changes sign, arcs keep their sense in their own plane. */
function drawFromBelow(
  to: Target,
  pieces: readonly Piece[],
  layerName: string,
): void {
  const extrusion = point3d(0, 0, -1);
  const flip = (p: Pt): Pt => pt(-p.x, p.y);
  to.addLWPolyline(
    pieces.map((s) => ({ point: p2(flip(s.a)), bulge: -bulgeOf(s) })),
    { flags: LWPolylineFlags.Closed, layerName, extrusion },
  );
}

export interface Sheet {
  readonly writer: DxfWriter;
  /** mm in one drawing unit. */
  readonly unit: number;
  readonly random: Random;
  blocks: number;
}

export function newSheet(units: Units, unit: number, random: Random): Sheet {
  const writer = new DxfWriter();
  writer.setUnits(units);
  return { writer, unit, random, blocks: 0 };
}

/** Draws `d` placed by `m`; the returned outline is where it truly lies, mm. */
export function draw(
  sheet: Sheet,
  d: Drawn,
  m: Placing,
  style: Style,
  layer: string,
): Drawn {
  const { writer, unit, random } = sheet;
  if (layer !== "0" && !writer.layer(layer))
    writer.addLayer(layer, 1 + Math.floor(random() * 6), "Continuous");
  const truth = place(m, d);
  const shrink: Placing = { ...still, scale: 1 / unit };
  const put = (to: Target, x: Drawn, lay: string, how: Style): void => {
    if (x.entity?.e === "circle" && how === "ocs") {
      const { c, r } = x.entity;
      to.addCircle(p3(pt(-c.x, c.y)), r, {
        layerName: lay,
        extrusion: point3d(0, 0, -1),
      });
      return;
    }
    // A circle may as well come as two half circles; other curves have one entity that is exact.
    if (x.entity && !(x.entity.e === "circle" && random() < 0.4)) {
      drawEntity(to, x.entity, lay);
      return;
    }
    const pieces = x.spans as Piece[];
    if (how === "loose") drawLoose(to, random, pieces, lay, null);
    else if (how === "loose-cut")
      drawLoose(to, random, pieces, lay, 6 + Math.ceil(Math.log10(unit)));
    else if (how === "ocs") drawFromBelow(to, pieces, lay);
    else drawPolyline(to, random, pieces, lay);
  };
  if (style !== "insert" && style !== "nested") {
    put(writer, place(shrink, truth), layer, style);
    return truth;
  }
  // The block is drawn in its own units, so the INSERT's scale must carry them.
  const blockUnit = oneOf(random, [1, 25.4, 10, 0.5]);
  sheet.blocks++;
  const name = `B${sheet.blocks}`;
  const block = writer.addBlock(name);
  const inner = oneOf(random, ["0", layer]);
  put(
    block,
    place({ ...still, scale: 1 / blockUnit }, d),
    inner,
    oneOf(random, ["lwpolyline", "loose"]),
  );
  const scale = (m.scale * blockUnit) / unit;
  const insert = (into: Target, b: string, k: Placing): void => {
    into.addInsert(b, p3(k.to), {
      layerName: layer,
      rotationAngle: degrees(k.turn),
      scaleFactor: { x: k.mirror ? -k.scale : k.scale, y: k.scale, z: k.scale },
    });
  };
  const world = pt(m.to.x / unit, m.to.y / unit);
  if (style === "insert") {
    insert(writer, name, { ...m, scale, to: world });
    return truth;
  }
  // Half the turn, and a shift, in the outer block; the rest in the insert of that.
  const outer = writer.addBlock(`${name}OUTER`);
  const shift = pt(3, -2);
  insert(outer, name, {
    mirror: m.mirror,
    scale: scale / 2,
    turn: m.turn / 2,
    to: shift,
  });
  const half = { mirror: false, scale: 2, turn: m.turn / 2, to: pt(0, 0) };
  const moved = placePoint(half, shift);
  insert(writer, `${name}OUTER`, {
    ...half,
    to: pt(world.x - moved.x, world.y - moved.y),
  });
  return truth;
}

/** A circle in a block, inserted with unequal scales: an ellipse in truth. */
export function drawSquashedCircle(
  sheet: Sheet,
  radius: number,
  sx: number,
  sy: number,
  turn: number,
  to: Pt,
  layer: string,
): void {
  const { writer, unit } = sheet;
  sheet.blocks++;
  const name = `B${sheet.blocks}`;
  const block = writer.addBlock(name);
  block.addCircle(p3(pt(0, 0)), radius, { layerName: layer });
  writer.addInsert(name, p3(pt(to.x / unit, to.y / unit)), {
    layerName: layer,
    rotationAngle: degrees(turn),
    scaleFactor: { x: sx / unit, y: sy / unit, z: 1 },
  });
}

/** Ends that ought to meet do: the greatest gap from span to span. */
export function worstGap(d: Drawn): number {
  let worst = 0;
  const ends = d.spans.map((s) =>
    s.t === "smooth"
      ? {
          a: s.points[0] as Pt,
          b: s.points[s.points.length - 1] as Pt,
        }
      : s,
  );
  ends.forEach((s, i) => {
    worst = Math.max(
      worst,
      gap(s.b, (ends[(i + 1) % ends.length] as { a: Pt }).a),
    );
  });
  return worst;
}

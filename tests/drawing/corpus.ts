/**
 * Drawing files whose areas and perimeters are known from formulas and quadrature, never from our own reader: another
 * library's DXF in every version, form and unit, and blocks placed askew, which that library cannot write.
 */
import type { Units } from "@tarikjabiri/dxf";
import {
  draw,
  newSheet,
  type Placing,
  STYLES,
  type Style,
} from "../acceptance/draw.js";
import { bulgeOf, type Piece, type Pt, pt } from "../acceptance/plane.js";
import {
  type Drawn,
  from,
  MAKERS,
  oneOf,
  randomFrom,
} from "../acceptance/shapes.js";
import { knowTruth } from "../acceptance/truth.js";
import { binaryDxf } from "../helpers/binary-dxf.js";
import {
  arcTags,
  dxfText,
  insertTags,
  lineTags,
  type Tags,
} from "../helpers/dxf.js";

export interface KnownOutline {
  readonly layer: string;
  /** mm² */
  readonly area: number;
  /** mm */
  readonly perimeter: number;
  /** Whether it is a curve that is fitted. */
  readonly curved: boolean;
}

export interface KnownFile {
  readonly name: string;
  readonly bytes: Uint8Array;
  readonly outlines: readonly KnownOutline[];
  /** How far (mm) the numbers in the file are rounded. */
  readonly rounding: number;
}

/** Versions of the format by the name in `$ACADVER`, oldest first; the first three know neither LWPOLYLINE nor curves. */
const VERSIONS = [
  ["R9", "AC1004"],
  ["R10", "AC1006"],
  ["R12", "AC1009"],
  ["R13", "AC1012"],
  ["R14", "AC1014"],
  ["2000", "AC1015"],
  ["2004", "AC1018"],
  ["2007", "AC1021"],
  ["2010", "AC1024"],
  ["2013", "AC1027"],
  ["2018", "AC1032"],
] as const;
const OLD = 3;

/** Codes of `$INSUNITS` that a workshop's drawing may have, with mm (DXF reference; 1 in = 25.4 mm). */
const UNITS = [
  [4, 1],
  [1, 25.4],
  [5, 10],
  [6, 1000],
  [13, 0.001],
  [2, 304.8],
  [9, 0.0254],
  [14, 100],
  [22, 100_000 / 3937],
] as const;

const FORMS = ["LF", "CRLF", "CR", "padded", "binary"] as const;

const CURVED = ["ellipse", "spline-periodic", "spline-rational"];

/** The `k`th file: shapes, style, version, unit and form take turns, so that all meet. */
export function writtenFile(k: number): KnownFile {
  const r = randomFrom(7919 * (k + 1));
  const names = Object.keys(MAKERS);
  const shape = names[k % names.length] as string;
  const curved = CURVED.includes(shape);
  const style = STYLES[k % STYLES.length] as Style;
  const v = curved
    ? OLD + (k % (VERSIONS.length - OLD))
    : (3 * k) % VERSIONS.length;
  const [version, mark] = VERSIONS[v] as (typeof VERSIONS)[number];
  const [code, mm] = UNITS[k % UNITS.length] as (typeof UNITS)[number];
  const form = FORMS[k % FORMS.length] as (typeof FORMS)[number];
  const sheet = newSheet(code as Units, mm, r);
  const known: KnownOutline[] = [];
  for (const [i, layer] of ["CUT", "DIE"].entries()) {
    const place: Placing = {
      mirror: r() < 0.4,
      scale: 1,
      turn: from(r, 0, 2 * Math.PI),
      to: pt(from(r, -500, 500) + 2000 * i, from(r, -500, 500)),
    };
    const maker = MAKERS[i === 0 ? shape : "keyhole"] as (r: unknown) => Drawn;
    const d = draw(sheet, maker(r), place, style, layer);
    const truth = knowTruth([{ ...d, role: "opening", layer }]).outlines[0];
    known.push({
      layer,
      area: truth?.area ?? 0,
      perimeter: truth?.perimeter ?? 0,
      curved: i === 0 && curved,
    });
  }
  const plain = sheet.writer.stringify().replaceAll("\r", "");
  const tags = pairs(plain).map(([c, value], i, all): Pair => {
    const variable = all[i - 1]?.[1];
    return variable === "$ACADVER" ? [c, mark] : [c, value];
  });
  const text = unpaired(v < OLD ? asOld(tags) : tags);
  return {
    name: `${k}: ${shape}, ${style}, ${version}, unit ${code}, ${form}`,
    bytes: inForm(text, form, v < OLD),
    outlines: known,
    rounding: style === "loose-cut" ? 2e-6 : 0,
  };
}

type Pair = readonly [code: string, value: string];

function pairs(text: string): Pair[] {
  const lines = text.split("\n");
  return Array.from({ length: lines.length >> 1 }, (_, i) => [
    (lines[2 * i] as string).trim(),
    lines[2 * i + 1] as string,
  ]);
}

const unpaired = (tags: readonly Pair[]): string =>
  tags.map(([c, value]) => `${c}\n${value}\n`).join("");

/** As release 12 has it: no subclass marks, handles or owners, POLYLINE and VERTEX for LWPOLYLINE, four sections. */
function asOld(tags: readonly Pair[]): Pair[] {
  const out: Pair[] = [];
  let skipping = false;
  for (let i = 0; i < tags.length; i++) {
    const [code, value] = tags[i] as Pair;
    if (code === "0" && value === "SECTION")
      skipping = ["CLASSES", "OBJECTS"].includes(tags[i + 1]?.[1] ?? "");
    if (code === "0" && value === "EOF") skipping = false;
    if (skipping || ["5", "100", "330", "105"].includes(code)) continue;
    if (code !== "0" || value !== "LWPOLYLINE") {
      out.push([code, value]);
      continue;
    }
    const length = tags.slice(i + 1).findIndex(([c]) => c === "0");
    const own = tags.slice(i + 1, i + 1 + length);
    const layer = own.find(([c]) => c === "8") as Pair;
    const flags = own.find(([c]) => c === "70") as Pair;
    out.push(["0", "POLYLINE"], layer, ["66", "1"], flags);
    out.push(...own.filter(([c]) => ["210", "220", "230"].includes(c)));
    for (const [c, x] of own) {
      if (c === "10") out.push(["0", "VERTEX"], layer, [c, x]);
      else if (c === "20" || c === "42") out.push([c, x]);
    }
    out.push(["0", "SEQEND"], layer);
    i += length;
  }
  return out;
}

function inForm(
  text: string,
  form: (typeof FORMS)[number],
  old: boolean,
): Uint8Array {
  const bytes = (s: string) => new TextEncoder().encode(s);
  switch (form) {
    case "LF":
      return bytes(text);
    case "CRLF":
      return bytes(text.replaceAll("\n", "\r\n"));
    case "CR":
      return bytes(text.replaceAll("\n", "\r"));
    case "padded": {
      const lines = text.split("\n");
      const wide = lines.map((l, i) => (i % 2 === 0 ? l.padStart(3) : ` ${l}`));
      return bytes(`\uFEFF${wide.join("\r\n")}`);
    }
    case "binary":
      return binaryDxf(text, old);
  }
}

/** A shape of lines and arcs in a block in a block, each scaled unevenly, mirrored and turned. */
export function skewedFile(k: number): KnownFile {
  const r = randomFrom(104_729 * (k + 1));
  const names = Object.keys(MAKERS).filter((n) => !CURVED.includes(n));
  const shape = names[k % names.length] as string;
  const { spans } = (MAKERS[shape] as (r: unknown) => Drawn)(r);
  const pieces = spans as Piece[];
  const inner = skew(r);
  const outer = skew(r);
  const down = k % 3 === 0;
  const text = dxfText(
    [
      insertTags("OUTER", 300, -200, [
        ...[...outer.tags, 50, outer.turn],
        ...(down ? [210, 0, 220, 0, 230, -1] : []),
      ]),
    ],
    {
      insunits: 4,
      blocks: {
        SHAPE: k % 2 === 0 ? loose(pieces) : polyline(pieces),
        OUTER: [insertTags("SHAPE", 7, 3, [...inner.tags, 50, inner.turn])],
      },
      bases: { SHAPE: [1, 2] },
    },
  );
  const map = times(outer.map, inner.map);
  const truth = knowTruth([{ kind: shape, spans, role: "opening", layer: "0" }])
    .outlines[0];
  return {
    name: `${k}: ${shape} askew`,
    bytes: new TextEncoder().encode(text),
    outlines: [
      {
        layer: "0",
        area: (truth?.area ?? 0) * Math.abs(map[0] * map[3] - map[1] * map[2]),
        perimeter: pieces.reduce((sum, p) => sum + mappedLength(p, map), 0),
        curved: pieces.some((p) => p.t === "round"),
      },
    ],
    rounding: 0,
  };
}

/** x′ = a·x + b·y, y′ = c·x + d·y */
type Map2 = readonly [a: number, b: number, c: number, d: number];

const times = (m: Map2, n: Map2): Map2 => [
  m[0] * n[0] + m[1] * n[2],
  m[0] * n[1] + m[1] * n[3],
  m[2] * n[0] + m[3] * n[2],
  m[2] * n[1] + m[3] * n[3],
];

/** Scale by x and y, then turn: what an INSERT does. */
function skew(r: () => number): { tags: Tags; turn: number; map: Map2 } {
  const sx = from(r, 0.6, 1.8) * oneOf(r, [1, -1]);
  const sy = from(r, 0.6, 1.8) * oneOf(r, [1, -1]);
  const turn = from(r, 0, 360);
  const c = Math.cos((turn * Math.PI) / 180);
  const s = Math.sin((turn * Math.PI) / 180);
  return {
    tags: [41, sx, 42, sy, 43, 1],
    turn,
    map: [c * sx, -s * sy, s * sx, c * sy],
  };
}

const degrees = (p: Pt, c: Pt): number =>
  (Math.atan2(p.y - c.y, p.x - c.x) * 180) / Math.PI;

const loose = (pieces: readonly Piece[]): Tags[] =>
  pieces.map((p) => {
    if (p.t === "straight") return lineTags(p.b.x, p.b.y, p.a.x, p.a.y);
    const [a, b] = p.turn > 0 ? [p.a, p.b] : [p.b, p.a];
    return arcTags(p.c.x, p.c.y, p.r, degrees(a, p.c), degrees(b, p.c));
  });

const polyline = (pieces: readonly Piece[]): Tags[] => [
  [0, "POLYLINE", 8, "0", 66, 1, 70, 1, 10, 0, 20, 0, 30, 0],
  ...pieces.map(
    (p): Tags => [
      ...[0, "VERTEX", 8, "0", 10, p.a.x, 20, p.a.y, 30, 0, 42, bulgeOf(p)],
    ],
  ),
];

/** Length of a piece seen through the map; an arc's by Simpson's rule on its speed, to 1e-12. */
function mappedLength(p: Piece, [a, b, c, d]: Map2): number {
  const speed = (x: number, y: number) =>
    Math.hypot(a * x + b * y, c * x + d * y);
  if (p.t === "straight") return speed(p.b.x - p.a.x, p.b.y - p.a.y);
  const start = Math.atan2(p.a.y - p.c.y, p.a.x - p.c.x);
  const n = 400;
  let sum = 0;
  for (let i = 0; i <= n; i++) {
    const angle = start + (p.turn * i) / n;
    const weight = i === 0 || i === n ? 1 : i % 2 === 1 ? 4 : 2;
    sum += weight * speed(-p.r * Math.sin(angle), p.r * Math.cos(angle));
  }
  return (sum * Math.abs(p.turn)) / n / 3;
}

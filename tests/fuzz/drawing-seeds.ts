/** Good drawings to spoil: every kind of entity that is read, every way of placing it, and the samples. */
import { readdirSync, readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import {
  arcTags,
  circleTags,
  type DxfParts,
  dxfText,
  insertTags,
  lineTags,
  lwpolylineTags,
  rectangleTags,
  type Tags,
} from "../helpers/dxf.js";

const DOWN: Tags = [210, 0, 220, 0, 230, -1];

const slot = (x: number, y: number, layer = "CUT"): Tags[] => [
  lineTags(x, y, x + 10, y, layer),
  arcTags(x + 10, y + 2, 2, 270, 90, layer),
  lineTags(x + 10, y + 4, x, y + 4, layer),
  arcTags(x, y + 2, 2, 90, 270, layer),
];

const rounded = lwpolylineTags(
  [
    [0, 0, 0],
    [8, 0, Math.SQRT2 - 1],
    [10, 2, 0],
    [10, 6, 0],
    [0, 6, 0],
  ],
  true,
  "DIE",
);

const vertex = (x: number, y: number, more: Tags = []): Tags => [
  ...[0, "VERTEX", 8, "OLD", 10, x, 20, y, 30, 0, ...more],
];
const oldPolyline: Tags[] = [
  [0, "POLYLINE", 8, "OLD", 66, 1, 70, 1, 10, 0, 20, 0, 30, 0],
  vertex(0, 30),
  vertex(10, 30, [42, 1]),
  vertex(10, 34),
  vertex(0, 34),
  [0, "SEQEND", 8, "OLD"],
];

const ellipse: Tags = [
  ...[0, "ELLIPSE", 8, "CUT", 10, 40, 20, 10, 30, 0, 11, 6, 21, 2, 31, 0],
  ...[40, 0.4, 41, 0, 42, 6.283185307179586],
];

const W = Math.SQRT1_2;
const rationalCircle: Tags = [
  ...[0, "SPLINE", 8, "CUT", 70, 12, 71, 2, 72, 12, 73, 9],
  ...[0, 0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 4].flatMap((k) => [40, k]),
  ...[1, W, 1, W, 1, W, 1, W, 1].flatMap((w) => [41, w]),
  ...[
    [1, 0],
    [1, 1],
    [0, 1],
    [-1, 1],
    [-1, 0],
    [-1, -1],
    [0, -1],
    [1, -1],
    [1, 0],
  ].flatMap(([x, y]) => [10, 60 + 3 * (x ?? 0), 20, 3 * (y ?? 0), 30, 0]),
];
const ring = [
  [0, 0],
  [4, 0],
  [5, 3],
  [2, 5],
  [-1, 3],
] as const;
const periodic: Tags = [
  ...[0, "SPLINE", 8, "CUT", 70, 11, 71, 3, 72, 12, 73, 8],
  ...Array.from({ length: 12 }, (_, i) => [40, i]).flat(),
  ...[...ring, ...ring.slice(0, 3)].flatMap(([x, y]) => [
    ...[10, 60 + x, 20, 20 + y, 30, 0],
  ]),
];
const throughPoints: Tags = [
  ...[0, "SPLINE", 8, "CUT", 70, 9, 71, 3, 74, 5],
  ...ring.flatMap(([x, y]) => [11, 60 + x, 21, 40 + y, 31, 0]),
];

const annotated: Tags[] = [
  [0, "TEXT", 8, "NOTES", 10, 0, 20, -9, 40, 3, 1, "DIE 7 \\U+00D8 12"],
  [0, "HATCH", 8, "NOTES", 10, 0, 20, 0],
  [0, "DIMENSION", 8, "NOTES", 2, "*D1", 10, 0, 20, 0],
  [0, "POINT", 8, "HOLES", 10, 5, 20, 2, 30, 0],
  [...circleTags(-20, 0, 3, "OFF")],
  [...circleTags(-20, 10, 3, "ICE")],
  [...circleTags(-20, 20, 3), 67, 1],
];

const blocks = {
  SLOT: slot(0, 0, "0"),
  DOT: [circleTags(0, 0, 1), ellipse],
  PAIR: [
    insertTags("SLOT", 0, 0),
    insertTags("DOT", 30, 5, [41, 2, 42, 0.5, 50, 30]),
  ],
};
const layers = [
  ["CUT", 0, 7],
  ["OFF", 0, -7],
  ["ICE", 1, 7],
] as const;

const drawings: readonly (readonly [string, readonly Tags[], DxfParts])[] = [
  ["slot", [...slot(0, 0), circleTags(5, 2, 1, "CUT")], { layers }],
  [
    "polylines",
    [rounded, ...oldPolyline, [...rounded, ...DOWN]],
    { insunits: 1 },
  ],
  ["curves", [ellipse, rationalCircle, periodic, throughPoints], {}],
  [
    "blocks",
    [
      insertTags("PAIR", 0, 0),
      insertTags("PAIR", 0, 60, [41, -1, ...DOWN]),
      insertTags("SLOT", 0, -40, [70, 3, 71, 2, 44, 20, 45, 10, 50, 15]),
    ],
    { blocks, layers },
  ],
  [
    "annotated",
    [...annotated, ...rectangleTags(0, 0, 20, 10, "CUT")],
    { layers, header: [["$DIMLFAC", 40, 0.1]] },
  ],
  ["unitless", rectangleTags(0, 0, 20, 10), { insunits: null }],
];

const SAMPLES = join(import.meta.dirname, "../../samples");

/** Name and text, LF between the lines. */
export function goodDrawings(): [name: string, text: string][] {
  const drawn = drawings.map(([name, entities, parts]): [string, string] => [
    name,
    dxfText(entities, parts),
  ]);
  const samples = readdirSync(SAMPLES, { recursive: true, encoding: "utf8" })
    .filter((file) => file.endsWith(".dxf"))
    .sort()
    .map((file): [string, string] => [
      dirname(file),
      readFileSync(join(SAMPLES, file), "utf8").replaceAll("\r", ""),
    ]);
  return [...drawn, ...samples];
}

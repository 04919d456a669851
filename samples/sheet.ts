/** From maker.js paths to the text of a DXF with units and named layers; curves that maker.js cannot write are added. */
import makerjs from "makerjs";
import type { JobFile } from "../src/plan/job/file.js";

/** A sample: what is drawn, and the job that goes with it. */
export type Sample = { readonly job: JobFile } & (
  | { readonly dxf: string }
  | { readonly svg: string }
);

export interface LayerDrawing {
  readonly paths?: readonly makerjs.IPath[];
  readonly splines?: readonly Spline[];
  readonly ellipses?: readonly Ellipse[];
}

/** A whole ellipse with its long axis along x. */
export interface Ellipse {
  readonly center: makerjs.IPoint;
  readonly width: number;
  readonly height: number;
}

/** Clamped cubic B-spline: four knots at each end, so it begins and ends in its first and last control points. */
export interface Spline {
  readonly knots: readonly number[];
  readonly points: readonly makerjs.IPoint[];
}

/** Digits after the point: enough that the ends of neighbours meet to a nanometre, in inches too. */
const DIGITS = 8;

/** Colours of the DXF palette, in the order of the layers. */
const COLORS = [7, 5, 1, 8, 3, 6];

export function dxfText(
  units: "mm" | "in",
  layers: Readonly<Record<string, LayerDrawing>>,
): string {
  const names = Object.keys(layers);
  const models = Object.fromEntries(
    names.map((layer): [string, makerjs.IModel] => [
      layer,
      {
        layer,
        paths: Object.fromEntries((layers[layer]?.paths ?? []).entries()),
      },
    ]),
  );
  const text = makerjs.exporter.toDXF(
    { models },
    {
      units:
        units === "in" ? makerjs.unitType.Inch : makerjs.unitType.Millimeter,
      accuracy: 10 ** -DIGITS,
      layerOptions: Object.fromEntries(
        names.map((layer, i) => [
          layer,
          { color: COLORS[i % COLORS.length] as number },
        ]),
      ),
    },
  );
  const curves = names.flatMap((layer) => [
    ...(layers[layer]?.splines ?? []).map((s) => splineText(layer, s)),
    ...(layers[layer]?.ellipses ?? []).map((e) => ellipseText(layer, e)),
  ]);
  const end = text.lastIndexOf("0\nENDSEC");
  const whole = `${text.slice(0, end)}${curves.join("")}${text.slice(end)}\n`;
  // Splines and ellipses came with a later edition of the format, which a reader must be told of.
  return curves.length === 0
    ? whole
    : whole.replace("HEADER\n", "HEADER\n9\n$ACADVER\n1\nAC1015\n");
}

/** SPLINE entity: group codes of the DXF reference; flag 8 says that it is planar. */
function splineText(layer: string, { knots, points }: Spline): string {
  return groups([
    [0, "SPLINE"],
    [100, "AcDbEntity"],
    [8, layer],
    [100, "AcDbSpline"],
    [70, 8],
    [71, 3],
    [72, knots.length],
    [73, points.length],
    [74, 0],
    ...knots.map((k) => [40, figure(k)] as const),
    ...points.flatMap(
      (p) =>
        [
          [10, figure(p[0] as number)],
          [20, figure(p[1] as number)],
          [30, "0"],
        ] as const,
    ),
  ]);
}

/** ELLIPSE entity: half the long axis as a vector, the short one as a share of it, parameters of a whole turn. */
function ellipseText(layer: string, e: Ellipse): string {
  return groups([
    [0, "ELLIPSE"],
    [100, "AcDbEntity"],
    [8, layer],
    [100, "AcDbEllipse"],
    [10, figure(e.center[0] as number)],
    [20, figure(e.center[1] as number)],
    [30, "0"],
    [11, figure(e.width / 2)],
    [21, "0"],
    [31, "0"],
    [40, figure(e.height / e.width)],
    [41, "0"],
    [42, (2 * Math.PI).toFixed(15)],
  ]);
}

function groups(
  codes: readonly (readonly [code: number, value: string | number])[],
): string {
  return codes.map(([code, value]) => `${code}\n${value}\n`).join("");
}

/** Two digits more than elsewhere: a curve's figures multiply. */
function figure(value: number): string {
  return value.toFixed(DIGITS + 2);
}

/** Corner of an outline: where its sides meet, and the radius it is rounded with (0 leaves it sharp). */
export type Corner = readonly [x: number, y: number, radius: number];

/** Closed outline of straight sides with rounded corners. */
export function roundedOutline(corners: readonly Corner[]): makerjs.IPath[] {
  const sides = corners.map((c, i) => {
    const next = corners[(i + 1) % corners.length] as Corner;
    return new makerjs.paths.Line([c[0], c[1]], [next[0], next[1]]);
  });
  const arcs = corners.flatMap((c, i) => {
    if (c[2] === 0) return [];
    const before = sides[(i + sides.length - 1) % sides.length];
    const after = sides[i];
    const arc =
      before && after ? makerjs.path.fillet(before, after, c[2]) : null;
    if (!arc) throw new RangeError(`no room for radius ${c[2]} at corner ${i}`);
    return [arc];
  });
  return [...sides, ...arcs];
}

export function rectangle(
  x: number,
  y: number,
  width: number,
  height: number,
  radius: number,
): makerjs.IPath[] {
  return roundedOutline([
    [x, y, radius],
    [x + width, y, radius],
    [x + width, y + height, radius],
    [x, y + height, radius],
  ]);
}

/** Slot with round ends between two centres. */
export function roundSlot(
  from: readonly [number, number],
  to: readonly [number, number],
  width: number,
): makerjs.IPath[] {
  const angle = Math.atan2(to[1] - from[1], to[0] - from[0]);
  const r = width / 2;
  const degrees = (angle * 180) / Math.PI;
  const side = (
    [x, y]: readonly [number, number],
    k: number,
  ): makerjs.IPoint => [
    x - k * r * Math.sin(angle),
    y + k * r * Math.cos(angle),
  ];
  return [
    new makerjs.paths.Line(side(from, -1), side(to, -1)),
    new makerjs.paths.Arc([...to], r, degrees - 90, degrees + 90),
    new makerjs.paths.Line(side(to, 1), side(from, 1)),
    new makerjs.paths.Arc([...from], r, degrees + 90, degrees + 270),
  ];
}

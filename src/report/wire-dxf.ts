/** The paths of the wire's centre as a DXF drawing (release 12, the one every program reads), in the job's unit. */
import { trimmed } from "../base/numbers.js";
import { WIRE_DXF_STEP } from "../base/tolerance.js";
import { type LengthUnit, mmPer, toDegrees } from "../base/units.js";
import type { Segment } from "../geometry/segment.js";
import type { Vec } from "../geometry/vec.js";
import { type Cut, type Plan, threadPlaces } from "../plan/plan.js";

/** Colour numbers of the DXF palette that differ on dark and on light grounds: blue, yellow, magenta, cyan, grey, orange. */
const PASS_COLORS = [5, 2, 6, 4, 8, 30] as const;
const COLORS = { outline: 7, lead: 3, hole: 1 } as const;

interface Circle {
  readonly kind: "circle";
  readonly center: Vec;
  readonly radius: number;
}

interface Layer {
  readonly name: string;
  readonly color: number;
  readonly shapes: readonly (Segment | Circle)[];
}

/** A group code and its value. */
type Tag = readonly [code: number, value: string | number];

/**
 * Layers: `OUTLINE`, `START-HOLES`, `LEADS` and `PASS-1-ROUGH`, `PASS-2-SKIM`…; lines and arcs are those of the plan,
 * arcs stay arcs. `$INSUNITS` is 4 for mm, 1 for inch.
 */
export function wirePathDxf(plan: Plan): string {
  const { units } = plan.job;
  const layers = layersOf(plan);
  const tags: readonly Tag[] = [
    ...section("HEADER", [
      [9, "$ACADVER"],
      [1, "AC1009"],
      [9, "$INSUNITS"],
      [70, units === "in" ? 1 : 4],
    ]),
    ...section("TABLES", [
      [0, "TABLE"],
      [2, "LAYER"],
      [70, layers.length],
      ...layers.flatMap(({ name, color }): Tag[] => [
        [0, "LAYER"],
        [2, name],
        [70, 0],
        [62, color],
        [6, "CONTINUOUS"],
      ]),
      [0, "ENDTAB"],
    ]),
    ...section(
      "ENTITIES",
      layers.flatMap(({ name, shapes }) =>
        shapes.flatMap((shape) => entity(shape, name, units)),
      ),
    ),
    [0, "EOF"],
  ];
  return tags.map(([code, value]) => `${code}\n${value}\n`).join("");
}

function section(name: string, tags: readonly Tag[]): readonly Tag[] {
  return [[0, "SECTION"], [2, name], ...tags, [0, "ENDSEC"]];
}

function layersOf(plan: Plan): readonly Layer[] {
  const { job, features, slits, steps } = plan;
  const cuts = steps.filter((s) => s.kind === "cut");
  return [
    {
      name: "OUTLINE",
      color: COLORS.outline,
      shapes: [...features, ...slits].flatMap((f) => f.contour.segments),
    },
    {
      name: "START-HOLES",
      color: COLORS.hole,
      shapes: threadPlaces(plan)
        .filter(({ hole }) => hole.diameter > 0)
        .map(({ hole: { at, diameter } }) => ({
          kind: "circle",
          center: at,
          radius: diameter / 2,
        })),
    },
    { name: "LEADS", color: COLORS.lead, shapes: cuts.flatMap(leadOf) },
    ...job.passes.map(({ number, kind }, i) => ({
      name: `PASS-${number}-${kind.toUpperCase()}`,
      color: PASS_COLORS[i % PASS_COLORS.length] as number,
      shapes: cuts
        .flatMap((cut) => cut.strokes)
        .filter(({ pass }) => pass === number)
        .flatMap(({ from, path, to }) => {
          const first = path[0];
          const last = path.at(-1);
          return [
            ...(first ? chain([from, first.start]) : []),
            ...path,
            ...(last ? chain([last.end, to]) : []),
          ];
        }),
    })),
  ];
}

function leadOf({ thread, lead, strokes }: Cut): readonly Segment[] {
  const to = strokes[0]?.from;
  return to ? chain([thread, ...lead, to]) : [];
}

function chain(points: readonly Vec[]): readonly Segment[] {
  return points.slice(1).map((end, i) => ({
    kind: "line",
    start: points[i] as Vec,
    end,
  }));
}

function entity(
  shape: Segment | Circle,
  layer: string,
  units: LengthUnit,
): readonly Tag[] {
  const length = (mm: number): string => figure(mm / mmPer(units));
  const place = (code: number, { x, y }: Vec): readonly Tag[] => [
    [code, length(x)],
    [code + 10, length(y)],
    [code + 20, 0],
  ];
  switch (shape.kind) {
    case "line":
      return [
        [0, "LINE"],
        [8, layer],
        ...place(10, shape.start),
        ...place(11, shape.end),
      ];
    case "circle":
      return [
        [0, "CIRCLE"],
        [8, layer],
        ...place(10, shape.center),
        [40, length(shape.radius)],
      ];
    case "arc": {
      // DXF arcs run counter-clockwise from their first angle, so a clockwise one is given from its end.
      const { center, sweep, radius } = shape;
      const ends = [shape.start, shape.end] as const;
      const [from, to] = sweep > 0 ? ends : [ends[1], ends[0]];
      return [
        [0, "ARC"],
        [8, layer],
        ...place(10, center),
        [40, length(radius)],
        [50, figure(angleOf(center, from))],
        [51, figure(angleOf(center, to))],
      ];
    }
  }
}

/** Degrees, 0 to 360. */
function angleOf(center: Vec, p: Vec): number {
  const degrees = toDegrees(Math.atan2(p.y - center.y, p.x - center.x));
  return degrees < 0 ? degrees + 360 : degrees;
}

const DECIMALS = Math.round(-Math.log10(WIRE_DXF_STEP));

function figure(value: number): string {
  return trimmed(value, DECIMALS);
}

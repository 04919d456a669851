/** The paths of the wire's centre as a DXF drawing, by layer and pass, in the job's unit. The only importer of maker.js here. */
import makerjs from "makerjs";
import { WIRE_DXF_STEP } from "../base/tolerance.js";
import { type LengthUnit, mmPer, toDegrees } from "../base/units.js";
import type { Segment } from "../geometry/segment.js";
import type { Vec } from "../geometry/vec.js";
import { type Plan, threadPlaces } from "../plan/plan.js";

/** Colour numbers of the DXF palette that differ on dark and on light grounds: blue, yellow, magenta, cyan, grey, orange. */
const PASS_COLORS = [5, 2, 6, 4, 8, 30] as const;
const COLORS = { outline: 7, lead: 3, hole: 1 } as const;

/**
 * Layers: `OUTLINE`, `START-HOLES`, `LEADS` and `PASS-1-ROUGH`, `PASS-2-SKIM`…; lines and arcs are those of the plan,
 * arcs stay arcs. `$INSUNITS` is 4 for mm, 1 for inch.
 */
export function wirePathDxf(plan: Plan): string {
  const { units, passes } = plan.job;
  const cuts = plan.steps.filter((s) => s.kind === "cut");
  const layers: (readonly [
    name: string,
    color: number,
    paths: makerjs.IPath[],
  ])[] = [
    [
      "OUTLINE",
      COLORS.outline,
      plan.features.flatMap((f) =>
        f.contour.segments.map((s) => pathOf(s, units)),
      ),
    ],
    [
      "START-HOLES",
      COLORS.hole,
      threadPlaces(plan.features)
        .filter(({ hole }) => hole.diameter > 0)
        .map(
          ({ hole: h }) =>
            new makerjs.paths.Circle(
              point(h.at, units),
              h.diameter / 2 / mmPer(units),
            ),
        ),
    ],
    [
      "LEADS",
      COLORS.lead,
      cuts.flatMap((cut) => {
        const to = cut.strokes[0]?.from;
        return to ? chain([cut.thread, ...cut.lead, to], units) : [];
      }),
    ],
    ...passes.map(
      (pass, i) =>
        [
          `PASS-${pass.number}-${pass.kind.toUpperCase()}`,
          PASS_COLORS[i % PASS_COLORS.length] as number,
          cuts
            .flatMap((cut) => cut.strokes)
            .filter((stroke) => stroke.pass === pass.number)
            .flatMap((stroke) => {
              const first = stroke.path[0];
              const last = stroke.path.at(-1);
              return [
                ...(first ? chain([stroke.from, first.start], units) : []),
                ...stroke.path.map((s) => pathOf(s, units)),
                ...(last ? chain([last.end, stroke.to], units) : []),
              ];
            }),
        ] as const,
    ),
  ];
  const models = Object.fromEntries(
    layers.map(([layer, , paths]): [string, makerjs.IModel] => [
      layer,
      { layer, paths: Object.fromEntries(paths.entries()) },
    ]),
  );
  return makerjs.exporter.toDXF(
    { models },
    {
      units:
        units === "in" ? makerjs.unitType.Inch : makerjs.unitType.Millimeter,
      accuracy: WIRE_DXF_STEP,
      layerOptions: Object.fromEntries(
        layers.map(([layer, color]) => [layer, { color }]),
      ),
    },
  );
}

function point(p: Vec, units: LengthUnit): makerjs.IPoint {
  return [p.x / mmPer(units), p.y / mmPer(units)];
}

function chain(points: readonly Vec[], units: LengthUnit): makerjs.IPath[] {
  return points
    .slice(1)
    .map(
      (p, i) =>
        new makerjs.paths.Line(point(points[i] as Vec, units), point(p, units)),
    );
}

/** DXF arcs run counter-clockwise from their first angle, so a clockwise one is given from its end. */
function pathOf(s: Segment, units: LengthUnit): makerjs.IPath {
  if (s.kind === "line")
    return new makerjs.paths.Line(point(s.start, units), point(s.end, units));
  const angle = (p: Vec): number => {
    const degrees = toDegrees(Math.atan2(p.y - s.center.y, p.x - s.center.x));
    return degrees < 0 ? degrees + 360 : degrees;
  };
  const [from, to] = s.sweep > 0 ? [s.start, s.end] : [s.end, s.start];
  return new makerjs.paths.Arc(
    point(s.center, units),
    s.radius / mmPer(units),
    angle(from),
    angle(to),
  );
}

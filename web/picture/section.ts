/**
 * Close up, the wire is seen in section at the finished edge: for each pass the wire, the spark gap around it, the stock
 * it leaves, and their measures. The passes stand side by side along the edge so that they can be compared.
 */
import type { G } from "@svgdotjs/svg.js";
import {
  type LengthUnit,
  lengthText,
  type Plan,
  type Segment,
  type Vec,
} from "../../src/index.js";
import { LINE_HEIGHT } from "./label-places.js";
import { write } from "./labels.js";
import { nearestOf } from "./probe.js";
import { cutsOf } from "./scene.js";
import { type Rect, toScreen, type View } from "./view.js";

/** The section shows when the wire is this wide on the screen, pixels: narrower, its words would run into each other. */
export const LEAST_WIRE = 60;
/** px: half of "finished edge", with air. */
const EDGE_ROOM = 60;
/** px: "leaves 0.00217 in", with air; where there is less room from wire to wire, the unit is told once. */
const WIDE_WORDS = 130;
/** Wires stand this many diameters apart. */
const SPACING = 1.6;

export interface Section {
  readonly edge: Edge;
  readonly wires: readonly {
    readonly pass: Pass;
    /** Of the wire, and the point of the edge beside it; mm. */
    readonly center: Vec;
    readonly foot: Vec;
  }[];
}

type Pass = Plan["job"]["passes"][number];

/** The wires at the edge that is looked at; null where that is too far off. */
export function sectionOf(view: View, plan: Plan): Section | null {
  const { diameter } = plan.job.wire;
  if (diameter * view.scale < LEAST_WIRE) return null;
  const passes = plan.job.passes;
  const edge = edgeNear(plan, view.center);
  if (!edge) return null;
  const wires = passes.flatMap((pass, i) => {
    const shift = (i - (passes.length - 1) / 2) * SPACING * diameter;
    const wanted = {
      x: edge.at.x + edge.along.x * shift,
      y: edge.at.y + edge.along.y * shift,
    };
    const paths = cutsOf(plan)
      .filter((c) => c.feature === edge.feature)
      .flatMap((c) => c.strokes.filter((s) => s.pass === pass.number))
      .flatMap((s) => s.path);
    const wire = nearestOf(paths, wanted);
    if (wire.distance > 3 * pass.offset) return [];
    const foot = nearestOf(edge.segments, wire.at).at;
    return [{ pass, center: wire.at, foot }];
  });
  return { edge, wires };
}

/** What the wires take of the screen, px: no name stands there. */
export function sectionRooms(
  { wires }: Section,
  view: View,
  plan: Plan,
): Rect[] {
  return wires.map(({ pass, center }) => {
    const { x, y } = toScreen(view, center);
    const r = (plan.job.wire.diameter / 2 + pass.gap) * view.scale;
    return { minX: x - r, maxX: x + r, minY: y - r, maxY: y + r };
  });
}

export function drawSection(
  layer: G,
  view: View,
  plan: Plan,
  { edge, wires }: Section,
): void {
  const { diameter } = plan.job.wire;
  const passes = plan.job.passes;
  const group = layer.group().addClass("section");
  for (const { pass, center, foot } of wires)
    drawWire(group, view, plan, pass, center, foot);
  nameEdge(group, view, edge, ((passes.length + 1) / 2) * SPACING * diameter);
}

/** Past the wires, where there is room for it in the picture: what they all are measured from. */
function nameEdge(group: G, view: View, edge: Edge, shift: number): void {
  const place = [1, -1]
    .map((side) =>
      toScreen(view, {
        x: edge.at.x + side * edge.along.x * shift,
        y: edge.at.y + side * edge.along.y * shift,
      }),
    )
    .find(
      ({ x, y }) =>
        x > EDGE_ROOM &&
        x < view.width - EDGE_ROOM &&
        y > LINE_HEIGHT &&
        y < view.height - LINE_HEIGHT,
    );
  if (place)
    write(group, { x: place.x, y: place.y - 6 }, "finished edge", "label");
}

export interface Edge {
  readonly feature: string;
  readonly segments: readonly Segment[];
  readonly at: Vec;
  readonly along: Vec;
}

/** The finished edge nearest to the middle of the picture. */
function edgeNear(plan: Plan, p: Vec): Edge | null {
  let best: (Edge & { distance: number }) | null = null;
  for (const f of plan.features) {
    const { segments } = f.contour;
    const near = nearestOf(segments, p);
    if (best && near.distance >= best.distance) continue;
    const segment = segments[near.index] as Segment;
    const radial =
      segment.kind === "arc"
        ? { x: near.at.x - segment.center.x, y: near.at.y - segment.center.y }
        : {
            x: segment.end.y - segment.start.y,
            y: segment.start.x - segment.end.x,
          };
    const size = Math.hypot(radial.x, radial.y) || 1;
    best = {
      feature: f.id,
      segments,
      at: near.at,
      along: { x: -radial.y / size, y: radial.x / size },
      distance: near.distance,
    };
  }
  return best;
}

function drawWire(
  group: G,
  view: View,
  plan: Plan,
  pass: Pass,
  center: Vec,
  foot: Vec,
): void {
  const { diameter } = plan.job.wire;
  const { units } = plan.job;
  const c = toScreen(view, center);
  const f = toScreen(view, foot);
  const px = (mm: number): number => mm * view.scale;
  const length = Math.hypot(f.x - c.x, f.y - c.y) || 1;
  const u = { x: (f.x - c.x) / length, y: (f.y - c.y) / length };
  const on = (mm: number): Vec => ({
    x: c.x + u.x * px(mm),
    y: c.y + u.y * px(mm),
  });
  const kind = `pass-${Math.min(pass.number, 6)}`;

  group
    .circle(px(diameter + 2 * pass.gap))
    .center(c.x, c.y)
    .addClass("gap-ring");
  group.circle(px(diameter)).center(c.x, c.y).addClass(`wire-disc ${kind}`);
  const radius = diameter / 2;
  const ticks = [0, radius, radius + pass.gap, pass.offset].map(on);
  group.polyline(ticks.flatMap((t) => [t.x, t.y])).addClass("measure");
  for (const t of ticks)
    group
      .line(t.x - u.y * 5, t.y + u.x * 5, t.x + u.y * 5, t.y - u.x * 5)
      .addClass("measure");

  const lines = wordsOf(
    pass,
    diameter,
    units,
    SPACING * px(diameter) < WIDE_WORDS,
  );
  // The words stand in the metal, beyond the edge that the measure ends at, and never under the wire.
  const anchor = u.x > 0.5 ? "start" : u.x < -0.5 ? "end" : "middle";
  const far = on(pass.offset + 16 / view.scale);
  const high = lines.length * 15;
  const top =
    far.y + 4 + (u.y > 0.5 ? 6 : u.y < -0.5 ? 9 - high : 9 - high / 2);
  lines.forEach((text, i) => {
    group
      .plain(text)
      .attr({ x: far.x, y: top + i * 15, "text-anchor": anchor })
      .addClass(i === 0 ? "label" : "label quiet");
  });
}

function wordsOf(
  { number, kind, gap, leave, offset }: Pass,
  diameter: number,
  units: LengthUnit,
  narrow: boolean,
): string[] {
  const figure = (mm: number): string => {
    const text = lengthText(mm, units);
    return narrow ? text.replace(` ${units}`, "") : text;
  };
  return [
    `pass ${number}, ${narrow ? units : kind}`,
    `wire ${figure(diameter)}`,
    `gap ${figure(gap)}`,
    leave > 0 ? `leaves ${figure(leave)}` : "leaves nothing",
    `offset ${figure(offset)}`,
  ];
}

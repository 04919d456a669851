/** Open lines for random layouts: what somebody might draw on a layer of slits, on purpose or by mistake. */
import {
  type Contour,
  contourBox,
  contourCentroid,
  reverseContour,
} from "../../src/geometry/contour.js";
import {
  pointAt,
  type Segment,
  segmentFromBulge,
  tangentAt,
} from "../../src/geometry/segment.js";
import {
  along,
  distance,
  negate,
  rotate,
  sub,
  unit,
  type Vec,
} from "../../src/geometry/vec.js";
import type { Feature, Slit } from "../../src/plan/feature.js";
import { between, pick, type Random, whole } from "./chance.js";

interface Scene {
  readonly features: readonly Feature[];
  readonly block: Contour | null;
  /** Of the slits before this one. */
  readonly lines: readonly Contour[];
}

/** One to three open lines about the outlines, the block's edge and each other. */
export function slitCase(
  rnd: Random,
  features: readonly Feature[],
  block: Contour | null,
): Slit[] {
  const lines: Contour[] = [];
  const count = pick(rnd, [1, 1, 1, 2, 3]);
  while (lines.length < count) {
    const path = pick(rnd, KINDS)(rnd, { features, block, lines });
    const contour = path && openChain(path);
    if (contour) lines.push(rnd() < 0.3 ? reverseContour(contour) : contour);
  }
  return lines.map((contour, i) => ({
    id: `slit-${i + 1}`,
    layer: "SLIT",
    contour,
  }));
}

/** Points with the bulge of what leaves each. */
type Path = readonly (readonly [Vec, number])[];

const KINDS: readonly ((rnd: Random, scene: Scene) => Path | null)[] = [
  outward,
  outward,
  outward,
  joining,
  joining,
  ringSplit,
  fromBlock,
  anywhere,
  beside,
  across,
];

function openChain(path: Path): Contour | null {
  const segments = path.slice(0, -1).flatMap(([from, bulge], i) => {
    const [to] = path[i + 1] as Path[number];
    return distance(from, to) > 0.05
      ? (segmentFromBulge(from, to, bulge) ?? [])
      : [];
  });
  const linked = segments.every(
    (s, i) =>
      i === 0 || distance((segments[i - 1] as Segment).end, s.start) === 0,
  );
  return segments.length > 0 && linked ? { closed: false, segments } : null;
}

/** Straight, or an arc of up to a good half turn. */
const bend = (rnd: Random): number =>
  rnd() < 0.65 ? 0 : between(rnd, -1.2, 1.2);

/** A place on an outline, and the way out of it to the right of travel. */
function onOutline(rnd: Random, { contour }: { contour: Contour }) {
  const s = pick(rnd, contour.segments);
  const t = rnd() < 0.15 ? Math.round(rnd()) : rnd();
  return { at: pointAt(s, t), out: rotate(tangentAt(s, t), -Math.PI / 2) };
}

/** How far from the edge it was drawn to a line begins: on it, a hair short or past it, or well inside. */
const reach = (rnd: Random): number =>
  pick(rnd, [
    0,
    0,
    between(rnd, -0.015, 0.015),
    between(rnd, -0.1, 0.1),
    between(rnd, 0.1, 2),
  ]);

/** On from a place in one to three bends. */
function onward(rnd: Random, from: Vec, way: Vec): Path {
  const path: [Vec, number][] = [];
  let at = from;
  let to = rotate(way, between(rnd, -0.6, 0.6) * (rnd() < 0.6 ? 0 : 1));
  const legs = pick(rnd, [1, 1, 1, 2, 3]);
  for (let k = 0; k < legs; k++) {
    path.push([at, bend(rnd)]);
    at = along(at, to, between(rnd, 0.3, 8));
    to = rotate(to, between(rnd, -2, 2));
  }
  return [...path, [at, 0]];
}

/** From an outline into the metal that is kept about it, or in it. */
function outward(rnd: Random, { features }: Scene): Path {
  const f = pick(rnd, features);
  const { at, out } = onOutline(rnd, f);
  const way = f.role === "opening" ? out : negate(out);
  return onward(rnd, along(at, way, -reach(rnd)), way);
}

/** From one outline to another, or to another place of the same. */
function joining(rnd: Random, { features }: Scene): Path {
  const ends = [pick(rnd, features), pick(rnd, features)].map(
    (f) => onOutline(rnd, f).at,
  ) as [Vec, Vec];
  const [a, b] = ends;
  if (distance(a, b) < 0.1)
    return [
      [a, 0],
      [b, 0],
    ];
  const way = unit(sub(b, a));
  return [
    [along(a, way, -reach(rnd)), bend(rnd)],
    [along(b, way, reach(rnd)), 0],
  ];
}

/** From what lies in a feature through its metal to the outside, as a clamp ring has it. */
function ringSplit(rnd: Random, { features }: Scene): Path | null {
  const inner = features.filter((f) => f.parent !== null);
  if (inner.length === 0) return null;
  const f = pick(rnd, inner);
  const outer = features.find((o) => o.id === f.parent) as Feature;
  const from = contourCentroid(f.contour);
  const way = rotate({ x: 1, y: 0 }, between(rnd, 0, 2 * Math.PI));
  const b = contourBox(outer.contour);
  const far = Math.hypot(b.maxX - b.minX, b.maxY - b.minY);
  const out = along(from, way, far * between(rnd, 0.2, 1));
  return [
    [along(from, way, between(rnd, 0, 1)), bend(rnd) / 4],
    [out, 0],
  ];
}

/** From the block's edge inward, begun on it, short of it or out in the open. */
function fromBlock(rnd: Random, { block }: Scene): Path | null {
  if (!block) return null;
  const { at, out } = onOutline(rnd, { contour: block });
  return onward(rnd, along(at, out, reach(rnd)), negate(out));
}

/** Anywhere in the box about everything. */
function anywhere(rnd: Random, { features }: Scene): Path {
  const f = pick(rnd, features);
  const b = contourBox(f.contour);
  const at = {
    x: between(rnd, b.minX - 2, b.maxX + 2),
    y: between(rnd, b.minY - 2, b.maxY + 2),
  };
  return onward(rnd, at, rotate({ x: 1, y: 0 }, between(rnd, 0, 6.3)));
}

/** Along an edge of an outline, a little off it. */
function beside(rnd: Random, { features }: Scene): Path {
  const f = pick(rnd, features);
  const s = pick(rnd, f.contour.segments);
  const off = between(rnd, 0.02, 0.8) * (rnd() < 0.3 ? -1 : 1);
  const by = (t: number): Vec => {
    const way = tangentAt(s, Math.min(1, Math.max(0, t)));
    const p = pointAt(s, Math.min(1, Math.max(0, t)));
    const beyond = t < 0 ? t : Math.max(0, t - 1);
    const side = rotate(way, -Math.PI / 2);
    return along(
      along(p, side, f.role === "opening" ? off : -off),
      way,
      4 * beyond,
    );
  };
  const bulge = s.kind === "arc" ? Math.tan(s.sweep / 4) : 0;
  return [
    [by(between(rnd, -0.5, 0.3)), bulge],
    [by(between(rnd, 0.6, 1.5)), 0],
  ];
}

/** Over, up to or near a slit before it. */
function across(rnd: Random, { lines }: Scene): Path | null {
  if (lines.length === 0) return null;
  const s = pick(rnd, pick(rnd, lines).segments);
  const t = rnd();
  const way = rotate(tangentAt(s, t), between(rnd, 0.3, 2.8));
  const begin = pick(rnd, [
    0,
    between(rnd, 0, 0.3),
    between(rnd, -0.5, 0),
    between(rnd, -3, 0),
  ]);
  const legs = whole(rnd, 1, 2);
  const from = along(pointAt(s, t), way, begin);
  return legs === 1
    ? [
        [from, bend(rnd)],
        [along(from, way, between(rnd, 0.3, 6)), 0],
      ]
    : onward(rnd, from, way);
}

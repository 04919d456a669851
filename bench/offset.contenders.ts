/** Offsetting libraries behind one face: exact outline in, loops of exact pieces or of points out. */
import ClipperLib from "clipper-lib";
import loadClipper2 from "clipper2-wasm";
import makerjs from "makerjs";
import type { Contour } from "../src/geometry/contour.js";
import { loopContour, offsetLeft } from "../src/geometry/offset.js";
import type { Segment } from "../src/geometry/segment.js";
import type { Vec } from "../src/geometry/vec.js";

/** Loops as segments (exact) or as corner coordinates x, y, x, y, … */
export type Answer = readonly (readonly Segment[] | Float64Array)[];

export interface Contender {
  readonly name: string;
  /** Most segments it is asked for: ten times as many would take minutes. */
  readonly largest: number;
  /** Everything from the exact outline to numbers in JavaScript's hands. */
  inward(outline: Contour, d: number): Answer;
}

/** Greatest distance (mm) of chords from their arcs, on the way in and out, for those that know no arcs. */
export const CHORD = 1e-4;

export async function contenders(): Promise<Contender[]> {
  return [kernel, await clipper2(), clipper, maker];
}

const kernel: Contender = {
  name: "this kernel",
  largest: Number.POSITIVE_INFINITY,
  inward: (outline, d) =>
    offsetLeft([outline], d).map((loop) => loopContour(loop).segments),
};

const clipper: Contender = {
  name: "clipper-lib",
  largest: 10_000,
  inward(outline, d) {
    // Units per mm: a grid of 10 nm, a tenth of the chord error.
    const grid = 1e5;
    const xy = flatten(outline);
    const path: ClipperLib.Path = [];
    for (let i = 0; i < xy.length; i += 2)
      path.push({
        X: Math.round((xy[i] as number) * grid),
        Y: Math.round((xy[i + 1] as number) * grid),
      });
    const engine = new ClipperLib.ClipperOffset(2, CHORD * grid);
    engine.AddPath(
      path,
      ClipperLib.JoinType.jtRound,
      ClipperLib.EndType.etClosedPolygon,
    );
    const out: ClipperLib.Paths = [];
    engine.Execute(out, -d * grid);
    return out.map((loop) => {
      const back = new Float64Array(2 * loop.length);
      loop.forEach((p, i) => {
        back[2 * i] = p.X / grid;
        back[2 * i + 1] = p.Y / grid;
      });
      return back;
    });
  },
};

async function clipper2(): Promise<Contender> {
  const c = await loadClipper2();
  return {
    name: "clipper2-wasm",
    largest: 100_000,
    inward(outline, d) {
      const xy = flatten(outline);
      const xyz = new Float64Array((xy.length / 2) * 3);
      for (let i = 0; i < xy.length / 2; i++) {
        xyz[3 * i] = xy[2 * i] as number;
        xyz[3 * i + 1] = xy[2 * i + 1] as number;
      }
      const path = new c.PathD();
      path.assign(xyz);
      const paths = new c.PathsD();
      paths.push_back(path);
      const out = c.InflatePathsD(
        paths,
        -d,
        c.JoinType.Round,
        c.EndType.Polygon,
        2,
        // Decimals: a grid of 10 nm, a tenth of the chord error.
        5,
        CHORD,
      );
      const loops: Float64Array[] = [];
      for (let k = 0; k < out.size(); k++) {
        const loop = out.get(k);
        const back = loop.view();
        const flat = new Float64Array((back.length / 3) * 2);
        for (let i = 0; i < back.length / 3; i++) {
          flat[2 * i] = back[3 * i] as number;
          flat[2 * i + 1] = back[3 * i + 1] as number;
        }
        loops.push(flat);
        loop.delete();
      }
      for (const used of [path, paths, out]) used.delete();
      return loops;
    },
  };
}

const maker: Contender = {
  name: "maker.js",
  largest: 100,
  inward(outline, d) {
    const model = makerjs.model.outline(
      { paths: Object.fromEntries(outline.segments.map(makerPath).entries()) },
      d,
      0,
      true,
    );
    const pieces: Segment[] = [];
    makerjs.model.walk(model, {
      onPath: ({ pathContext }) => pieces.push(segmentOf(pathContext)),
    });
    return pieces.length === 0 ? [] : [pieces];
  },
};

const DEGREE = Math.PI / 180;

function makerPath(s: Segment): makerjs.IPath {
  const point = (p: Vec): makerjs.IPoint => [p.x, p.y];
  if (s.kind === "line")
    return new makerjs.paths.Line(point(s.start), point(s.end));
  const angle = (p: Vec): number =>
    Math.atan2(p.y - s.center.y, p.x - s.center.x) / DEGREE;
  const [from, to] = s.sweep > 0 ? [s.start, s.end] : [s.end, s.start];
  return new makerjs.paths.Arc(
    point(s.center),
    s.radius,
    angle(from),
    angle(to),
  );
}

function segmentOf(path: makerjs.IPath): Segment {
  const [start, end] = makerjs.point
    .fromPathEnds(path)
    .map((p): Vec => ({ x: p[0] as number, y: p[1] as number })) as [Vec, Vec];
  if (path.type !== makerjs.pathType.Arc) return { kind: "line", start, end };
  const arc = path as makerjs.IPathArc;
  return {
    kind: "arc",
    start,
    end,
    center: { x: arc.origin[0] as number, y: arc.origin[1] as number },
    radius: arc.radius,
    sweep: makerjs.angle.ofArcSpan(arc) * DEGREE,
  };
}

/** x, y of points along the outline whose chords leave it by no more than `CHORD`. */
function flatten(outline: Contour): Float64Array {
  const xy: number[] = [];
  for (const s of outline.segments) {
    xy.push(s.start.x, s.start.y);
    if (s.kind === "line") continue;
    const n = Math.ceil(
      Math.abs(s.sweep) / (2 * Math.acos(1 - CHORD / s.radius)),
    );
    const from = Math.atan2(s.start.y - s.center.y, s.start.x - s.center.x);
    for (let i = 1; i < n; i++) {
      const a = from + (s.sweep * i) / n;
      xy.push(
        s.center.x + s.radius * Math.cos(a),
        s.center.y + s.radius * Math.sin(a),
      );
    }
  }
  return Float64Array.from(xy);
}

/**
 * What slits would do to the metal around them that nobody drew: cut a piece loose between them, or take away an edge
 * that they only pass by.
 */
import type { Finding } from "../base/finding.js";
import { placeText, trimmed } from "../base/numbers.js";
import { AT_EDGE, HOLDING_WEB, MAX_GOUGE } from "../base/tolerance.js";
import { distanceBetween, nearestOnSegment } from "../geometry/distance.js";
import { intersectSegments } from "../geometry/intersect.js";
import {
  line,
  pointAt,
  type Segment,
  subSegment,
} from "../geometry/segment.js";
import { along, distance, pair, type Vec } from "../geometry/vec.js";
import type { Layout, Slit } from "./feature.js";
import { type Job, roughKerf } from "./job.js";
import { beyond, lineEnds, regionOf } from "./slit-ground.js";

/** The line, drawn on at an open end so that it surely crosses the edge it was drawn to. */
function reaching(layout: Layout, { contour }: Slit): readonly Segment[] {
  const [start, end] = lineEnds(contour).map((e) =>
    beyond(layout, e).kind === "kept"
      ? []
      : [line(e.at, along(e.at, e.out, AT_EDGE))],
  ) as [Segment[], Segment[]];
  return [...start, ...contour.segments, ...end];
}

/** Places, those nearer than `AT_EDGE` to one before left out. */
function distinct(places: readonly Vec[]): Vec[] {
  return places.filter((p, i) =>
    places.slice(0, i).every((q) => distance(p, q) > AT_EDGE),
  );
}

function meetings(a: readonly Segment[], b: readonly Segment[]): Vec[] {
  return distinct(
    a.flatMap((s) =>
      b.flatMap((q) => intersectSegments(s, q).map((m) => m.at)),
    ),
  );
}

/** Edges by name; the block's own last. */
function edgesOf({ features, stock }: Layout) {
  return [
    ...features.map((f) => ({ name: f.id, segments: f.contour.segments })),
    ...(stock
      ? [{ name: "the block\u2019s edge", segments: stock.segments }]
      : []),
  ];
}

/** A stretch of a slit between edges, in what is kept or in the waste about parts. */
interface Stretch {
  readonly slit: Slit;
  readonly kind: "kept" | "waste";
  readonly segments: readonly Segment[];
}

/** What of a slit runs through metal, parted where it crosses an edge; in an opening is none once its slug is out. */
function stretchesOf(layout: Layout, slit: Slit): Stretch[] {
  const edges = edgesOf(layout).flatMap((e) => e.segments);
  const stretches: Stretch[] = [];
  let open: Segment[] = [];
  let kind: Stretch["kind"] = "kept";
  const close = (): void => {
    if (open.length > 0) stretches.push({ slit, kind, segments: open });
    open = [];
  };
  for (const s of reaching(layout, slit)) {
    const cuts = edges
      .flatMap((e) => intersectSegments(s, e).map((m) => m.ta))
      .sort((a, b) => a - b);
    const stops = [0, ...cuts, 1];
    stops.slice(1).forEach((to, i) => {
      const from = stops[i] as number;
      if (i > 0) close();
      if (to <= from) return;
      const piece = subSegment(s, from, to);
      const region = regionOf(layout, pointAt(piece, 0.5)).kind;
      if (region !== "kept" && region !== "waste") return;
      kind = region;
      open.push(piece);
    });
  }
  close();
  return stretches;
}

/** Sets that grow together. */
function unions(n: number) {
  const parent = Array.from({ length: n }, (_, k) => k);
  const root = (k: number): number => {
    let r = k;
    while (parent[r] !== r) r = parent[r] as number;
    return r;
  };
  /** False where the two hung together already. */
  return (a: number, b: number): boolean => {
    const [x, y] = [root(a), root(b)];
    parent[x] = y;
    return x !== y;
  };
}

/**
 * A piece comes loose where cuts close round it: edges, drilled holes and the stretches of slits between them are joined
 * one by one at each place they meet, and what joins two that hang together already closes a ring (a planar graph parts
 * the plane once for each such edge).
 */
export function freedPieces(layout: Layout, job: Job): Finding[] {
  const half = roughKerf(job) / 2;
  const stretches = layout.slits.flatMap((s) => stretchesOf(layout, s));
  const edges = edgesOf(layout);
  const holes = layout.holes.filter((h) => h.diameter !== null);
  const join = unions(stretches.length + 2 * edges.length + holes.length);
  // An outline has two sides: what closes a ring in the waste has nothing to do with what is kept.
  const sideOf = ({ kind }: Stretch): number =>
    stretches.length + (kind === "kept" ? 0 : edges.length);
  const closing: { slit: Slit; with: string; at: Vec }[] = [];
  stretches.forEach((stretch, i) => {
    const { slit, segments } = stretch;
    const meet = (node: number, name: string, places: readonly Vec[]): void => {
      for (const at of places)
        if (!join(i, node)) closing.push({ slit, with: name, at });
    };
    edges.forEach((e, k) => {
      meet(sideOf(stretch) + k, e.name, meetings(segments, e.segments));
    });
    holes.forEach(({ at, diameter }, k) => {
      const reach = (diameter as number) / 2 + half;
      if (segments.some((s) => nearestOnSegment(s, at).distance < reach))
        meet(
          stretches.length + 2 * edges.length + k,
          `the hole at ${placeText(pair(at))}`,
          [at],
        );
    });
    stretches.slice(0, i).forEach((other, k) => {
      if (other.kind === stretch.kind)
        meet(k, other.slit.id, meetings(segments, other.segments));
    });
    for (const at of crossingsOfItself(segments))
      closing.push({ slit, with: "itself", at });
  });
  return closing.map(({ slit, with: other, at }) => {
    const where = pair(at);
    return {
      code: "slit/frees-piece",
      severity: "error",
      message: `${slit.id} meets ${other} at ${placeText(where)} and closes a ring of cuts there: the metal between them would come loose with nobody there. End a slit inside the metal, or at the edge beyond which all is waste, or draw the piece as an opening or a part`,
      where,
      feature: slit.id,
    };
  });
}

/** Neighbours meet at their joint. */
function crossingsOfItself(segments: readonly Segment[]): Vec[] {
  return segments.flatMap((s, i) =>
    segments
      .slice(i + 2)
      .flatMap((q) => intersectSegments(s, q).map((m) => m.at)),
  );
}

/** How far (in half widths of the slit) from where a slit crosses an edge it may come near that edge: a crossing at 20°. */
const ABOUT_CROSSING = 3;

/** Edges and other slits that a slit takes away, or nearly, without running into them. */
export function tooClose(layout: Layout, job: Job): Finding[] {
  const half = roughKerf(job) / 2;
  return layout.slits.flatMap((slit, i) => {
    const whole = reaching(layout, slit);
    const others = [
      ...edgesOf(layout).map((e) => ({ ...e, limit: half - MAX_GOUGE })),
      ...layout.slits.slice(0, i).map((s) => ({
        name: s.id,
        segments: s.contour.segments,
        limit: 2 * half + HOLDING_WEB,
      })),
    ];
    return others.flatMap(({ name, segments, limit }): Finding[] => {
      const crossings = meetings(whole, segments);
      const place = slit.contour.segments
        .flatMap((s) =>
          segments.flatMap((q) =>
            distanceBetween(s, q) < limit ? [nearestPlace(s, q)] : [],
          ),
        )
        .find((p) =>
          crossings.every((c) => distance(c, p) > ABOUT_CROSSING * limit),
        );
      if (!place) return [];
      const where = pair(place);
      return [
        {
          code: "slit/too-close",
          severity: "error",
          message: `${slit.id} passes ${name} near ${placeText(where)} without running into it, nearer than half its width (${trimmed(half, 3)} mm) and would break through there: move it off, or draw it on until it ends in ${name}`,
          where,
          feature: slit.id,
        },
      ];
    });
  });
}

/** On `q`, where it is nearest to `s`, or crosses it. */
function nearestPlace(s: Segment, q: Segment): Vec {
  const [crossing] = intersectSegments(s, q);
  if (crossing) return crossing.at;
  const places = [
    ...[s.start, s.end].map((p) => nearestOnSegment(q, p)),
    ...[q.start, q.end].map((p) => ({
      distance: nearestOnSegment(s, p).distance,
      at: p,
    })),
  ];
  return places.reduce((a, b) => (b.distance < a.distance ? b : a)).at;
}

/** An opening that it runs right through: its slug, if still there, would be cut in two. */
export function crossedOpening(layout: Layout, slit: Slit): string | null {
  const whole = reaching(layout, slit);
  return (
    layout.features.find(
      (f) =>
        f.role === "opening" && meetings(whole, f.contour.segments).length > 1,
    )?.id ?? null
  );
}

/** The parts and openings in whose kept metal it runs; null among them: the block itself. */
export function holdersOf(layout: Layout, slit: Slit): (string | null)[] {
  const kept = stretchesOf(layout, slit).filter((s) => s.kind === "kept");
  const around = kept.map(
    ({ segments }) =>
      regionOf(layout, pointAt(segments[0] as Segment, 0.5)).feature?.id ??
      null,
  );
  return [...new Set(around)];
}

/** What metal slits run through, and what they would cut loose of it that nobody drew. */
import type { Finding } from "../../base/finding.js";
import { placeText } from "../../base/numbers.js";
import { AT_EDGE, HOLDING_WEB } from "../../base/tolerance.js";
import {
  distanceToSegment,
  nearestOnSegment,
} from "../../geometry/distance.js";
import { intersectSegments } from "../../geometry/intersect.js";
import {
  line,
  pointAt,
  type Segment,
  segmentLength,
  subSegment,
} from "../../geometry/segment.js";
import { distance, pair, type Vec } from "../../geometry/vec.js";
import type { Feature, Layout, Slit } from "../feature.js";
import { type Job, roughKerf } from "../job/job.js";
import { kerfDepth } from "../slug/slug.js";
import {
  type Edge,
  edgesOf,
  lineEnds,
  meetings,
  reaching,
  regionOf,
} from "./ground.js";
import { closesOnItself, runsWithin } from "./near.js";

/** A hole through the metal. */
export interface Disc {
  readonly at: Vec;
  readonly radius: number;
}

/** The way from a part's start hole to its outline. */
export interface LeadIn {
  readonly feature: string;
  readonly segments: readonly Segment[];
}

/** A stretch of a slit between edges, or of a part's lead-in, in what is kept or in the waste about parts. */
interface Stretch {
  readonly name: string;
  /** null: a lead-in. */
  readonly slit: Slit | null;
  readonly kind: "kept" | "waste";
  readonly segments: readonly Segment[];
}

/** What of a slit runs through metal, parted where it crosses an edge; in an opening is none once its slug is out. */
function stretchesOf(
  layout: Layout,
  slit: Slit,
  way: readonly Segment[] = reaching(layout, slit),
): Stretch[] {
  const edges = edgesOf(layout).flatMap((e) => e.segments);
  const stretches: Stretch[] = [];
  let open: Segment[] = [];
  let kind: Stretch["kind"] = "kept";
  const close = (): void => {
    if (open.length > 0)
      stretches.push({ name: slit.id, slit, kind, segments: open });
    open = [];
  };
  for (const s of way) {
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
 * A piece comes loose where cuts close round it: edges, holes and the stretches of slits between them are joined one by one
 * at each place they meet, and what joins two that hang together already closes a ring (a planar graph parts the plane
 * once for each such edge). `holes` are all that go through metal which is kept or about parts, `leads` the ways in to parts,
 * `threads` those of slits by their ids.
 */
export function freedPieces(
  layout: Layout,
  holes: readonly Disc[],
  leads: readonly LeadIn[],
  threads: ReadonlyMap<string, Vec>,
  job: Job,
): Finding[] {
  const half = roughKerf(job) / 2;
  // What lead-ins join is joined first: it stands before any slit is cut.
  const stretches = [
    ...leads.map(
      ({ feature, segments }): Stretch => ({
        name: `the lead-in of ${feature}`,
        slit: null,
        kind: "waste",
        segments,
      }),
    ),
    ...layout.slits.flatMap((s) =>
      stretchesOf(layout, s, fromThread(layout, s, threads.get(s.id))),
    ),
  ];
  const edges = edgesOf(layout);
  const junctions = junctionsOf(stretches, edges, holes, half);
  // An outline has two sides: what closes a ring in the waste has nothing to do with what is kept.
  const sideOf = (kind: Stretch["kind"], edge: number): number =>
    stretches.length + 2 * edge + (kind === "kept" ? 0 : 1);
  const ofHole = stretches.length + 2 * edges.length;
  const ofJunction = ofHole + holes.length;
  const join = unions(ofJunction + junctions.length);
  holes.forEach(({ at, radius }, h) => {
    edges.forEach(({ segments }, e) => {
      if (!segments.some((s) => nearestOnSegment(s, at).distance < radius))
        return;
      join(ofHole + h, sideOf("kept", e));
      join(ofHole + h, sideOf("waste", e));
    });
  });
  leads.forEach(({ feature }, i) => {
    const own = edges.findIndex((e) => e.name === feature);
    join(i, sideOf("waste", own));
  });
  // About a part its own rough clears the waste: a slit runs into that kerf before it comes to the edge.
  const beside = kerfDepth(job) + half;
  const closing: { slit: Slit; with: string; at: Vec }[] = [];
  stretches.forEach(({ slit, kind, segments }, i) => {
    const meet = (node: number, name: string, at: Vec): void => {
      if (!join(i, node) && slit) closing.push({ slit, with: name, at });
    };
    edges.forEach((e, k) => {
      const met =
        kind === "waste" && layout.features[k]?.role === "part"
          ? runsWithin(e.segments, segments, beside).map((run) => run[0] as Vec)
          : meetings(segments, e.segments);
      for (const at of met) meet(sideOf(kind, k), e.name, at);
    });
    holes.forEach(({ at, radius }, k) => {
      if (
        segments.some((s) => nearestOnSegment(s, at).distance < radius + half)
      )
        meet(ofHole + k, `the hole at ${placeText(pair(at))}`, at);
    });
    junctions.forEach(({ at, stretches: meeting }, k) => {
      if (!meeting.has(i)) return;
      const others = [...meeting].filter((m) => m !== i);
      const other = stretches[others[0] as number] as Stretch;
      meet(ofJunction + k, other.name, at);
    });
    if (!slit) return;
    const closed = closesOnItself(segments, 2 * half + HOLDING_WEB);
    if (closed) closing.push({ slit, with: "itself", at: closed });
  });
  const told = new Map(closing.map((c) => [`${c.slit.id} ${c.with}`, c]));
  return [...told.values()].map(({ slit, with: other, at }) => {
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

/** The line and the way to it from where the wire is threaded, which is beyond one of its ends. */
function fromThread(
  layout: Layout,
  slit: Slit,
  thread: Vec | undefined,
): readonly Segment[] {
  const all = reaching(layout, slit);
  if (!thread) return all;
  const [start, end] = lineEnds(slit.contour);
  const atStart = distance(thread, start.at) < distance(thread, end.at);
  const from = (all[0] as Segment).start;
  const to = (all.at(-1) as Segment).end;
  if (distance(thread, atStart ? start.at : end.at) <= AT_EDGE) return all;
  return atStart ? [line(thread, from), ...all] : [...all, line(to, thread)];
}

/** Where two or more slits meet. */
interface Junction {
  readonly at: Vec;
  /** Indices of the stretches that do. */
  readonly stretches: Set<number>;
}

/**
 * The places where slits meet each other, those within half a slit's width of one before it taken for the same: the kerfs
 * leave nothing between them. Nor do they at an edge or a hole that both run into there.
 */
function junctionsOf(
  stretches: readonly Stretch[],
  edges: readonly Edge[],
  holes: readonly Disc[],
  half: number,
): Junction[] {
  const junctions: Junction[] = [];
  stretches.forEach((a, i) => {
    stretches.slice(0, i).forEach((b, k) => {
      if (a.kind !== b.kind || !(a.slit || b.slit)) return;
      for (const at of meetings(a.segments, b.segments)) {
        const atEdge = edges.some(({ segments }) =>
          [a, b].every((s) =>
            meetings(s.segments, segments).some((m) => distance(m, at) <= half),
          ),
        );
        const atHole = holes.some((h) => distance(h.at, at) < h.radius + half);
        if (atEdge || atHole) continue;
        const known = junctions.find((j) => distance(j.at, at) <= half);
        if (known) known.stretches.add(i).add(k);
        else junctions.push({ at, stretches: new Set([i, k]) });
      }
    });
  });
  return junctions;
}

/** An opening whose slug, while it is still there, the wire would cut into on its way; those `around` its part aside. */
export function slugCut(
  layout: Layout,
  path: readonly Segment[],
  around: readonly Feature[],
  job: Job,
): string | null {
  const deep = kerfDepth(job) - roughKerf(job) / 2;
  const cutInto = layout.features.find(
    (f) =>
      f.role === "opening" &&
      !around.includes(f) &&
      placesIn(layout, path, f, job).some((off) => off > deep),
  );
  return cutInto?.id ?? null;
}

/** Does the wire, within an opening's waste, come into the kerf of its rough, or nearly? */
export function nearsEdge(
  layout: Layout,
  path: readonly Segment[],
  opening: Feature,
  job: Job,
): boolean {
  const near = kerfDepth(job) + roughKerf(job) / 2 + HOLDING_WEB;
  return placesIn(layout, path, opening, job).some((off) => off < near);
}

/** How far (mm) places on the wire's way within an opening, and in nothing that lies in it, are from its edge. */
function placesIn(
  layout: Layout,
  path: readonly Segment[],
  { id, contour }: Feature,
  job: Job,
): number[] {
  return path.flatMap((s) => {
    const n = Math.ceil(segmentLength(s) / (roughKerf(job) / 4));
    return Array.from({ length: n + 1 }, (_, k) => pointAt(s, k / n))
      .filter((p) => regionOf(layout, p).feature?.id === id)
      .map((p) =>
        Math.min(
          ...contour.segments.map((e) => distanceToSegment(e, p.x, p.y)),
        ),
      );
  });
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

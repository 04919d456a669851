/** Where the wire is threaded: in the waste, clear of every finished edge, and where something made room for it. */
import type { Finding } from "../base/finding.js";
import { fixed, placeText, trimmed } from "../base/numbers.js";
import { MAX_GOUGE, SAME_HOLE, SAME_POINT } from "../base/tolerance.js";
import { distance, pair, type Vec } from "../geometry/vec.js";
import type { Job } from "../plan/job/job.js";
import type { Path } from "./coverage.js";
import type { Move } from "./follow.js";
import {
  boxIndex,
  clearanceAt,
  type Ground,
  innermostAt,
  pointBox,
  regionAt,
} from "./ground.js";
import { pointTo } from "./measure.js";
import type { Cluster, Piece } from "./pieces.js";
import { enclosedBy } from "./polygons.js";
import type { ThreadPlace } from "./proof.js";
import { isOnSlit, type SlitLines } from "./slits.js";
import type { Thread } from "./wire.js";

export interface ThreadPlaces {
  readonly places: readonly ThreadPlace[];
  readonly findings: readonly Finding[];
}

/** `features` says of each thread which feature it cuts. */
export function checkThreadPlaces(
  threads: readonly Thread[],
  features: ReadonlyMap<number, number>,
  path: Path,
  clusters: readonly Cluster[],
  ground: Ground,
  lines: SlitLines,
  job: Job,
): ThreadPlaces {
  const slits = new Map(
    path.moves.flatMap((m) =>
      m.slit === null ? [] : [[m.thread, m.slit] as const],
    ),
  );
  /** Of a thread that begins on the line it cuts, or on the way there. */
  const slitAt = (t: number, at: Vec): string | null => {
    const slit = slits.get(t);
    return slit !== undefined && isOnSlit(at, slit, lines)
      ? (lines.slits[slit]?.id ?? null)
      : null;
  };
  const places: ThreadPlace[] = [];
  const pieces = clusters.flatMap((c) => c.pieces);
  const piecesByBox = boxIndex(pieces.map((p) => p.box));
  const threadsByPlace = boxIndex(threads.map((t) => pointBox(t.at)));
  /** Of each thread the index of its place. */
  const placeOf: number[] = [];
  threads.forEach(({ at, line }, t) => {
    const here = threadsByPlace
      .near(pointBox(at), SAME_HOLE)
      .filter(
        (k) => k < t && distance((threads[k] as Thread).at, at) <= SAME_HOLE,
      );
    const known = placeOf[Math.min(...here)];
    placeOf[t] = known ?? places.length;
    if (known !== undefined) {
      const place = places[known] as ThreadPlace;
      places[known] = { ...place, threads: place.threads + 1 };
      return;
    }
    const drawn = ground.layout.holes.some(
      (h) => distance(h.at, at) <= roomIn(h.diameter, job),
    );
    const slit = slitAt(t, at);
    // The slit's own way in has cut a notch into the piece that was there: beside that notch it still can be found.
    const about =
      slit === null ? [at] : [at, ...ringAbout(at, 2 * lines.half, 8)];
    const round = (): Piece[] =>
      piecesByBox
        .near(pointBox(at), 2 * lines.half)
        .map((k) => pieces[k] as Piece);
    const feature =
      slit ??
      ground.layout.features[features.get(t) ?? -1]?.id ??
      innermostAt(ground, at)?.id ??
      null;
    const inAir = regionAt(ground, at) === "air";
    const room = drawn
      ? "drawn"
      : inAir && offTheBlock(ground, at) >= sweepOf(job)
        ? "air"
        : isOpen(at, about, t, path, round(), job)
          ? "cut"
          : inAir
            ? "air"
            : "new";
    places.push({ at: pair(at), line, threads: 1, room, feature });
  });
  const byFeature = new Map<string | null, ThreadPlace[]>();
  for (const place of places) {
    const of = byFeature.get(place.feature);
    if (of) of.push(place);
    else byFeature.set(place.feature, [place]);
  }
  const drilled = new Set(
    places.filter((p) => p.room === "new").map((p) => p.line),
  );
  return {
    places,
    findings: [
      ...threads.flatMap((thread, t) =>
        nearTheEdge(
          thread,
          drilled.has(thread.line),
          slitAt(t, thread.at) !== null,
          ground,
          job,
        ),
      ),
      ...places.flatMap((place) => {
        const rim = [
          ...onTheRim(place, ground, job),
          ...againstTheBlock(place, ground, job),
        ];
        return rim.length > 0 || lines.slits.some((s) => s.id === place.feature)
          ? rim
          : secondHole(
              place,
              byFeature.get(place.feature) ?? [],
              threads,
              ground,
            );
      }),
    ],
  };
}

const vec = ({ at: [x, y] }: ThreadPlace): Vec => ({ x, y });

/**
 * A hole to be made where there is one already: drawn, or made for the same feature. Of several tabs each has a hole of
 * its own, at which the wire is threaded more than once and goes another way than from the others. `places` are those
 * of the same feature.
 */
function secondHole(
  place: ThreadPlace,
  places: readonly ThreadPlace[],
  threads: readonly Thread[],
  ground: Ground,
): Finding[] {
  const { feature, room, line, at } = place;
  if (room !== "new") return [];
  const region = innermostAt(ground, vec(place));
  const other =
    places.find(
      (p) =>
        p !== place &&
        (p.room === "drawn" ||
          (p.room === "new" &&
            (place.threads === 1
              ? p.threads > 1 || p.line < line
              : p.line < line &&
                meet(leadsFrom(p, threads), leadsFrom(place, threads))))),
    )?.at ??
    ground.layout.holes
      .filter((h) => region && innermostAt(ground, h.at) === region)
      .map((h) => pair(h.at))[0];
  if (!other) return [];
  return [
    {
      code: "proof/no-hole",
      severity: "warning",
      message: `program line ${line}: ${feature ? `${feature}: ` : ""}the wire is threaded at ${placeText(at)}, where no hole is drawn and nothing was cut before, and there is a hole at ${placeText(other)}; thread it there, or make a second hole`,
      where: at,
      ...(feature && { feature }),
    },
  ];
}

/** Where the wire goes first from a place. */
const leadsFrom = (place: ThreadPlace, threads: readonly Thread[]): Vec[] =>
  threads.flatMap(({ at, moves }) => {
    const [first] = moves;
    return first && distance(at, vec(place)) <= SAME_HOLE
      ? [first.segment.end]
      : [];
  });

const meet = (some: readonly Vec[], others: readonly Vec[]): boolean =>
  some.some((p) => others.some((q) => distance(p, q) <= SAME_HOLE));

/** In a hole that is drawn, but not clear of its rim all round: the wire goes through metal. */
function onTheRim(place: ThreadPlace, { layout }: Ground, job: Job): Finding[] {
  const { diameter } = job.wire;
  const hole = layout.holes.find(
    (h) =>
      h.diameter !== null &&
      distance(h.at, vec(place)) < (h.diameter + diameter) / 2,
  );
  if (!hole || place.room === "cut") return [];
  const off = distance(hole.at, vec(place));
  const wide = hole.diameter as number;
  if (
    off + diameter / 2 <= Math.max(wide / 2, diameter / 2 + SAME_HOLE) &&
    wide > diameter
  )
    return [];
  return [
    {
      code: "proof/no-room",
      severity: "error",
      message: `program line ${place.line}: the wire of ${trimmed(diameter, 3)} mm is threaded ${trimmed(off, 3)} mm off the middle of a hole of ${trimmed(wide, 3)} mm at ${placeText(pair(hole.at))}: it does not go through there; thread it in the middle, or bore the hole wider`,
      where: place.at,
      ...(place.feature && { feature: place.feature }),
    },
  ];
}

/** mm from a place to the block's own edge; Infinity when no block is drawn. */
const offTheBlock = ({ layout }: Ground, p: Vec): number =>
  Math.min(
    Number.POSITIVE_INFINITY,
    ...(layout.stock?.segments.map((s) => pointTo(s, p.x, p.y)) ?? []),
  );

/** mm round a wire's centre that must be free of metal, at the roughest gap. */
const sweepOf = ({ wire, passes }: Job): number =>
  wire.diameter / 2 + Math.max(...passes.map((p) => p.gap));

/** Threaded beside the block, the wire must stand clear of it: it would touch it, or burn into it where nobody asked. */
function againstTheBlock(
  place: ThreadPlace,
  ground: Ground,
  job: Job,
): Finding[] {
  if (place.room !== "air") return [];
  const off = offTheBlock(ground, vec(place));
  const needed = sweepOf(job);
  if (off >= needed) return [];
  return [
    {
      code: "proof/no-room",
      severity: "error",
      message: `program line ${place.line}: the wire is threaded in the open at ${placeText(place.at)}, ${fixed(off, 4)} mm from the block's edge, and wants ${fixed(needed, 4)} mm (half its diameter and the spark gap) and some room to spare: thread it farther out`,
      where: place.at,
      ...(place.feature && { feature: place.feature }),
    },
  ];
}

/** mm by which a threaded wire may stand off the middle of a hole. */
const roomIn = (diameter: number | null, job: Job): number =>
  Math.max(
    SAME_HOLE,
    ((diameter ?? job.startHoles.diameter ?? 0) - job.wire.diameter) / 2,
  );

/** Was there room already (`about`: the place, and others that tell as well): where kerfs cleared it, or one of the pieces near by has come out? */
function isOpen(
  at: Vec,
  about: readonly Vec[],
  thread: number,
  path: Path,
  pieces: readonly Piece[],
  job: Job,
): boolean {
  return (
    isCleared(at, thread, path, job) ||
    pieces.some(
      (p) =>
        (path.moves[p.freedBy] as Move).thread < thread &&
        about.some((place) => enclosedBy(p.area, place)),
    )
  );
}

/** Places round a wire that are asked for metal: nearer to each other than half its radius. */
const ROUND_WIRE = 16;

/** Have the kerfs of earlier threads taken all metal that a wire would touch: one kerf, or several side by side? */
function isCleared(at: Vec, thread: number, path: Path, job: Job): boolean {
  const radius = job.wire.diameter / 2;
  const widest = Math.max(...job.passes.map((p) => p.gap));
  const before = path.index
    .near(pointBox(at), 2 * radius + widest)
    .map((k) => path.moves[k] as Move)
    .filter((m) => m.thread < thread);
  return [at, ...ringAbout(at, radius, ROUND_WIRE)].every((p) =>
    before.some(
      (m) => pointTo(m.segment, p.x, p.y) <= radius + m.gap + SAME_POINT,
    ),
  );
}

function ringAbout({ x, y }: Vec, radius: number, places: number): Vec[] {
  return Array.from({ length: places }, (_, k) => ({
    x: x + radius * Math.cos((k * 2 * Math.PI) / places),
    y: y + radius * Math.sin((k * 2 * Math.PI) / places),
  }));
}

/** The wire must be threaded in the waste, clear of every finished edge even at the roughest gap; so must a new hole. */
function nearTheEdge(
  { at, line }: Thread,
  drilled: boolean,
  onSlit: boolean,
  ground: Ground,
  job: Job,
): Finding[] {
  const sweep = sweepOf(job);
  const hole = drilled ? (job.startHoles.diameter ?? 0) / 2 : 0;
  // What a hole on a slit's line takes is part of the slit.
  const kept = !onSlit && regionAt(ground, at) === "kept";
  const clearance = clearanceAt(ground, at, Math.max(sweep, hole));
  if (!kept && clearance >= Math.max(sweep, hole) - MAX_GOUGE) return [];
  const where = kept
    ? "in metal that is kept"
    : clearance < sweep - MAX_GOUGE
      ? `${fixed(clearance, 4)} mm from a finished edge, where it touches it`
      : `${fixed(clearance, 4)} mm from a finished edge, which a hole of diameter ${fixed(2 * hole, 4)} mm (startHoles.diameter) cuts into`;
  return [
    {
      code: "proof/thread-in-kept-metal",
      severity: "error",
      message: `program line ${line}: the wire is threaded at ${placeText(pair(at))}, ${where}; thread it in the waste`,
      where: pair(at),
    },
  ];
}

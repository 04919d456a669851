/** Where the wire is threaded: in the waste, clear of every finished edge, and where something made room for it. */
import type { Finding } from "../base/finding.js";
import { fixed, placeText } from "../base/numbers.js";
import { MAX_GOUGE, SAME_HOLE } from "../base/tolerance.js";
import { distance, pair, type Vec } from "../geometry/vec.js";
import type { Job } from "../plan/job.js";
import type { Path } from "./coverage.js";
import type { Move } from "./follow.js";
import { clearanceAt, type Ground, pointBox, regionAt } from "./ground.js";
import { pointTo } from "./measure.js";
import type { Cluster } from "./pieces.js";
import { enclosedBy } from "./polygons.js";
import type { ThreadPlace } from "./proof.js";
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
  job: Job,
): ThreadPlaces {
  const places: ThreadPlace[] = [];
  const findings: Finding[] = [];
  threads.forEach((thread, t) => {
    const { at, line } = thread;
    findings.push(...inTheWay(thread, ground, job));
    const known = places.findIndex((p) => distance(p.at, at) <= SAME_HOLE);
    if (known >= 0) {
      const place = places[known] as ThreadPlace;
      places[known] = { ...place, threads: place.threads + 1 };
      return;
    }
    const drawn = ground.layout.holes.some(
      (h) => distance(h.at, at) <= roomIn(h.diameter, job),
    );
    const room = drawn
      ? "drawn"
      : isOpen(at, t, path, clusters, ground, job)
        ? "cut"
        : "new";
    const feature = ground.layout.features[features.get(t) ?? -1]?.id ?? null;
    const before =
      room === "new" && feature !== null
        ? places.find((p) => p.feature === feature)
        : undefined;
    places.push({ at, line, threads: 1, room, feature });
    if (before)
      findings.push({
        code: "proof/no-hole",
        severity: "warning",
        message: `program line ${line}: ${feature}: the wire is threaded at ${placeText(pair(at))}, where no hole is drawn and nothing was cut before; it was threaded at ${placeText(pair(before.at))} in line ${before.line}: thread it there, or drill a second hole`,
        where: pair(at),
        ...(feature && { feature }),
      });
  });
  return { places, findings };
}

/** mm by which a threaded wire may stand off the middle of a hole. */
const roomIn = (diameter: number | null, job: Job): number =>
  Math.max(
    SAME_HOLE,
    ((diameter ?? job.startHoles.diameter ?? 0) - job.wire.diameter) / 2,
  );

/** Was there air already: round the block, in a kerf, or where a piece has come out? */
function isOpen(
  at: Vec,
  thread: number,
  path: Path,
  clusters: readonly Cluster[],
  ground: Ground,
  job: Job,
): boolean {
  if (regionAt(ground, at) === "air") return true;
  const widest = Math.max(...job.passes.map((p) => p.gap));
  const inKerf = path.index.near(pointBox(at), widest).some((k) => {
    const move = path.moves[k] as Move;
    return (
      move.thread < thread && pointTo(move.segment, at.x, at.y) <= move.gap
    );
  });
  return (
    inKerf ||
    clusters.some((c) =>
      c.pieces.some(
        (p) =>
          (path.moves[p.freedBy] as Move).thread < thread &&
          enclosedBy(p.area, at),
      ),
    )
  );
}

/** The wire must be threaded in the waste, clear of every finished edge even at the roughest gap; so must its hole. */
function inTheWay({ at, line }: Thread, ground: Ground, job: Job): Finding[] {
  const sweep =
    job.wire.diameter / 2 + Math.max(...job.passes.map((p) => p.gap));
  const hole = (job.startHoles.diameter ?? 0) / 2;
  const kept = regionAt(ground, at) === "kept";
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

/** How much metal really holds a piece at its tab: as wide as the tab is where it is narrowest. */
import { SAME_POINT } from "../../base/tolerance.js";
import {
  distanceToSegment,
  nearestOnSegment,
} from "../../geometry/distance.js";
import type { OffsetLoop, OffsetSegment } from "../../geometry/offset.js";
import {
  type Box,
  boxesTouch,
  EMPTY_BOX,
  grownBox,
  line,
  pointAt,
  type Segment,
  segmentBox,
  segmentLength,
  subSegment,
  unionBox,
} from "../../geometry/segment.js";
import { distance, lerp, type Vec } from "../../geometry/vec.js";
import { standOffDistance } from "../entry/stand-off.js";
import type { Job, Pass } from "../job/job.js";
import { loopIndex } from "../track/loop-index.js";
import {
  offSpot,
  type PassLoop,
  piecesBetween,
  placeOn,
  type Spot,
  type Track,
} from "../track/track.js";

/** The wire's centre line, and how far to its side the kerf reaches. */
interface Swath {
  readonly segment: Segment;
  readonly reach: number;
  /** Beside the path, in the waste: what hangs there is the tab's other end. */
  readonly off: boolean;
}

/** mm at least between the points of a path that are asked how far it is to the kerf on the tab's other side. */
const STEP = 0.05;

/** Where a tab stands: from where the rough ends to where the lead-in from its hole meets the outline. */
interface TabPlace {
  readonly hole: Vec;
  /** Of the hole, mm; 0: narrower than the kerf, or none. */
  readonly diameter?: number;
  readonly lead: Spot;
  readonly tabEnd: Spot;
}

/**
 * mm between the kerfs at a tab's two ends, where they are nearest: the lead-in from its hole and all passes from the lead
 * point on, and all passes up to the tab's end, where the wire stands off. Along the path a tab has its length; in a bend,
 * beside a fillet or in a narrow tooth space the kerfs come nearer to each other. Of two passes only what the cut that
 * frees the piece goes through counts. Of one that has `most` it is not asked how much more, and of one that has less than
 * `enough`, how much less.
 */
export function tabWidth(
  track: Track,
  { hole, diameter = 0, lead, tabEnd }: TabPlace,
  job: Job,
  enough = 0,
  most = enough > 0 ? enough : Number.POSITIVE_INFINITY,
): number {
  const { passes, feature } = track;
  const rough = passes[0] as PassLoop;
  const finish = passes.at(-1) as PassLoop;
  const apart = distance(
    offSpot(track, lead, rough.pass.offset),
    offSpot(track, tabEnd, rough.pass.offset),
  );
  const across = apart - job.wire.diameter - 2 * rough.pass.gap;
  if (across < enough) return across;
  const freed = feature.role === "part" ? finish : rough;
  const freeing = swathsOf(
    piecesBetween(freed.loop, tabEnd, lead),
    freed.pass,
    job,
  );
  const far = 2 * rough.pass.offset + way(rough.loop, tabEnd, lead);
  // The passes between rough and finish run between the two.
  const cut = rough === finish ? [rough] : [rough, finish];
  // Past a corner the wire may come back beside the tab a long way on: what lies near is asked, however far along.
  const near = boxAbout(freeing, Number.isFinite(most) ? most : far);
  const open = cut.map((passed) =>
    halvesInside(passed, lead, tabEnd, near, job),
  );
  const ahead = [
    ...leadIn(track, hole, lead, far, job),
    ...(diameter > 0
      ? [{ segment: line(hole, hole), reach: diameter / 2, off: true }]
      : []),
    ...open.flatMap(([first]) => first),
  ];
  const behind = [
    standOff(track, tabEnd, job),
    ...open.flatMap(([, last]) => last),
  ];
  let width = most;
  for (const { segment, reach, off } of ahead) {
    const long = segmentLength(segment);
    let s = 0;
    while (s <= long) {
      const p = pointAt(segment, long > 0 ? s / long : 0);
      let clear = Number.POSITIVE_INFINITY;
      for (const other of behind) {
        const both = reach + other.reach;
        const room = distanceToSegment(other.segment, p.x, p.y) - both - width;
        clear = Math.min(clear, room);
        if (room >= 0) continue;
        const foot = nearestOnSegment(other.segment, p);
        const between = foot.distance - both;
        const { x, y } = lerp(
          p,
          foot.at,
          (reach + between / 2) / foot.distance,
        );
        if (
          off ||
          other.off ||
          freeing.some((f) => distanceToSegment(f.segment, x, y) <= f.reach)
        )
          width = between;
        if (width < enough) return width;
      }
      // Going on by less than it is clear by, the path comes no nearer than that.
      const next = s + Math.max(STEP, clear);
      s = s < long ? Math.min(long, next) : next;
    }
  }
  return width;
}

function swathsOf(
  pieces: readonly OffsetSegment[],
  pass: Pass,
  { wire }: Job,
): Swath[] {
  const reach = wire.diameter / 2 + pass.gap;
  return pieces.map(({ segment }) => ({ segment, reach, off: false }));
}

function standOff(track: Track, spot: Spot, job: Job): Swath {
  const { offset, gap } = job.passes[0] as Pass;
  const segment = line(
    offSpot(track, spot, offset),
    offSpot(track, spot, standOffDistance(job)),
  );
  return { segment, reach: job.wire.diameter / 2 + gap, off: true };
}

/** The lead's last `far` mm, and on to where the rough begins. */
function leadIn(
  track: Track,
  hole: Vec,
  lead: Spot,
  far: number,
  job: Job,
): Swath[] {
  const foot = standOff(track, lead, job);
  const high = distance(hole, foot.segment.end);
  return high <= SAME_POINT
    ? [foot]
    : [
        foot,
        {
          ...foot,
          segment: line(
            foot.segment.end,
            lerp(foot.segment.end, hole, Math.min(1, far / high)),
          ),
        },
      ];
}

/** mm along a loop from one spot on to another. */
function way(loop: OffsetLoop, from: Spot, to: Spot): number {
  const long = placeOn(loop, to) - placeOn(loop, from);
  return long > 0 ? long : long + loopIndex(loop).round;
}

/** The box round swaths and `most` mm more. */
function boxAbout(swaths: readonly Swath[], most: number): Box {
  const box = swaths.map(boxOf).reduce(unionBox, EMPTY_BOX);
  return grownBox(box, most);
}

function boxOf({ segment, reach }: Swath): Box {
  return grownBox(segmentBox(segment), reach);
}

/** Of a pass from the lead point on to the tab's end, what comes into a box: of the way's first half, and of its last. */
function halvesInside(
  { loop, pass }: PassLoop,
  lead: Spot,
  tabEnd: Spot,
  box: Box,
  { wire }: Job,
): [first: Swath[], last: Swath[]] {
  const { starts, round, pieces } = loopIndex(loop);
  const reach = wire.diameter / 2 + pass.gap;
  const from = placeOn(loop, lead);
  const long = way(loop, lead, tabEnd);
  const near = pieces.near(box.minX, box.minY, box.maxX, box.maxY, reach);
  const between = (low: number, high: number): Swath[] =>
    near
      .flatMap((k) => {
        const { segment } = loop.segments[k] as OffsetSegment;
        const start = (starts[k] as number) - from;
        // The way begins, and may end, within a piece.
        return [
          ...within(segment, low - start, high - start),
          ...within(segment, low - start - round, high - start - round),
        ];
      })
      .map((segment) => ({ segment, reach, off: false }))
      .filter((swath) => boxesTouch(boxOf(swath), box));
  return [between(0, long / 2), between(long / 2, long)];
}

/** What of a segment lies between two lengths along it, mm. */
function within(segment: Segment, low: number, high: number): Segment[] {
  const long = segmentLength(segment);
  if (low >= long || high <= 0) return [];
  if (low <= 0 && high >= long) return [segment];
  const [from, to] = [Math.max(0, low / long), Math.min(1, high / long)];
  return [subSegment(segment, from, to)];
}

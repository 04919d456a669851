/**
 * How good a stretch of outline is for a lead-in with the tab behind it, as a toolmaker would judge it: straight and
 * away from corners, not on a face that has to fit, and held so that the piece does not tilt. The weights and limits
 * are common practice, no source; they stand here and nowhere else.
 */
import {
  type Contour,
  contourBox,
  turnBetween,
} from "../../geometry/contour.js";
import type { SegmentIndex } from "../../geometry/distance.js";
import {
  type Segment,
  segmentLength,
  tangentAt,
  turnAlong,
} from "../../geometry/segment.js";
import { distance, dot, sub, type Vec } from "../../geometry/vec.js";
import { type Spot, spotPoint, type Track } from "../track/track.js";
import { isKeptFree, type KeptFree } from "./keep-off.js";

/** Each judgement is from 0 to 1; the score is their weighted mean. */
const WEIGHTS = {
  /** How little the outline turns along the tab and just beside it. */
  straight: 3,
  /** Nothing has to fit there: neither the flank of a tooth nor a bore. */
  plain: 3,
  /** The piece's centre of gravity lies on the line through the tab, square to the edge: it hangs and does not twist. */
  balance: 2,
  /** The centre of gravity is near: little weight bends the tab. */
  near: 1,
  /** Part of the longest straight run of this outline. */
  run: 1,
} as const;

/** rad; an outline that turns by this much about the tab is not straight at all. */
const FULL_BEND = Math.PI / 6;

/** rad; a sharper turn ends a straight run. */
const RUN_END = Math.PI / 18;

/** So many edges of one size, each below this share of the outline, are teeth. */
const TEETH = 8;
const TOOTH_SHARE = 1 / 16;

/** rad; round faces that take up more of their circle are bores or journals, made to fit. */
const ROUND_FACE = Math.PI / 2;

/** How plain faces are: a tooth's flank does the work, its tip and root less so; a bore or journal is a fit. */
const PLAIN = { flank: 0, crest: 0.6, round: 0.4, other: 1 } as const;

/** mm; edges whose lengths or radii differ by less are of one size. */
const SAME_SIZE = 0.01;

/** mm; an edge this near to a line on `tabs.keepOffLayer` is meant by it. */
const KEEP_OFF = 0.5;

/** What the score needs to know of an outline, worked out once. */
export interface OutlineProfile {
  readonly track: Track;
  /** mm along the outline to the start of each segment, and once round. */
  readonly starts: readonly number[];
  readonly round: number;
  /** Of each segment, how plain its face is. */
  readonly plain: readonly number[];
  /** Of each segment, the length of the nearly straight run it is in, as a share of the longest. */
  readonly run: readonly number[];
  /** Lines near which neither tab nor lead-in may stand. */
  readonly keepOff: SegmentIndex;
  /** Stretches on which neither may stand. */
  readonly keptFree: readonly KeptFree[];
  /** Half the diagonal of the outline's box, mm. */
  readonly size: number;
  /** Centre of gravity of the piece that comes loose. */
  readonly cg: Vec;
}

export function profileOf(
  track: Track,
  cg: Vec,
  keepOff: SegmentIndex,
  keptFree: readonly KeptFree[],
): OutlineProfile {
  const { segments } = track.contour;
  const starts: number[] = [];
  let round = 0;
  for (const s of segments) {
    starts.push(round);
    round += segmentLength(s);
  }
  const box = contourBox(track.contour);
  return {
    track,
    starts,
    round,
    plain: plainness(segments, round),
    run: straightRuns(track.contour, round),
    keepOff,
    keptFree,
    size: Math.hypot(box.maxX - box.minX, box.maxY - box.minY) / 2,
    cg,
  };
}

/**
 * Score in [0, 1] of a tab of `span` mm (with its kerfs) that ends at `lead`; `null` where a line on
 * `tabs.keepOffLayer` or a stretch of `features.<id>.keepOff` forbids it.
 */
export function placingScore(
  profile: OutlineProfile,
  lead: Spot,
  span: number,
): number | null {
  const { track, cg, size } = profile;
  const end = placeOf(profile, lead);
  const faces = facesBetween(profile, end - span, end);
  if (isKeptFree(profile.keptFree, end - span, span, profile.round))
    return null;
  if (nearsKeepOff(profile, end - span, end)) return null;
  const middle = spotAt(profile, end - span / 2);
  const at = spotPoint(track, middle);
  const tangent = tangentAt(
    track.contour.segments[middle.index] as Segment,
    middle.t,
  );
  const lever = Math.abs(dot(sub(cg, at), tangent));
  const least = (values: readonly number[]): number =>
    faces.reduce((min, i) => Math.min(min, values[i] as number), 1);
  const judged = {
    straight: 1 - Math.min(1, bendAbout(profile, end, span) / FULL_BEND),
    plain: least(profile.plain),
    balance: 1 - Math.min(1, (2 * lever) / size),
    near: 1 - Math.min(1, distance(at, cg) / size),
    run: least(profile.run),
  };
  let sum = 0;
  let all = 0;
  for (const key of Object.keys(WEIGHTS) as (keyof typeof WEIGHTS)[]) {
    sum += WEIGHTS[key] * judged[key];
    all += WEIGHTS[key];
  }
  return sum / all;
}

/** Does a tab of `span` mm that ends at `lead` stand on the working flank of a tooth? */
export function standsOnFlank(
  profile: OutlineProfile,
  lead: Spot,
  span: number,
): boolean {
  const end = placeOf(profile, lead);
  return facesBetween(profile, end - span, end).some(
    (i) => profile.plain[i] === PLAIN.flank,
  );
}

/** mm along the outline from its start. */
export function placeOf({ track, starts }: OutlineProfile, spot: Spot): number {
  const s = track.contour.segments[spot.index] as Segment;
  return (starts[spot.index] as number) + spot.t * segmentLength(s);
}

/** The spot `place` mm along the outline from its start, round and round. */
export function spotAt(profile: OutlineProfile, place: number): Spot {
  const index = segmentAt(profile, place);
  const s = profile.track.contour.segments[index] as Segment;
  const along = wrapped(profile, place) - (profile.starts[index] as number);
  return { index, t: Math.min(1, Math.max(0, along / segmentLength(s))) };
}

function wrapped({ round }: OutlineProfile, place: number): number {
  return ((place % round) + round) % round;
}

function segmentAt(profile: OutlineProfile, place: number): number {
  const { starts } = profile;
  const p = wrapped(profile, place);
  let low = 0;
  let high = starts.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if ((starts[middle] as number) <= p) low = middle;
    else high = middle - 1;
  }
  return low;
}

/** Indices of the segments between two places, at most once round. */
function facesBetween(
  profile: OutlineProfile,
  from: number,
  to: number,
): number[] {
  const n = profile.starts.length;
  const last = segmentAt(profile, to);
  const faces = [segmentAt(profile, from)];
  while (faces.at(-1) !== last && faces.length < n)
    faces.push(((faces.at(-1) as number) + 1) % n);
  return faces;
}

/**
 * rad by which the outline turns along the tab, whichever way, and beside it: fully at the tab's ends, fading out over
 * one more span on either side.
 */
function bendAbout(profile: OutlineProfile, end: number, span: number): number {
  const { starts, round, track } = profile;
  const { segments } = track.contour;
  const n = segments.length;
  const far = Math.min(span, (round - span) / 2);
  const from = end - span - far;
  const weight = (place: number): number => {
    const beside = Math.max(end - span - place, place - end, 0);
    return Math.max(0, 1 - beside / far);
  };
  let bend = 0;
  let i = segmentAt(profile, from);
  let start = from - (wrapped(profile, from) - (starts[i] as number));
  while (start < end + far) {
    const s = segments[i] as Segment;
    const l = segmentLength(s);
    const a = Math.max(start, from);
    const b = Math.min(start + l, end + far);
    if (s.kind === "arc") {
      // The weight is straight but for the tab's own ends: a few steps take its mean.
      const steps = 8;
      const turn = Math.abs(turnAlong(s)) * ((b - a) / l);
      for (let k = 0; k < steps; k++)
        bend += (turn / steps) * weight(a + ((b - a) * (k + 0.5)) / steps);
    }
    const next = segments[(i + 1) % n] as Segment;
    bend += Math.abs(turnBetween(s, next)) * weight(start + l);
    start += l;
    i = (i + 1) % n;
  }
  return bend;
}

function plainness(segments: readonly Segment[], round: number): number[] {
  const groups = new Map<string, number[]>();
  const circles = new Map<string, number>();
  segments.forEach((s, i) => {
    const key = sizeKey(s);
    const alike = groups.get(key);
    if (alike) alike.push(i);
    else groups.set(key, [i]);
    if (s.kind === "arc") {
      const circle = circleKey(s);
      circles.set(circle, (circles.get(circle) ?? 0) + Math.abs(s.sweep));
    }
  });
  const teeth = new Map(
    [...groups]
      .filter(([, alike]) => alike.length >= TEETH)
      .map(([key, alike]) => [
        key,
        isCrest(alike, segments) ? PLAIN.crest : PLAIN.flank,
      ]),
  );
  return segments.map((s) => {
    const tooth = teeth.get(sizeKey(s));
    if (tooth !== undefined && segmentLength(s) < TOOTH_SHARE * round)
      return tooth;
    return s.kind === "arc" && (circles.get(circleKey(s)) ?? 0) > ROUND_FACE
      ? PLAIN.round
      : PLAIN.other;
  });
}

/** Arcs all on one circle are the tips or the roots of teeth. */
function isCrest(
  alike: readonly number[],
  segments: readonly Segment[],
): boolean {
  const keys = new Set(
    alike.map((i) => {
      const s = segments[i] as Segment;
      return s.kind === "arc" ? circleKey(s) : `${i}`;
    }),
  );
  return keys.size === 1;
}

function sizeKey(s: Segment): string {
  const steps = (v: number): number => Math.round(v / SAME_SIZE);
  return s.kind === "arc"
    ? `arc ${steps(segmentLength(s))} ${steps(s.radius)}`
    : `line ${steps(segmentLength(s))}`;
}

function circleKey(s: Segment & { kind: "arc" }): string {
  return [s.center.x, s.center.y, s.radius]
    .map((v) => Math.round(v / SAME_SIZE))
    .join(" ");
}

/** Of each segment, the length of its nearly straight run as a share of the longest. */
function straightRuns(c: Contour, round: number): number[] {
  const { segments } = c;
  const n = segments.length;
  const bent = segments.map((s) => Math.abs(turnAlong(s)) > RUN_END);
  const corner = segments.map(
    (s, i) =>
      Math.abs(turnBetween(s, segments[(i + 1) % n] as Segment)) > RUN_END,
  );
  const first = corner.findIndex((c, i) => c || bent[i]);
  const run = new Array<number>(n).fill(0);
  if (first < 0) return run.fill(round > 0 ? 1 : 0);
  let members: number[] = [];
  let length = 0;
  const close = (): void => {
    for (const i of members) run[i] = length;
    members = [];
    length = 0;
  };
  for (let k = 1; k <= n; k++) {
    const i = (first + k) % n;
    if (bent[i]) {
      close();
      continue;
    }
    members.push(i);
    length += segmentLength(segments[i] as Segment);
    if (corner[i]) close();
  }
  close();
  const longest = Math.max(...run, 0);
  return longest > 0 ? run.map((l) => l / longest) : run;
}

/** Does the outline come near a line to keep off anywhere between two places? */
function nearsKeepOff(
  profile: OutlineProfile,
  from: number,
  to: number,
): boolean {
  const { keepOff, track } = profile;
  if (keepOff.segments.length === 0) return false;
  const steps = Math.ceil((2 * (to - from)) / KEEP_OFF);
  for (let k = 0; k <= steps; k++) {
    const place = from + ((to - from) * k) / steps;
    const p = spotPoint(track, spotAt(profile, place));
    if (keepOff.anyNearer(p.x, p.y, KEEP_OFF)) return true;
  }
  return false;
}

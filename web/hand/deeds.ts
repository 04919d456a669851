/** What can be done by hand about tabs besides moving them: one more, one fewer, none on this edge. Pure. */
import {
  type Contour,
  contourLength,
  type JobFile,
  type PlannedFeature,
  type Segment,
  segmentLength,
  tangentAt,
  type Vec,
} from "../../src/index.js";
import { withValue } from "../desk/desk.js";
import { nearestOf } from "../picture/probe.js";
import { pointAlong, shareAlong } from "./along.js";
import {
  type Grip,
  isSamePlace,
  jobPlace,
  pathOf,
  tabsOf,
  tabsSaid,
} from "./place.js";

export interface Deed {
  /** One of its kind for each thing. */
  readonly key: string;
  /** What it says on the button. */
  readonly words: string;
  readonly change: (job: JobFile) => JobFile;
}

/** What can be done with a thing of an outline. The lead-in stands on the edge that its tab does. */
export function deedsOn(f: PlannedFeature, grip: Grip): readonly Deed[] {
  const { kind, name, at } = grip;
  if (kind === "keepOff")
    return grip.end === "from"
      ? [
          {
            key: `allow-${grip.index}`,
            words: "Allow tabs here again",
            change: (job) => allowed(job, f, grip.index),
          },
        ]
      : [];
  if (kind === "lead") return f.tab ? [forbid(f, at, "forbid-lead")] : [];
  if (kind === "startHole") return [];
  const several = tabsOf(f).length > 1;
  const away: Deed = {
    key: `away-${name}`,
    words: "Take this tab away",
    change: (job) => tabTaken(job, f, at),
  };
  return [...(several ? [away] : []), forbid(f, at, `forbid-${name}`)];
}

/** What can be done at a bare place of an outline. */
export function deedsAt(f: PlannedFeature, at: Vec): readonly Deed[] {
  return [
    ...(f.tab ? [addTab(f, at, "Add a tab here")] : []),
    forbid(f, at, "forbid-here"),
  ];
}

/** One more tab, as far from the others as there is a straight edge for it. */
export function addDeed(f: PlannedFeature): Deed | null {
  return f.tab ? addTab(f, roomiest(f), "Add a tab") : null;
}

function addTab(f: PlannedFeature, at: Vec, words: string): Deed {
  return {
    key: "add-tab",
    words,
    change: (job) =>
      withTabs(job, f, [
        ...tabsSaid(job, f).map(({ tab }) => tab),
        { at: jobPlace(at, job.units ?? "mm") },
      ]),
  };
}

function forbid(f: PlannedFeature, at: Vec, key: string): Deed {
  return {
    key,
    words: "No tab on this edge",
    change: (job) => keptFree(job, f, at),
  };
}

function withTabs(
  job: JobFile,
  f: PlannedFeature,
  tabs: readonly unknown[],
): JobFile {
  // Each of several tabs has its lead-in right before it.
  const free = withValue(job, pathOf(f.id, "lead"), undefined);
  const said =
    tabs.length === 0 ? undefined : tabs.length === 1 ? tabs[0] : tabs;
  return withValue(free, pathOf(f.id, "tab"), said);
}

function tabTaken(job: JobFile, f: PlannedFeature, at: Vec): JobFile {
  const rest = tabsSaid(job, f).filter(({ from }) => !isSamePlace(from, at));
  return withTabs(
    job,
    f,
    rest.map(({ tab }) => tab),
  );
}

/** The edge at `at` without tabs; those that were put on it by hand go. */
function keptFree(job: JobFile, f: PlannedFeature, at: Vec): JobFile {
  const units = job.units ?? "mm";
  const edge = edgeAt(f.contour, at);
  const [from, to] = [edge.from, edge.to].map((p) => jobPlace(p, units));
  const path = pathOf(f.id, "keepOff");
  const before = job.features?.[f.id]?.keepOff ?? [];
  const next = withValue(job, path, [...before, { from, to }]);
  if (job.features?.[f.id]?.tab === undefined)
    return withValue(next, pathOf(f.id, "lead"), undefined);
  const rest = tabsSaid(job, f).filter(
    ({ from: p }) => !isOn(f.contour, edge, p),
  );
  return withTabs(
    next,
    f,
    rest.map(({ tab }) => tab),
  );
}

function allowed(job: JobFile, f: PlannedFeature, index: number): JobFile {
  const left = (job.features?.[f.id]?.keepOff ?? []).filter(
    (_, i) => i !== index,
  );
  const path = pathOf(f.id, "keepOff");
  return withValue(job, path, left.length > 0 ? left : undefined);
}

/** From one point of an outline counter-clockwise to another. */
interface Edge {
  readonly from: Vec;
  readonly to: Vec;
}

/** Of an outline that is one face all round, no more than this share is kept free at once. */
const MOST = 1 / 4;
/** rad: what goes on by so much less is the same edge. */
const STRAIGHT_ON = 1e-3;

/** The straight or round edge that a place is on. Outlines run counter-clockwise. */
export function edgeAt(contour: Contour, at: Vec): Edge {
  const { segments } = contour;
  const n = segments.length;
  const { index } = nearestOf(segments, at);
  const goesOn = (i: number): boolean =>
    isSameFace(segments[i % n] as Segment, segments[(i + 1) % n] as Segment);
  let first = index + n;
  let last = index + n;
  while (last - first < n - 1 && goesOn(last)) last++;
  while (last - first < n - 1 && goesOn(first - 1)) first--;
  const face = Array.from(
    { length: last - first + 1 },
    (_, i) => segments[(first + i) % n] as Segment,
  );
  const length = face.reduce((sum, s) => sum + segmentLength(s), 0);
  if (length < 2 * MOST * contourLength(contour))
    return {
      from: (face[0] as Segment).start,
      to: (face.at(-1) as Segment).end,
    };
  const middle = shareAlong(contour, at);
  const beside = (by: number): Vec =>
    pointAlong(contour, (((middle + by) % 1) + 1) % 1);
  return { from: beside(-MOST / 2), to: beside(MOST / 2) };
}

/** On one line or on one circle, without a corner between them. */
function isSameFace(a: Segment, b: Segment): boolean {
  const [out, into] = [tangentAt(a, 1), tangentAt(b, 0)];
  const turn = Math.abs(out.x * into.y - out.y * into.x);
  if (turn > STRAIGHT_ON || out.x * into.x + out.y * into.y < 0) return false;
  if (a.kind === "line" || b.kind === "line") return a.kind === b.kind;
  return (
    Math.hypot(a.center.x - b.center.x, a.center.y - b.center.y) <
    STRAIGHT_ON * a.radius
  );
}

function isOn(contour: Contour, { from, to }: Edge, p: Vec): boolean {
  const share = (q: Vec): number => shareAlong(contour, q);
  const way = (a: Vec, b: Vec): number => (share(b) - share(a) + 1) % 1;
  return way(from, p) <= way(from, to);
}

/** Places that are looked at for one more tab. */
const LOOKS = 240;

/** Of the places all round, one as far from every tab and from every corner as can be. */
function roomiest(f: PlannedFeature): Vec {
  const { contour } = f;
  const round = contourLength(contour);
  const tabs = tabsOf(f).map((at) => shareAlong(contour, at));
  const ends = contour.segments.map(({ start }) => shareAlong(contour, start));
  const apart = (a: number, b: number): number => {
    const way = Math.abs(a - b);
    return Math.min(way, 1 - way) * round;
  };
  const nearest = (share: number, others: readonly number[]): number =>
    Math.min(...others.map((other) => apart(share, other)), round / 2);
  // A corner a tab's length away is far enough; the other tabs count as far as they are.
  const far =
    2 * Math.max(...[f, ...f.further].map(({ tab }) => tab?.length ?? 0));
  const room = (share: number): number =>
    nearest(share, tabs) * Math.min(1, nearest(share, ends) / far);
  const shares = Array.from({ length: LOOKS }, (_, i) => i / LOOKS);
  const best = shares.reduce((a, b) => (room(b) > room(a) ? b : a));
  return pointAlong(contour, best);
}

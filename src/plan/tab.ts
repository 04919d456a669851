/** The tab: how long, where it stands, and the marks on the outline between which the strokes run. */
import type { Finding } from "../base/finding.js";
import { trimmed } from "../base/numbers.js";
import { contourLength } from "../geometry/contour.js";
import { loopContour } from "../geometry/offset.js";
import { line } from "../geometry/segment.js";
import { pair, type Vec } from "../geometry/vec.js";
import type { Marks } from "./cuts.js";
import type { Entry } from "./entry.js";
import { type Job, type Pass, roughKerf } from "./job.js";
import { needsOf, type Slug } from "./slug.js";
import { spotAlong, standOffDistance } from "./stand-off.js";
import { edgesNearer, type Surroundings } from "./surroundings.js";
import {
  offSpot,
  type PassLoop,
  type Spot,
  spotPoint,
  type Track,
  walk,
} from "./track.js";

export interface TabSpan {
  /** Metal left standing, mm, at each tab. */
  readonly length: number;
  /** Tabs that the piece wants. */
  readonly count: number;
  /** Stretch of the rough's path behind the lead point: the tab and half a kerf at either end. */
  readonly span: number;
  /** The rough's path once round. */
  readonly round: number;
  readonly findings: readonly Finding[];
}

/** Share of the rough's path that tab and kerf may take up at most. Common practice, no source. */
export const LARGEST_SHARE = 0.3;

export function tabSpan(track: Track, slug: Slug, job: Job): TabSpan {
  const kerf = roughKerf(job);
  const wanted =
    job.tabs.length === "auto" ? needsOf(slug, job).length : job.tabs.length;
  const round = contourLength(loopContour((track.passes[0] as PassLoop).loop));
  const longest = LARGEST_SHARE * round - kerf;
  const whole = { round, count: needsOf(slug, job).count };
  if (wanted <= longest)
    return { length: wanted, span: wanted + kerf, ...whole, findings: [] };
  const length = Math.max(longest, kerf / 4);
  const finding: Finding = {
    code: "tab/shortened",
    severity: job.tabs.length === "auto" ? "note" : "warning",
    message: `${track.feature.id}: a tab of ${trimmed(wanted, 3)} mm would take up more than ${100 * LARGEST_SHARE} % of the ${trimmed(round, 2)} mm path; it is shortened to ${trimmed(length, 3)} mm`,
    where: pair(spotPoint(track, { index: 0, t: 0 })),
    feature: track.feature.id,
  };
  return { length, span: length + kerf, ...whole, findings: [finding] };
}

/** Shares of the overlap that are tried ahead of the lead point, until the wire has a straight way there. */
const LAP_SHARES = [1, 0.75, 0.5, 0.35, 0.25, 0.15];

/**
 * Tab end and overlaps. A mark that would fall on a corner, or where the wire cannot stand off, moves on a
 * little; the overlap ahead is shortened until the threaded wire can go to it straight from the lead. `null` when
 * the outline has no room for a tab.
 */
export function placeMarks(
  track: Track,
  entry: Entry,
  around: Surroundings,
  job: Job,
  tab: TabSpan,
): Omit<Marks, "piece"> | null {
  const { lead } = entry;
  const place = (from: Spot, far: number) =>
    spotAlong(track, around, job, from, far, Math.abs(far) + tab.round / 4);
  const behind = place(lead, -tab.span);
  if (!behind) return null;
  const tabEnd = behind.spot;
  const lap = Math.min(job.lead.overlap, tab.round / 8);
  const standOff = standOffDistance(job);
  const rough = job.passes[0] as Pass;
  const seen = (spot: Spot | null): spot is Spot =>
    spot !== null &&
    edgesNearer(
      around.edges,
      line(offSpot(track, lead, standOff), offSpot(track, spot, standOff)),
      rough.offset,
    ).length === 0;
  const ahead = LAP_SHARES.map((share) => share * lap)
    .filter((far) => far > 0)
    .map((far) => place(lead, far)?.spot ?? null)
    .find(seen);
  return {
    hole: entry.hole.at,
    lead,
    tabEnd,
    lapAhead: ahead ?? lead,
    lapBehind: (lap > 0 ? place(tabEnd, -lap) : null)?.spot ?? tabEnd,
    tabSpan: -behind.far,
  };
}

/** The tab that really stands, after its end has moved off a corner: metal length, and its middle on the outline. */
export function standingTab(
  track: Track,
  marks: Marks,
  job: Job,
): { length: number; at: Vec } {
  const { loop } = track.passes[0] as PassLoop;
  const middle = walk(loop, marks.lead, -marks.tabSpan / 2) ?? marks.lead;
  return {
    length: marks.tabSpan - roughKerf(job),
    at: spotPoint(track, middle),
  };
}

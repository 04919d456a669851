/** The tab: how long, where it stands, and the marks on the outline between which the strokes run. */
import type { Finding } from "../../base/finding.js";
import { trimmed } from "../../base/numbers.js";
import { contourLength } from "../../geometry/contour.js";
import { loopContour } from "../../geometry/offset.js";
import { pair, type Vec } from "../../geometry/vec.js";
import type { Marks, PassEnds } from "../cuts/cuts.js";
import { type ArcSide, arcIsClear } from "../cuts/lead-arc.js";
import type { Entry } from "../entry/entry.js";
import {
  type Along,
  goesStraight,
  leavesNoIsland,
  spotAlong,
} from "../entry/stand-off.js";
import { type Job, roughKerf } from "../job/job.js";
import { needsOf, type Slug } from "../slug/slug.js";
import type { Surroundings } from "../surroundings.js";
import {
  type PassLoop,
  type Spot,
  spotPoint,
  type Track,
  walk,
} from "../track/track.js";

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

/**
 * A tab may be so many times as long as wanted where its end cannot be nearer; common practice, no source. A longer one
 * is no tab: it may reach round a corner or through a neck, and the cut that frees the piece would go on beside it.
 */
export const LATEST = 2;

/** Share of a path that an overlap may take up at most. Common practice, no source. */
export const LAP_OF_ROUND = 1 / 8;

/** Shares of the overlap that are tried ahead of the lead point, until the wire has a straight way there. */
const LAP_SHARES = [1, 0.75, 0.5, 0.35, 0.25, 0.15];

/**
 * Tab end, and where each pass begins and ends beside it. A mark that would fall on a corner, or where the wire cannot
 * stand off, moves on a little; the overlap ahead is shortened until the threaded wire can go to it straight from the
 * lead. `null` when the outline has no room for a tab.
 */
export function placeMarks(
  track: Track,
  entry: Entry,
  around: Surroundings,
  job: Job,
  tab: TabSpan,
): Omit<Marks, "piece"> | null {
  const { lead } = entry;
  const walked = (from: Spot, far: number): Along | null =>
    far === 0
      ? { spot: from, far }
      : spotAlong(track, around, job, from, far, Math.abs(far) + tab.round / 4);
  const behind = spotAlong(
    track,
    around,
    job,
    lead,
    -tab.span,
    LATEST * tab.span,
  );
  if (!behind) return null;
  const tabEnd = behind.spot;
  const lap = Math.min(job.lead.overlap, LAP_OF_ROUND * tab.round);
  const isPart = track.feature.role === "part";
  const sees = (from: Spot, on: Along | null): on is Along =>
    on !== null && goesStraight(track, around, from, on.spot, job);
  /** A part's waste is the block itself: across a notch of it the wire would cut a chip off on its way to the overlap. */
  const chipsNothing = (from: Spot, to: Spot): boolean =>
    !isPart || leavesNoIsland(track, around, from, to, job);
  /** The longest overlap past `past` that the wire has a straight way to from all of these. */
  const lapPast = (
    from: Spot,
    past: number,
    sign: 1 | -1,
    seers: readonly Spot[],
  ): Along | null =>
    LAP_SHARES.map((share) => walked(from, past + sign * share * lap)).find(
      (on) =>
        on !== null &&
        seers.every((seer) => sees(seer, on) && chipsNothing(seer, on.spot)),
    ) ?? null;
  // The tab of a part is cut last and nothing comes after it: there its passes begin and end at one place.
  const most = tab.round / 16 / Math.max(1, job.passes.length - 1);
  const spread = isPart ? 0 : Math.min(job.lead.spread, most);
  const clear = (spot: Spot, side: ArcSide): boolean =>
    job.lead.kind === "arc" &&
    track.feature.role === "opening" &&
    arcIsClear(track, around, lead, spot, side, job);
  /** Where each pass is moved on to; where it cannot be, it begins where the pass before it does. */
  const moved = (from: Spot, sign: 1 | -1): Along[] => {
    let on: Along = { spot: from, far: 0 };
    return job.passes.map((_, k) => {
      const next = walked(from, sign * k * spread);
      // The slug is still there when the wire goes from the end of one pass to the beginning of the next.
      const goes = (before: Spot): boolean =>
        sees(before, next) &&
        leavesNoIsland(track, around, before, next.spot, job);
      if (next && goes(from) && goes(on.spot)) on = next;
      return on;
    });
  };
  const ahead = moved(lead, 1);
  const behindIt = moved(tabEnd, -1);
  // With stress let out first, the skims of the tab's place go on from where those of the open stretch end.
  const lapSeers = job.stressRelief
    ? {
        ahead: [lead, (ahead.at(-1) as Along).spot],
        behind: [(behindIt.at(-1) as Along).spot],
      }
    : { ahead: [lead], behind: [] };
  /** The wire goes on to where a pass begins from where the one before it (`last`) ends. */
  const endsOf = (k: number, last?: PassEnds): PassEnds => {
    const { spot: start, far: on } = ahead[k] as Along;
    const { spot: end, far: back } = behindIt[k] as Along;
    const further =
      lap > 0
        ? lapPast(lead, on, 1, [
            ...lapSeers.ahead,
            ...(last ? [last.lapAhead] : []),
          ])
        : null;
    const earlier =
      lap > 0
        ? lapPast(tabEnd, back, -1, [
            ...lapSeers.behind,
            ...(last ? [last.lapBehind] : []),
          ])
        : null;
    const lapAhead = further?.spot ?? start;
    const lapBehind = earlier?.spot ?? end;
    const overlap = Math.min(
      further ? further.far - on : 0,
      earlier ? back - earlier.far : 0,
    );
    const arcs = { in: clear(lapBehind, "in"), out: clear(lapAhead, "out") };
    const moved = Math.min(on, -back);
    return { start, end, lapAhead, lapBehind, overlap, spread: moved, arcs };
  };
  const first = endsOf(0);
  const ends = [first];
  for (let k = 1; k < job.passes.length; k++)
    ends.push(spread === 0 ? first : endsOf(k, ends.at(-1)));
  return { hole: entry.hole.at, lead, tabEnd, ends, tabSpan: -behind.far };
}

/** The tab that really stands, after its end has moved off a corner: metal length, and its middle on the outline. */
export function standingTab(
  track: Track,
  marks: Marks,
  job: Job,
): { length: number; at: Vec } {
  const middle = walk(track, marks.lead, -marks.tabSpan / 2) ?? marks.lead;
  return {
    length: marks.tabSpan - roughKerf(job),
    at: spotPoint(track, middle),
  };
}

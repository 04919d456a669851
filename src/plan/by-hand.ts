/**
 * Tab and lead-in that were decided by hand: in the job under `features`, or by marks on `tabs.layer`. They stand
 * there and nowhere else, or it is said why they cannot.
 */
import type { Finding } from "../base/finding.js";
import { placeText, trimmed } from "../base/numbers.js";
import { indexSegments } from "../geometry/distance.js";
import { distance, pair, type Vec } from "../geometry/vec.js";
import { type Job, roughKerf } from "./job.js";
import { NO_WISH } from "./job-features.js";
import { type OutlineProfile, placeOf, placingScore } from "./placing-score.js";
import { standsClear } from "./stand-off.js";
import { ON_OUTLINE, type Surroundings } from "./surroundings.js";
import { LARGEST_SHARE, type TabSpan } from "./tab.js";
import {
  type PassLoop,
  reachedByAll,
  type Spot,
  spotPoint,
  walk,
} from "./track.js";

export type HandPlace =
  /** `lead` is null when nobody decided. */
  | { readonly ok: true; readonly lead: Spot | null; readonly tab: TabSpan }
  | { readonly ok: false; readonly finding: Finding };

/** `mark`: where a tab is drawn on this outline; `usual`: the tab as it would be without a word by hand. */
export function placeByHand(
  profile: OutlineProfile,
  around: Surroundings,
  job: Job,
  mark: Vec | null,
  usual: TabSpan,
): HandPlace {
  const { track } = profile;
  const { id } = track.feature;
  const wish = job.features[id] ?? NO_WISH;
  const tabAt = wish.tab?.at ?? mark;
  const kerf = roughKerf(job);

  const refused = (
    what: "tab" | "lead",
    at: Vec,
    reason: string,
  ): HandPlace => ({
    ok: false,
    finding: {
      code: `${what}/refused`,
      severity: "error",
      message: `${id}: its ${what === "tab" ? "tab" : "lead-in"} cannot be at ${placeText(pair(at))}, where ${what === "tab" && !wish.tab ? `the mark on layer ${job.tabs.layer}` : `features.${id}.${what}`} puts it: ${reason}`,
      where: pair(at),
      feature: id,
    },
  });
  const onOutline = (at: Vec): Spot | null => {
    const near = indexSegments(track.contour.segments).nearest(at, ON_OUTLINE);
    return near && { index: near.segment, t: near.t };
  };
  const off = `that is more than ${ON_OUTLINE} mm from the outline; put it on the edge`;
  const unfit = (spot: Spot, span: number): string | null => {
    if (!reachedByAll(track, spot))
      return "not every pass gets there: it is in or beside a corner; move it along the edge";
    if (!standsClear(track, around, spot, job))
      return "another edge is so near that the wire cannot stand off there; move it along the edge";
    if (placingScore(profile, spot, span) === null)
      return `lines on layer ${job.tabs.keepOffLayer} keep that edge free; move it, or the lines`;
    return null;
  };
  const { loop } = track.passes[0] as PassLoop;

  if (wish.lead) {
    const lead = onOutline(wish.lead);
    if (!lead) return refused("lead", wish.lead, off);
    let tab = usual;
    if (tabAt) {
      const middle = onOutline(tabAt);
      if (!middle) return refused("tab", tabAt, off);
      const half = behind(profile, lead, middle);
      const length = 2 * half - kerf;
      if (length < kerf / 4 || 2 * half > LARGEST_SHARE * usual.round)
        return refused(
          "tab",
          tabAt,
          `the tab lies right behind the lead-in, which features.${id}.lead puts at ${placeText(pair(wish.lead))}; give only one of the two, or put the tab's middle ${trimmed(usual.span / 2, 3)} mm ${track.feature.role === "opening" ? "clockwise" : "counter-clockwise"} of the lead-in`,
        );
      if (wish.tab?.length && Math.abs(wish.tab.length - length) > kerf / 4)
        return refused(
          "tab",
          tabAt,
          `between there and the lead-in there is room for a tab of ${trimmed(length, 3)} mm, not of ${trimmed(wish.tab.length, 3)} mm; leave out its length, or move one of the two`,
        );
      tab = { ...usual, length, span: 2 * half, findings: [] };
    } else if (wish.tab?.length) tab = usual;
    const reason = unfit(lead, tab.span);
    return reason
      ? refused("lead", wish.lead, reason)
      : { ok: true, lead, tab };
  }

  if (!tabAt) return { ok: true, lead: null, tab: usual };
  const length = wish.tab?.length ?? usual.length;
  const span = length + kerf;
  if (span > LARGEST_SHARE * usual.round)
    return refused(
      "tab",
      tabAt,
      `a tab of ${trimmed(length, 3)} mm would take up more than ${100 * LARGEST_SHARE} % of the ${trimmed(usual.round, 2)} mm path; make it shorter`,
    );
  const middle = onOutline(tabAt);
  if (!middle) return refused("tab", tabAt, off);
  const tab = { ...usual, length, span, findings: [] };
  const lead = walk(loop, middle, span / 2);
  const end = walk(loop, middle, -span / 2);
  if (!lead || !end)
    return refused(
      "tab",
      tabAt,
      "the rough does not get there: it is in a corner; move it along the edge",
    );
  for (const spot of [lead, end]) {
    const reason = spot.corner
      ? `one of its ends, ${trimmed(distance(tabAt, spotPoint(track, spot)), 3)} mm on, falls on a corner; move it along the edge, or make it shorter`
      : unfit(spot, span);
    if (reason) return refused("tab", tabAt, reason);
  }
  return { ok: true, lead, tab };
}

/** mm along the outline from `back` forward to `lead`. */
function behind(profile: OutlineProfile, lead: Spot, back: Spot): number {
  const way = placeOf(profile, lead) - placeOf(profile, back);
  return ((way % profile.round) + profile.round) % profile.round;
}

/**
 * Tab and lead-in that were decided by hand: in the job under `features`, or by marks on `tabs.layer`. They stand
 * there and nowhere else, or it is said why they cannot.
 */
import type { Finding } from "../../base/finding.js";
import { nameText } from "../../base/message.js";
import { placeText, trimmed } from "../../base/numbers.js";
import { indexSegments } from "../../geometry/distance.js";
import { distance, pair, type Vec } from "../../geometry/vec.js";
import { NO_WISH, type TabWish } from "../job/features.js";
import { type Job, roughKerf } from "../job/job.js";
import { ON_OUTLINE, type Surroundings } from "../surroundings.js";
import { LARGEST_SHARE, type TabSpan } from "../tab/tab.js";
import { reachedByAll, type Spot, spotPoint, walk } from "../track/track.js";
import { type OutlineProfile, placeOf, placingScore } from "./placing-score.js";
import { standsClear } from "./stand-off.js";

export type HandPlace =
  /** `lead` is null when nobody decided. */
  | { readonly ok: true; readonly lead: Spot | null; readonly tab: TabSpan }
  | { readonly ok: false; readonly finding: Finding };

type Refusal = HandPlace & { readonly ok: false };

/** What was decided for one tab, and what it meets. */
interface Hand {
  readonly profile: OutlineProfile;
  readonly around: Surroundings;
  readonly job: Job;
  readonly tab: TabWish | null;
  readonly usual: TabSpan;
}

/** The tabs that were decided by hand for a feature: those of the job, or else at the marks drawn on its outline. */
export function tabsByHand(
  id: string,
  job: Job,
  marks: readonly Vec[],
): readonly TabWish[] {
  const { tabs } = job.features[id] ?? NO_WISH;
  return tabs.length > 0 ? tabs : marks.map((at) => ({ at, length: null }));
}

/** `tab`: one that was decided by hand; `usual`: the tab as it would be without a word by hand. */
export function placeByHand(
  profile: OutlineProfile,
  around: Surroundings,
  job: Job,
  tab: TabWish | null,
  usual: TabSpan,
): HandPlace {
  const wish = job.features[profile.track.feature.id] ?? NO_WISH;
  const hand: Hand = { profile, around, job, tab, usual };
  if (wish.lead) return placeLead(hand, wish.lead, tab?.at ?? null);
  if (tab) return placeTab(hand, tab.at);
  return { ok: true, lead: null, tab: usual };
}

/** The lead by hand; the tab ends there, and has its middle at `tabAt` if that was decided too. */
function placeLead(hand: Hand, at: Vec, tabAt: Vec | null): HandPlace {
  const lead = onOutline(hand, at);
  if (!lead) return refused(hand, "lead", at, OFF);
  const tab = tabAt ? tabBehind(hand, lead, at, tabAt) : hand.usual;
  if ("finding" in tab) return tab;
  const reason = unfit(hand, lead, tab.span);
  return reason ? refused(hand, "lead", at, reason) : { ok: true, lead, tab };
}

/** The tab from the lead as far back beyond `tabAt` as that lies behind the lead. */
function tabBehind(
  hand: Hand,
  lead: Spot,
  leadAt: Vec,
  tabAt: Vec,
): TabSpan | Refusal {
  const { profile, job, tab, usual } = hand;
  const { feature } = profile.track;
  const kerf = roughKerf(job);
  const middle = onOutline(hand, tabAt);
  if (!middle) return refused(hand, "tab", tabAt, OFF);
  const half = behind(profile, lead, middle);
  const length = 2 * half - kerf;
  if (length < kerf / 4 || 2 * half > LARGEST_SHARE * usual.round)
    return refused(
      hand,
      "tab",
      tabAt,
      `the tab lies right behind the lead-in, which features.${feature.id}.lead puts at ${placeText(pair(leadAt))}; give only one of the two, or put the tab's middle ${trimmed(usual.span / 2, 3)} mm ${feature.role === "opening" ? "clockwise" : "counter-clockwise"} of the lead-in`,
    );
  if (tab?.length && Math.abs(tab.length - length) > kerf / 4)
    return refused(
      hand,
      "tab",
      tabAt,
      `between there and the lead-in there is room for a tab of ${trimmed(length, 3)} mm, not of ${trimmed(tab.length, 3)} mm; leave out its length, or move one of the two`,
    );
  return { ...usual, length, span: 2 * half, findings: [] };
}

/** The tab by hand, and the lead where it ends. */
function placeTab(hand: Hand, at: Vec): HandPlace {
  const { profile, job, tab, usual } = hand;
  const { track } = profile;
  const length = tab?.length ?? usual.length;
  const span = length + roughKerf(job);
  if (span > LARGEST_SHARE * usual.round)
    return refused(
      hand,
      "tab",
      at,
      `a tab of ${trimmed(length, 3)} mm would take up more than ${100 * LARGEST_SHARE} % of the ${trimmed(usual.round, 2)} mm path; make it shorter`,
    );
  const middle = onOutline(hand, at);
  if (!middle) return refused(hand, "tab", at, OFF);
  const lead = walk(track, middle, span / 2);
  const end = walk(track, middle, -span / 2);
  if (!lead || !end)
    return refused(
      hand,
      "tab",
      at,
      "the rough does not get there: it is in a corner; move it along the edge",
    );
  for (const spot of [lead, end]) {
    const reason = spot.corner
      ? `one of its ends, ${trimmed(distance(at, spotPoint(track, spot)), 3)} mm on, falls on a corner; move it along the edge, or make it shorter`
      : unreached(hand, spot);
    if (reason) return refused(hand, "tab", at, reason);
  }
  const kept = whyKeptFree(hand, lead, span);
  if (kept) return refused(hand, "tab", at, kept);
  return { ok: true, lead, tab: { ...usual, length, span, findings: [] } };
}

const OFF = `that is more than ${ON_OUTLINE} mm from the outline; put it on the edge`;

function onOutline({ profile }: Hand, at: Vec): Spot | null {
  const { segments } = profile.track.contour;
  const near = indexSegments(segments).nearest(at, ON_OUTLINE);
  if (!near) return null;
  const spot = { index: near.segment, t: near.t };
  return walk(profile.track, spot, 0) ?? spot;
}

/** Why a lead-in with a tab of `span` mm behind it cannot be there; `null` where it can. */
function unfit(hand: Hand, lead: Spot, span: number): string | null {
  return unreached(hand, lead) ?? whyKeptFree(hand, lead, span);
}

/** Why neither lead-in nor the end of a tab can be there; `null` where they can. */
function unreached({ profile, around, job }: Hand, spot: Spot): string | null {
  const { track } = profile;
  if (!reachedByAll(track, spot))
    return "not every pass gets there: it is in or beside a corner; move it along the edge";
  if (!standsClear(track, around, spot, job))
    return "another edge is so near that the wire cannot stand off there; move it along the edge, or ask for a shorter tab";
  return null;
}

function whyKeptFree(
  { profile, job }: Hand,
  lead: Spot,
  span: number,
): string | null {
  if (placingScore(profile, lead, span) !== null) return null;
  const freed = { ...profile, keptFree: [] };
  return placingScore(freed, lead, span) === null
    ? job.tabs.keepOffLayer === null
      ? "a slit runs through the edge there, and would cut the tab off; move it"
      : `lines on layer ${nameText(job.tabs.keepOffLayer)}, or slits, keep that edge free; move it, or the lines`
    : `features.${profile.track.feature.id}.keepOff keeps that edge free; move it, or take that stretch out`;
}

/** mm along the outline from `back` forward to `lead`. */
function behind(profile: OutlineProfile, lead: Spot, back: Spot): number {
  const way = placeOf(profile, lead) - placeOf(profile, back);
  return ((way % profile.round) + profile.round) % profile.round;
}

function refused(
  { profile, job }: Hand,
  what: "tab" | "lead",
  at: Vec,
  reason: string,
): Refusal {
  return {
    ok: false,
    finding: refusal(profile.track.feature.id, job, what, at, reason),
  };
}

/** That a tab or lead-in cannot be where it was put by hand. */
export function refusal(
  id: string,
  job: Job,
  what: "tab" | "lead",
  at: Vec,
  reason: string,
): Finding {
  const by =
    what === "tab" && !job.features[id]?.tabs.length
      ? `the mark on layer ${nameText(job.tabs.layer ?? "")}`
      : `features.${id}.${what}`;
  return {
    code: `${what}/refused`,
    severity: "error",
    message: `${id}: its ${what === "tab" ? "tab" : "lead-in"} cannot be at ${placeText(pair(at))}, where ${by} puts it: ${reason}`,
    where: pair(at),
    feature: id,
  };
}

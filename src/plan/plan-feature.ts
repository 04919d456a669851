/** One feature → its cuts, with tabs, or cut away whole. */
import type { Finding } from "../base/finding.js";
import { contourArea, contourLength } from "../geometry/contour.js";
import { smallestInsideRadius } from "../geometry/gaps/narrowest.js";
import { cutAway, cutAwayFinding, whyCutAway } from "./cuts/cut-away.js";
import { cutsOf, type FeatureCuts } from "./cuts/cuts.js";
import {
  overlapFinding,
  tabOverlaps,
  tabSpreads,
} from "./cuts/overlap-findings.js";
import { tabsByHand } from "./entry/by-hand.js";
import { placeEntries, wayIn } from "./entry/entries.js";
import { keptFree } from "./entry/keep-off.js";
import { type OutlineProfile, profileOf } from "./entry/placing-score.js";
import type { WayIn } from "./entry/ways-in.js";
import type { Feature } from "./feature.js";
import { type Job, roughKerf } from "./job/job.js";
import type { PlannedEntry, PlannedFeature } from "./plan.js";
import { compromises, entryFindings, smallSlug } from "./plan-findings.js";
import { needsOf, noSlug, type Slug, slugOf } from "./slug/slug.js";
import type { Surroundings } from "./surroundings.js";
import { flankFindings, weakTabs } from "./tab/findings.js";
import { standingTab, type TabSpan, tabSpan } from "./tab/tab.js";
import { trackFeature } from "./track/reach.js";
import { spotPoint, type Track } from "./track/track.js";

export interface Planned {
  readonly feature: PlannedFeature;
  readonly cuts: FeatureCuts;
  readonly track: Track;
}

export interface Outcome {
  readonly planned: Planned | null;
  readonly findings: readonly Finding[];
  /** To a part. */
  readonly ways: readonly WayIn[];
}

/** One feature whose passes fit, on its way to its cuts. */
interface Case {
  readonly profile: OutlineProfile;
  readonly self: number;
  readonly around: Surroundings;
  /** With the passes of this feature. */
  readonly job: Job;
  readonly slug: Slug;
  /** The tab it has where nobody decided by hand. */
  readonly usual: TabSpan;
}

/** `before`: the ways in to the features planned so far. */
export function planFeature(
  feature: Feature,
  self: number,
  around: Surroundings,
  all: Job,
  before: readonly WayIn[],
): Outcome {
  const { track, findings } = trackFeature(feature, all.passes);
  if (!track) return { planned: null, findings, ways: [] };
  const job = { ...all, passes: track.passes.map(({ pass }) => pass) };
  const within = around.layout.features.filter((f) => f.parent === feature.id);
  const slug = slugOf(feature, within, job);
  const kept = keptFree(track, job);
  if (kept.findings.length > 0)
    return {
      planned: null,
      findings: [...findings, ...kept.findings],
      ways: [],
    };
  const profile = profileOf(track, slug.cg, around.keepOff, kept.stretches);
  const usual = tabSpan(track, slug, job);
  const one: Case = { profile, self, around, job, slug, usual };
  const why = whyCutAway(profile, slug, job);
  const outcome =
    (why === null ? null : planCutAway(one, why)) ??
    orCutAway(one, planOffFlanks(one, before, why));
  return { ...outcome, findings: [...findings, ...outcome.findings] };
}

/** A slug may be cut away for want of tabs where that takes no more than so many of the rough's length; common practice. */
const WORTH_CUTTING_AWAY = 6;

/** Why a slug has no tab, by the code of the error that says so. */
const NO_TAB: Readonly<Record<string, string>> = {
  "slug/parted":
    "the rough parts its slug, and not every piece has room for a start hole and a tab",
  "start-hole/no-room":
    "nowhere along it a lead-in from a start hole and a tab have room for its slug",
};

/** A slug that finds no place for a tab, or not one for each of its pieces, is cut away whole where that is no great work. */
function orCutAway(one: Case, tabbed: Outcome): Outcome {
  const { profile, slug, job, usual } = one;
  const why = tabbed.findings.flatMap(({ code }) => NO_TAB[code] ?? [])[0];
  if (
    why === undefined ||
    profile.track.feature.role !== "opening" ||
    slug.area > WORTH_CUTTING_AWAY * usual.round * (roughKerf(job) / 2)
  )
    return tabbed;
  return planCutAway(one, why) ?? tabbed;
}

/** `null` where the slug is kept, or cannot be cut away. */
function planCutAway(one: Case, why: string): Outcome | null {
  const { profile, self, around, job, slug, usual } = one;
  if (whyKept(one) !== null) return null;
  const away = cutAway(profile, self, around, job, usual);
  if (!away) return null;
  const { track } = profile;
  const { feature } = track;
  const { entry, cuts } = away;
  const whole: PlannedFeature = {
    ...measured(feature),
    startHole: entry.hole,
    leadPoint: spotPoint(track, entry.lead),
    tab: null,
    further: [],
    slug: noSlug(slug.cg),
  };
  return {
    planned: { feature: whole, cuts, track },
    findings: [
      cutAwayFinding(profile, why, away),
      ...entryFindings(feature, entry, around, job),
      ...cuts.findings,
      ...overlapFinding(
        feature,
        whole.leadPoint,
        away.overlap,
        profile.round,
        job,
      ),
    ],
    ways: [],
  };
}

/** Rather a shorter tab on a tip or in a root than a longer one on the flank of a tooth. */
function planOffFlanks(
  one: Case,
  before: readonly WayIn[],
  why: string | null,
): Outcome {
  const usual = planWithTabs(one, before, why);
  const { slug, job } = one;
  const { length, least } = needsOf(slug, job);
  if (job.tabs.length !== "auto" || least >= length || !onFlank(usual))
    return usual;
  const shorter = { ...job, tabs: { ...job.tabs, length: least } };
  const other = planWithTabs(
    { ...one, usual: tabSpan(one.profile.track, slug, shorter) },
    before,
    why,
  );
  return other.planned && !onFlank(other) ? other : usual;
}

function onFlank({ findings }: Outcome): boolean {
  return findings.some((f) => f.code === "tab/on-flank");
}

/** `why`: for what reason it should have been cut away. */
function planWithTabs(
  one: Case,
  before: readonly WayIn[],
  why: string | null,
): Outcome {
  const { profile, self, around, job, slug, usual } = one;
  const { track } = profile;
  const { feature } = track;
  const entries = placeEntries(profile, self, around, job, usual, before);
  if (!entries.ok)
    return { planned: null, findings: [entries.finding], ways: [] };
  const { placed } = entries;
  const cuts = cutsOf(
    track,
    placed.map((p) => p.marks),
    job,
  );
  const [first, ...further] = placed.map(({ entry, marks }) => ({
    startHole: entry.hole,
    leadPoint: spotPoint(track, entry.lead),
    tab: standingTab(track, marks, job),
  }));
  const whole: PlannedFeature = {
    ...measured(feature),
    ...(first as PlannedEntry),
    further,
    slug,
  };
  const kept =
    whyKept(one) ?? "no hole and lead-in were found to cut it away from";
  return {
    planned: { feature: whole, cuts, track },
    findings: [
      ...placed.flatMap(({ entry, tab }) => [
        ...tab.findings,
        ...entryFindings(feature, entry, around, job),
      ]),
      ...cuts.findings,
      ...(why === null ? [] : [smallSlug(whole, why, kept)]),
      ...compromises(whole, placed, around.layout, job),
      ...tabOverlaps(track, placed, job),
      ...tabSpreads(track, placed, job),
      ...flankFindings(profile, placed, job),
      ...weakTabs(profile, placed, slug, job),
    ],
    ways: placed.map((p) => wayIn(track, p.entry)),
  };
}

/** Why a slug is kept however small it is; `null`: nothing speaks for it. */
function whyKept({ profile, self, around, job }: Case): string | null {
  const { id } = profile.track.feature;
  const { layout, tabMarks } = around;
  if (layout.features.some((f) => f.parent === id))
    return "other outlines lie in it";
  const byHand = tabsByHand(id, job, tabMarks[self] ?? []);
  return byHand.length > 0 ? "its tab is placed by hand" : null;
}

function measured(
  feature: Feature,
): Omit<PlannedFeature, keyof PlannedEntry | "further" | "slug"> {
  return {
    ...feature,
    area: contourArea(feature.contour),
    perimeter: contourLength(feature.contour),
    minInsideRadius: smallestInsideRadius(
      feature.contour,
      feature.role === "opening" ? "inside" : "outside",
    ),
  };
}

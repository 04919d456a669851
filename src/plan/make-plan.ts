/** Layout and job → plan. */
import type { Finding } from "../base/finding.js";
import { contourArea, contourLength } from "../geometry/contour.js";
import { smallestInsideRadius } from "../geometry/narrowest.js";
import { placeByHand } from "./by-hand.js";
import { collisions } from "./collisions.js";
import { cutsOf, type FeatureCuts } from "./cuts.js";
import { findEntry } from "./entry.js";
import type { Feature, Layout } from "./feature.js";
import { entryFromDrawnHole, entryFromHandHole } from "./given-hole.js";
import type { Job } from "./job.js";
import type { LaidOut } from "./layout.js";
import { inOrder } from "./order.js";
import { profileOf } from "./placing-score.js";
import type { Plan, PlannedFeature } from "./plan.js";
import {
  compromises,
  entryFindings,
  noEntry,
  noTab,
  outsideBlock,
  partMark,
  strayMarks,
} from "./plan-findings.js";
import { processFindings } from "./process-findings.js";
import { trackFeature } from "./reach.js";
import { slugOf } from "./slug.js";
import { slugFindings } from "./slug-findings.js";
import { type Surroundings, surroundingsOf } from "./surroundings.js";
import { placeMarks, standingTab, tabSpan } from "./tab.js";
import { spotPoint, type Track } from "./track.js";

interface Planned {
  readonly feature: PlannedFeature;
  readonly cuts: FeatureCuts;
  readonly track: Track;
}

/**
 * Plans every feature of the layout. What the layout found and left open is carried along as `before`. With an `error`
 * among the findings the plan shows what could be planned, but no program may be written from it. Where outlines
 * cross, inside and outside mean nothing, and nothing is planned at all.
 */
export function makePlan(
  layout: Layout,
  job: Job,
  name: string,
  before: Pick<LaidOut, "findings" | "open"> = { findings: [], open: [] },
): Plan {
  const around = surroundingsOf(layout);
  const findings: Finding[] = [
    ...before.findings,
    ...outsideBlock(layout),
    ...strayMarks(layout, around, job),
  ];
  const planned: Planned[] = [];
  const crossing = before.findings.some((f) =>
    f.code.startsWith("outline/crosses"),
  );
  const features = crossing ? [] : layout.features;
  features.forEach((feature, i) => {
    const one = planFeature(feature, i, around, job);
    findings.push(...one.findings);
    if (one.planned) planned.push(one.planned);
  });
  const tracks = planned.map((p) => p.track);
  findings.push(...collisions(tracks, around, job));
  const ordered = inOrder(planned, layout.features, job);
  const whole = planned.map((p) => p.feature);
  findings.push(
    ...ordered.findings,
    ...slugFindings(whole, job),
    ...processFindings(job),
  );
  const done = new Set(planned.map((p) => p.feature.id));
  return {
    name,
    job: { ...job, fitted: fittedPasses(tracks, job) },
    stock: layout.stock,
    features: whole,
    unplanned: [
      ...layout.features.filter((f) => !done.has(f.id)).map((f) => f.contour),
      ...before.open,
    ],
    steps: ordered.steps,
    travel: ordered.travel,
    findings,
  };
}

/**
 * Passes of the features in which one has to leave less stock; the proof wants to know them too.
 */
function fittedPasses(tracks: readonly Track[], job: Job): Job["fitted"] {
  return Object.fromEntries(
    tracks
      .map(
        ({ feature, passes }) =>
          [feature.id, passes.map((p) => p.pass)] as const,
      )
      .filter(([, passes]) => passes.some((p, i) => p !== job.passes[i])),
  );
}

/** The job with the passes of every feature, for a program that is checked without a plan. */
export function withFittedPasses(layout: Layout, job: Job): Job {
  const tracks = layout.features.flatMap(
    (f) => trackFeature(f, job.passes).track ?? [],
  );
  return { ...job, fitted: fittedPasses(tracks, job) };
}

function planFeature(
  feature: Feature,
  self: number,
  around: Surroundings,
  all: Job,
): { planned: Planned | null; findings: Finding[] } {
  const { track, findings: reach } = trackFeature(feature, all.passes);
  const findings = [...reach];
  if (!track) return { planned: null, findings };
  const job = { ...all, passes: track.passes.map(({ pass }) => pass) };

  const { features } = around.layout;
  const cutOut = features
    .filter((f) => f.parent === feature.id)
    .map((f) => f.contour);
  const slug = slugOf(feature, cutOut, job);
  const profile = profileOf(track, slug.cg, around.keepOff);
  const hand = placeByHand(
    profile,
    around,
    job,
    around.tabMarks[self] ?? [],
    tabSpan(track, slug, job),
  );
  if (!hand.ok) return { planned: null, findings: [...findings, hand.finding] };
  const { tab, lead: fixed } = hand;
  const site = { profile, track, self, around, job, span: tab.span, fixed };
  const wish = job.features[feature.id]?.startHole;
  const given = wish ? entryFromHandHole(site, wish) : null;
  if (given && !given.ok)
    return { planned: null, findings: [...findings, given.finding] };
  const entry = given?.entry ?? entryFromDrawnHole(site) ?? findEntry(site);
  if (!entry)
    return {
      planned: null,
      findings: [...findings, noEntry(feature, track, job)],
    };
  findings.push(...tab.findings, ...entryFindings(feature, entry, around, job));

  const marks = placeMarks(track, entry, around, job, tab);
  if (!marks)
    return {
      planned: null,
      findings: [...findings, noTab(feature, track, entry)],
    };
  const cuts = cutsOf(track, marks, job);
  findings.push(...cuts.findings);
  const standing = standingTab(track, marks, job);
  if (feature.role === "part")
    findings.push(partMark(feature, standing.at, standing.length, job));
  const whole: PlannedFeature = {
    ...feature,
    area: contourArea(feature.contour),
    perimeter: contourLength(feature.contour),
    minInsideRadius: smallestInsideRadius(
      feature.contour,
      feature.role === "opening" ? "inside" : "outside",
    ),
    startHole: entry.hole,
    leadPoint: spotPoint(track, entry.lead),
    tab: standing,
    slug,
  };
  findings.push(...compromises(whole, marks, job));
  return { planned: { feature: whole, cuts, track }, findings };
}

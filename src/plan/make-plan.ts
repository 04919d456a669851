/** Layout and job → plan. */
import type { Finding } from "../base/finding.js";
import { contourArea, contourLength } from "../geometry/contour.js";
import { smallestInsideRadius } from "../geometry/narrowest.js";
import { collisions } from "./collisions.js";
import { cutsOf, type FeatureCuts } from "./cuts.js";
import { placeEntries, wayIn } from "./entries.js";
import type { Feature, Layout } from "./feature.js";
import { edgeFaults } from "./from-edge.js";
import type { Job } from "./job.js";
import type { LaidOut } from "./layout.js";
import { inOrder } from "./order.js";
import { profileOf } from "./placing-score.js";
import type { Plan, PlannedEntry, PlannedFeature } from "./plan.js";
import {
  compromises,
  entryFindings,
  outsideBlock,
  strayMarks,
} from "./plan-findings.js";
import { processFindings } from "./process-findings.js";
import { trackFeature } from "./reach.js";
import { slugOf } from "./slug.js";
import { slugFindings } from "./slug-findings.js";
import { type Surroundings, surroundingsOf } from "./surroundings.js";
import { standingTab, tabSpan } from "./tab.js";
import { spotPoint, type Track } from "./track.js";
import type { WayIn } from "./ways-in.js";

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
    ...edgeFaults(layout, job),
    ...strayMarks(layout, around, job),
  ];
  const planned: Planned[] = [];
  const crossing = before.findings.some((f) =>
    f.code.startsWith("outline/crosses"),
  );
  const features = crossing ? [] : layout.features;
  const ways: WayIn[] = [];
  features.forEach((feature, i) => {
    const one = planFeature(feature, i, around, job, ways);
    findings.push(...one.findings);
    if (!one.planned) return;
    planned.push(one.planned);
    ways.push(...one.ways);
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
  before: readonly WayIn[],
): {
  planned: Planned | null;
  findings: Finding[];
  /** To a part. */
  ways: readonly WayIn[];
} {
  const { track, findings: reach } = trackFeature(feature, all.passes);
  const findings = [...reach];
  if (!track) return { planned: null, findings, ways: [] };
  const job = { ...all, passes: track.passes.map(({ pass }) => pass) };

  const { features } = around.layout;
  const cutOut = features
    .filter((f) => f.parent === feature.id)
    .map((f) => f.contour);
  const slug = slugOf(feature, cutOut, job);
  const profile = profileOf(track, slug.cg, around.keepOff);
  const usual = tabSpan(track, slug, job);
  const entries = placeEntries(profile, self, around, job, usual, before);
  if (!entries.ok)
    return {
      planned: null,
      findings: [...findings, entries.finding],
      ways: [],
    };
  const { placed } = entries;
  for (const { entry, tab } of placed)
    findings.push(
      ...tab.findings,
      ...entryFindings(feature, entry, around, job),
    );
  const cuts = cutsOf(
    track,
    placed.map((p) => p.marks),
    job,
  );
  findings.push(...cuts.findings);
  const [first, ...further] = placed.map(({ entry, marks }) => ({
    startHole: entry.hole,
    leadPoint: spotPoint(track, entry.lead),
    tab: standingTab(track, marks, job),
  }));
  const whole: PlannedFeature = {
    ...feature,
    area: contourArea(feature.contour),
    perimeter: contourLength(feature.contour),
    minInsideRadius: smallestInsideRadius(
      feature.contour,
      feature.role === "opening" ? "inside" : "outside",
    ),
    ...(first as PlannedEntry),
    further,
    slug,
  };
  findings.push(...compromises(whole, placed, around.layout, job));
  const ways =
    feature.role === "part" ? placed.map((p) => wayIn(track, p.entry)) : [];
  return { planned: { feature: whole, cuts, track }, findings, ways };
}

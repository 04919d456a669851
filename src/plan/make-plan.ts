/** Layout and job → plan. */
import type { Finding } from "../base/finding.js";
import { edgeFaults } from "./entry/from-edge.js";
import { goesClear } from "./entry/stand-off.js";
import type { WayIn } from "./entry/ways-in.js";
import type { Layout } from "./feature.js";
import { type Job, passesOf } from "./job/job.js";
import { drawnHoleFindings } from "./layout/drawn-holes.js";
import type { LaidOut } from "./layout/layout.js";
import { thinWebs } from "./layout/thin-webs.js";
import { machineFindings } from "./machine-findings.js";
import { inOrder } from "./order/order.js";
import type { Plan } from "./plan.js";
import { type Planned, planFeature } from "./plan-feature.js";
import { farAway, outsideBlock, strayMarks } from "./plan-findings.js";
import { processFindings } from "./process-findings.js";
import { planSlits } from "./slit/plan-slit.js";
import { collisions } from "./slug/collisions.js";
import { asTheyFall } from "./slug/fallen-slug.js";
import { slugFindings } from "./slug/findings.js";
import { partedBlock } from "./slug/parted-block.js";
import { surroundingsOf } from "./surroundings.js";
import { trackFeature } from "./track/reach.js";
import type { Track } from "./track/track.js";

/**
 * Plans every feature of the layout. What the layout found and left open is carried along as `before`. With an `error`
 * among the findings the plan shows what could be planned, but no program may be written from it. Where outlines
 * cross, inside and outside mean nothing, and nothing is planned at all. `onFeature` is told how many features are done.
 */
export function makePlan(
  layout: Layout,
  job: Job,
  name: string,
  before: Pick<LaidOut, "findings" | "open"> = { findings: [], open: [] },
  onFeature: (done: number, of: number) => void = () => {},
): Plan {
  const around = surroundingsOf(layout);
  const findings: Finding[] = [
    ...before.findings,
    ...outsideBlock(layout),
    ...farAway(layout),
    ...edgeFaults(layout, job),
    ...strayMarks(layout, around, job),
  ];
  const planned: Planned[] = [];
  const crossing = before.findings.some((f) =>
    f.code.startsWith("outline/crosses"),
  );
  const features = crossing ? [] : layout.features;
  if (!crossing) findings.push(...thinWebs(layout));
  const ways: WayIn[] = [];
  features.forEach((feature, i) => {
    onFeature(i, features.length);
    const one = planFeature(feature, i, around, job, ways);
    findings.push(...one.findings);
    if (!one.planned) return;
    planned.push(one.planned);
    ways.push(...one.ways);
  });
  const slits = crossing
    ? { planned: [], findings: [] }
    : planSlits(planned, around, job);
  findings.push(...slits.findings);
  const tracks = planned.map((p) => p.track);
  const collided = collisions(tracks, around, job);
  findings.push(
    ...collided,
    // Where one cuts into another, what lies between them is no question yet.
    ...(collided.length > 0 ? [] : partedBlock(planned, layout, job)),
  );
  const settled = { ...job, fitted: fittedPasses(tracks, job) };
  const ordered = inOrder(
    planned,
    slits.planned,
    layout.features,
    job,
    (id, from, to) => goesClear(around, from, to, passesOf(settled, id)),
  );
  const whole = asTheyFall(planned, layout, settled);
  findings.push(
    ...ordered.findings,
    ...slugFindings(whole, job),
    ...drawnHoleFindings(
      planned,
      slits.planned.map((p) => p.slit),
      around,
      job,
    ),
    ...machineFindings(ordered.steps, settled),
    ...processFindings(job),
  );
  const done = new Set([
    ...planned.map((p) => p.feature.id),
    ...slits.planned.map((p) => p.slit.id),
  ]);
  return {
    name,
    job: settled,
    stock: layout.stock,
    features: whole,
    slits: slits.planned.map((p) => p.slit),
    unplanned: [
      ...[...layout.features, ...layout.slits]
        .filter((f) => !done.has(f.id))
        .map((f) => f.contour),
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

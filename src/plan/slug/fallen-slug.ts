/**
 * Slugs as they fall: lighter by the kerf of the leads that run through them, and by the holes that were in the block
 * already. A hole that is still to be drilled is not taken off: which drill is at hand is the shop's to say, and a slug
 * that turns out lighter does no harm.
 */
import { commonArea } from "../../geometry/common-area.js";
import { type Contour, circleContour } from "../../geometry/contour.js";
import { distanceToSegment } from "../../geometry/distance.js";
import { arcFromTo, line, type Segment } from "../../geometry/segment.js";
import {
  along,
  distance,
  left,
  sub,
  unit,
  type Vec,
} from "../../geometry/vec.js";
import type { Feature, Layout } from "../feature.js";
import { type Job, passesOf, roughKerf } from "../job/job.js";
import { entriesOf, type PlannedFeature } from "../plan.js";
import type { Planned } from "../plan-feature.js";
import { slugEdges, slugWithout } from "./slug.js";

export function asTheyFall(
  planned: readonly Planned[],
  { features }: Layout,
  job: Job,
): PlannedFeature[] {
  const roles = new Map(features.map((f) => [f.id, f.role]));
  const inside = new Map<string | null, Feature[]>();
  for (const f of features) {
    const siblings = inside.get(f.parent);
    if (siblings) siblings.push(f);
    else inside.set(f.parent, [f]);
  }
  const waysIn = new Map<string, Contour[]>();
  for (const one of planned) {
    const { id, role, parent } = one.feature;
    // The way in to a part runs through the slug that it lies in.
    const holder = role === "opening" ? id : (parent ?? "");
    if (roles.get(holder) !== "opening") continue;
    const ways = waysIn.get(holder) ?? [];
    ways.push(...wayIn(one, job));
    waysIn.set(holder, ways);
  }
  return planned.map(({ feature }) => {
    const ways = waysIn.get(feature.id);
    if (!ways || feature.slug.area === 0) return feature;
    const within = inside.get(feature.id) ?? [];
    const own = { ...job, passes: passesOf(job, feature.id) };
    const edges = slugEdges(feature, within, own);
    const taken = ways.map((way) => commonArea(edges, [way]));
    return { ...feature, slug: slugWithout(feature.slug, taken, own) };
  });
}

/**
 * What the wire takes of a slug beside its way round: from each place where it is threaded to the path, with the hole that
 * is there, and where it stands off between strokes. That it does so for the tab's skims when the slug is out is let pass:
 * it is some milligrams, and the proof's replay has it as well.
 */
function wayIn({ feature, cuts }: Planned, job: Job): Contour[] {
  const half = roughKerf(job) / 2;
  const holes = entriesOf(feature).map((e) => e.startHole);
  const leads = cuts.unattended.flatMap(({ thread, lead, strokes }) => {
    // Where it stands off before the rough it is in the rough's kerf already.
    const to = lead[0] ?? strokes[0]?.from;
    return to ? [{ thread, to }] : [];
  });
  const all = [...cuts.unattended, ...cuts.attended].flatMap((step) =>
    step.kind === "cut" ? step.strokes : [],
  );
  const standOffs: { readonly at: Vec; readonly to: Vec }[] = [];
  for (const { path, from, to } of all)
    for (const [at, end] of [
      [from, path[0]?.start],
      [to, path.at(-1)?.end],
    ] as const) {
      const taken =
        leads.some(
          (l) => distanceToSegment(line(l.thread, l.to), at.x, at.y) < half,
        ) || standOffs.some((s) => distance(s.at, at) < half);
      if (end && !taken) standOffs.push({ at, to: end });
    }
  return [
    ...leads.map(({ thread, to }) => {
      const hole = holes.find(
        (h) => h.drawn && distance(h.at, thread) <= h.diameter / 2,
      );
      return keyhole(
        thread,
        Math.max(half, (hole?.diameter ?? 0) / 2),
        to,
        half,
      );
    }),
    ...standOffs.map(({ at, to }) => keyhole(at, half, to, half)),
  ];
}

/** A disc with a strip that leads from its middle to a place, square at its end; counter-clockwise. */
function keyhole(at: Vec, radius: number, to: Vec, half: number): Contour {
  if (distance(at, to) <= radius) return circleContour(at, radius);
  const ahead = unit(sub(to, at));
  const aside = left(ahead);
  const beside = (p: Vec, by: number): Vec => along(p, aside, by);
  const neck = along(at, ahead, Math.sqrt(radius ** 2 - half ** 2));
  const [right, leftward] = [beside(neck, -half), beside(neck, half)];
  const [farRight, farLeft] = [beside(to, -half), beside(to, half)];
  const segments: Segment[] = [
    line(right, farRight),
    line(farRight, farLeft),
    line(farLeft, leftward),
    arcFromTo(at, leftward, right, true),
  ];
  return { closed: true, segments };
}

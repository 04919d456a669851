/** What the pieces that come loose do to the machine, told once for all features that share it. */
import type { Finding } from "../../base/finding.js";
import { nameText } from "../../base/message.js";
import { placeText, trimmed } from "../../base/numbers.js";
import { isDeeperThan } from "../../geometry/deepest.js";
import { distance, pair } from "../../geometry/vec.js";
import type { Job } from "../job/job.js";
import type { PlannedFeature } from "../plan.js";
import { trackContour } from "../track/track.js";
import { insideKerf, needsOf } from "./slug.js";

/**
 * A fin no thicker than this was cut clean up to `FIN_LENGTH`; longer ones deflect or break (D2 steel, Ahmed et al.,
 * Micromachines 12(1):1, 2020, doi 10.3390/mi12010001).
 */
const FIN_THICKNESS = 0.5;
const FIN_LENGTH = 2;

/** Share of its size by which a piece's centre of mass may lie beside the line across its tab. Common practice, no source. */
const LEVER_SHARE = 0.25;

/** Features named in one finding before the rest is counted. */
const NAMED = 8;

export function slugFindings(
  features: readonly PlannedFeature[],
  job: Job,
): Finding[] {
  const { process, stock } = job;
  const height = trimmed(stock.thickness, 3);
  const about = (
    code: string,
    severity: Finding["severity"],
    which: readonly PlannedFeature[],
    text: (names: string) => string,
  ): Finding[] => {
    const [first] = which;
    if (!first) return [];
    return [
      {
        code,
        severity,
        message: text(names(which)),
        where: pair(first.slug.cg),
        ...(which.length === 1 && { feature: first.id }),
      },
    ];
  };

  const heavy = features.filter(
    (f) => f.slug.mass >= (process.tabs.rows[0]?.below ?? 0),
  );
  const overloaded = features.flatMap((f) => {
    const { bears } = needsOf(f.slug, job);
    return job.tabs.length === "auto" && bears !== null ? [{ f, bears }] : [];
  });
  const bears = Math.min(...overloaded.map((o) => o.bears));
  const jet = process.flushing.jetDiameter;
  return [
    ...about(
      "slug/twists",
      "warning",
      heavy.filter((f) => lever(f) > LEVER_SHARE * Math.max(...f.slug.size)),
      (n) =>
        `${n}: the centre of mass lies far beside the line across the tab, so the piece twists as its tab is cut through and pinches the wire. Hold it on both sides, or move the tab with features.<id>.tab`,
    ),
    ...about(
      "slug/jams",
      "warning",
      heavy.filter(
        (f) =>
          f.slug.lean !== null && stock.thickness < Math.max(...f.slug.size),
      ),
      (n) =>
        `${n}: wider than the ${height} mm it is high, and too heavy to shrug off: once loose it leans in its kerf and wedges. Lift it straight, by magnet or clamp; do not knock it out`,
    ),
    ...about(
      "slug/into-nozzle",
      "note",
      features.filter(
        ({ slug }) => slug.area > 0 && Math.hypot(...slug.size) <= jet,
      ),
      (n) =>
        `${n}: small enough to fall into a nozzle of ${trimmed(jet, 3)} mm and stop the flushing or short the guide. Catch the piece before the next cut`,
    ),
    ...about(
      "slug/thin",
      "warning",
      features.filter((f) => f.role === "opening" && isThin(f, job)),
      (n) =>
        `${n}: the slug is nowhere thicker than ${FIN_THICKNESS} mm and longer than ${FIN_LENGTH} mm: it bends in the flushing, touches the wire and shorts. Lower the flushing, or take a thicker wire that leaves no slug`,
    ),
    ...about(
      "tab/flushing",
      "warning",
      overloaded.map((o) => o.f),
      (n) =>
        `${n}: in a plate of ${height} mm even a ${trimmed(process.tabs.longest, 2)} mm tab would bend under the jet (${trimmed(process.flushing.pressure, 2)} MPa on ${trimmed(jet, 2)} mm). Lower the flushing to ${trimmed(Math.max(0, Math.floor(bears * 100) / 100), 2)} MPa or less while a piece hangs by its tab, or support it`,
    ),
    ...about(
      "tab/brittle",
      "warning",
      process.material.strength === "brittle"
        ? features.filter((f) => f.tab !== null)
        : [],
      (n) =>
        `${n}: ${nameText(process.material.title)} breaks instead of bending, so no tab of it may carry a piece. Support each piece from below before its rough comes round, lower the flushing, and never break a tab off by hand`,
    ),
  ];
}

/** How far (mm) the centre of mass lies beside the line across the tab. */
function lever({ slug, tab, leadPoint }: PlannedFeature): number {
  if (!tab) return 0;
  const half = distance(leadPoint, tab.at);
  if (half === 0) return 0;
  return Math.abs(
    ((slug.cg.x - tab.at.x) * (leadPoint.x - tab.at.x) +
      (slug.cg.y - tab.at.y) * (leadPoint.y - tab.at.y)) /
      half,
  );
}

/** Is the slug a fin all along: does no circle of `FIN_THICKNESS` fit into it? */
function isThin(f: PlannedFeature, job: Job): boolean {
  const { area, size } = f.slug;
  if (area === 0 || Math.max(...size) <= FIN_LENGTH) return false;
  // Every shape holds a circle of radius area / perimeter; most slugs are told by that alone.
  if ((2 * area) / f.perimeter > FIN_THICKNESS) return false;
  return insideKerf(trackContour(f), job).every(
    (c) => !isDeeperThan(c, FIN_THICKNESS / 2),
  );
}

function names(features: readonly PlannedFeature[]): string {
  const named = features.slice(0, NAMED).map((f) => {
    const where = placeText(pair(f.slug.cg));
    return features.length === 1 ? `${f.id} at ${where}` : f.id;
  });
  const more = features.length - named.length;
  return named.join(", ") + (more > 0 ? ` and ${more} more` : "");
}

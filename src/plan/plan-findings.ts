/** What the planner has to say: one place for the wording, so that each says what, where, how much, what to do. */
import type { Finding } from "../base/finding.js";
import { nameText } from "../base/message.js";
import { placeText, trimmed } from "../base/numbers.js";
import { FARTHEST_WRITTEN, SAME_POINT, STUB } from "../base/tolerance.js";
import { contourArea, contourBox, windingNumber } from "../geometry/contour.js";
import { deepestPoint } from "../geometry/deepest.js";
import type { Segment } from "../geometry/segment.js";
import { pair, type Vec } from "../geometry/vec.js";
import type { Placed } from "./entry/entries.js";
import type { Entry } from "./entry/entry.js";
import { fromEdgeWanted } from "./entry/from-edge.js";
import { roomFor } from "./entry/hole-room.js";
import type { Feature, Layout } from "./feature.js";
import { NO_WISH } from "./job/features.js";
import type { Job, Pass } from "./job/job.js";
import { holeSizes, leastHole, wanderIn } from "./job/start-holes.js";
import { entriesOf, type PlannedFeature } from "./plan.js";
import { ON_OUTLINE, type Surroundings } from "./surroundings.js";
import { spotPoint, type Track } from "./track/track.js";

export function outsideBlock({ features, stock }: Layout): Finding[] {
  if (!stock) return [];
  return features.flatMap((f) => {
    const where = pair((f.contour.segments[0] as Segment).start);
    if (windingNumber(stock, { x: where[0], y: where[1] }) !== 0) return [];
    return [
      {
        code: "role/outside-block",
        severity: "error" as const,
        message: `${f.id} at ${placeText(where)} lies outside the block; check the roles of their layers`,
        where,
        feature: f.id,
      },
    ];
  });
}

/** Where a program could not say where to go. */
export function farAway({ features, slits }: Layout): Finding[] {
  return [...features, ...slits].flatMap(({ id, contour }) => {
    const { minX, minY, maxX, maxY } = contourBox(contour);
    const far = Math.max(-minX, -minY, maxX, maxY);
    if (far <= FARTHEST_WRITTEN) return [];
    const where = pair((contour.segments[0] as Segment).start);
    return [
      {
        code: "outline/far-away",
        severity: "error" as const,
        message: `${id} at ${placeText(where)} lies ${trimmed(far / 1000, 2)} m from the drawing's origin, farther than the ${Math.round(FARTHEST_WRITTEN / 1000)} m that a control has digits for; move the drawing so that its origin is the block's datum, and check its unit`,
        where,
        feature: id,
      },
    ];
  });
}

/** A mark that is on no outline would be lost unsaid. */
export function strayMarks(
  layout: Layout,
  around: Surroundings,
  job: Job,
): Finding[] {
  const used = new Set(around.tabMarks.flat());
  return layout.tabMarks
    .filter((mark) => !used.has(mark))
    .map((mark) => ({
      code: "tab/stray-mark",
      severity: "error",
      message: `the mark at ${placeText(pair(mark))} on layer ${nameText(job.tabs.layer ?? "")} lies on no outline that is cut: put it within ${ON_OUTLINE} mm of the edge where the tab shall stand`,
      where: pair(mark),
    }));
}

/** `tab`: mm that were to stand there; `others`: how many tabs it has already. */
export function noEntry(
  feature: Feature,
  track: Track,
  job: Job,
  tab: number,
  others: number,
): Finding {
  const { diameter, clearance } = job.startHoles;
  const stretches = (job.features[feature.id] ?? NO_WISH).keepOff.length > 0;
  const free = [
    job.tabs.keepOffLayer
      ? `; and lines on layer ${nameText(job.tabs.keepOffLayer)} (tabs.keepOffLayer) keep edges free`
      : "",
    stretches
      ? `; and features.${feature.id}.keepOff keeps stretches free`
      : "",
  ].join("");
  const away =
    feature.role === "opening"
      ? `, or have the inside cut away whole with a tabs.minSlugArea of ${Math.ceil(contourArea(feature.contour))} mm²`
      : "";
  const hole = diameter ?? holeSizes(job).at(-1) ?? 0;
  const room = roomFor(hole, job, 0);
  const deepest =
    feature.role === "opening" ? deepestPoint(track.contour) : null;
  const where = pair(deepest?.at ?? spotPoint(track, { index: 0, t: 0 }));
  const wanted = `a start hole of ${trimmed(hole, 3)} mm wants ${trimmed(room, 3)} mm from its centre to every edge (startHoles.clearance ${trimmed(clearance, 3)} mm, and clear of the rough's kerf)`;
  const reason =
    deepest && deepest.distance < room
      ? `${wanted}, and the roomiest place, ${placeText(where)}, has ${trimmed(deepest.distance, 3)} mm. Set a smaller startHoles.diameter or startHoles.clearance`
      : `${wanted}, and from no such place does a straight lead-in meet the outline square beside a tab of ${trimmed(tab, 3)} mm without nearing another edge${others === 0 ? "" : `, or the holes and lead-ins of its other tabs`}. Draw a hole on startHoles.layer, set a smaller startHoles.clearance, or a shorter tabs.length${away}${free}`;
  return {
    code: "start-hole/no-room",
    severity: "error",
    message: `${feature.id}: no place to thread the wire: ${reason}`,
    where,
    feature: feature.id,
  };
}

export function noTab(feature: Feature, track: Track, entry: Entry): Finding {
  const where = pair(spotPoint(track, entry.lead));
  return {
    code: "tab/no-room",
    severity: "error",
    message: `${feature.id}: near the lead-in at ${placeText(where)} there is no room for a tab and the overlap beside it; set a shorter tabs.length or lead.overlap`,
    where,
    feature: feature.id,
  };
}

export function entryFindings(
  feature: Pick<Feature, "id">,
  entry: Pick<Entry, "hole" | "grid">,
  around: Surroundings,
  job: Job,
): Finding[] {
  const { at, diameter, drawn } = entry.hole;
  const where = pair(at);
  if (diameter === 0) return [opensBlock(feature, at, job)];
  const about = (
    code: string,
    severity: Finding["severity"],
    message: string,
  ): Finding => ({
    code,
    severity,
    message,
    where,
    feature: feature.id,
  });
  const findings: Finding[] = [];
  const wall =
    (around.edges.nearest(at)?.distance ?? Number.POSITIVE_INFINITY) -
    diameter / 2;
  const least = leastHole(job);
  const wander = wanderIn(job);
  const { thickness } = job.stock;
  const { depthRatio } = job.process.drilling;
  if (drawn && wall < job.startHoles.clearance) {
    findings.push(
      about(
        "start-hole/close",
        wall <= 0 ? "error" : "warning",
        `the drawn start hole of ${feature.id} at ${placeText(where)} leaves ${trimmed(wall, 3)} mm to a finished edge, less than the ${trimmed(job.startHoles.clearance, 3)} mm asked for`,
      ),
    );
  }
  if (diameter < least) {
    findings.push(
      about(
        "start-hole/tight",
        "warning",
        `the start hole of ${feature.id} at ${placeText(where)}, ${trimmed(diameter, 3)} mm, is tight for the wire: ${trimmed(least, 3)} mm or more is common practice`,
      ),
    );
  }
  if (!drawn && wall < job.startHoles.clearance + wander - SAME_POINT) {
    findings.push(
      about(
        "start-hole/wander",
        "warning",
        `the start hole of ${feature.id} at ${placeText(where)}, ${trimmed(diameter, 3)} mm, has ${trimmed(wall, 3)} mm to the nearest edge: startHoles.clearance (${trimmed(job.startHoles.clearance, 3)} mm) holds only if the drill does not wander, and through ${trimmed(thickness, 3)} mm it may by ${trimmed(wander, 3)} mm (common practice). Drill it with care and measure where it comes out`,
      ),
    );
  }
  if (!drawn && thickness > depthRatio * diameter + SAME_POINT) {
    findings.push(
      about(
        "start-hole/deep",
        "warning",
        `the start hole of ${feature.id} at ${placeText(where)} is ${trimmed(thickness / diameter, 0)} times as deep as wide (${trimmed(diameter, 3)} mm through ${trimmed(thickness, 3)} mm); up to ${trimmed(depthRatio, 0)} is usual for spark drilling (${nameText(job.process.drilling.source)}). Ask who drills it, drill from both sides, or take a larger one (startHoles.diameter or startHoles.drills)`,
      ),
    );
  }
  if (!drawn && job.startHoles.layer !== null) {
    findings.push(
      about(
        "start-hole/planned",
        "note",
        `no hole on layer ${nameText(job.startHoles.layer ?? "")} serves ${feature.id}; one of ${trimmed(diameter, 3)} mm is planned at ${placeText(where)}`,
      ),
    );
  }
  if (!drawn && entry.grid > 0 && entry.grid < job.startHoles.grid) {
    findings.push(
      about(
        "start-hole/finer-grid",
        "note",
        `${feature.id} has no room for a start hole on the ${trimmed(job.startHoles.grid, 4)} mm grid; it stands on a grid of ${trimmed(entry.grid, 4)} mm, at ${placeText(where)}`,
      ),
    );
  }
  return findings;
}

function opensBlock(feature: Pick<Feature, "id">, at: Vec, job: Job): Finding {
  return {
    code: "start/opens-block",
    severity: job.stressRelief ? "warning" : "note",
    message: `${feature.id} is cut in from the block's edge, threaded in the open at ${placeText(pair(at))}: no hole to drill, but the cut opens the block, which may move where there is stress in it${job.stressRelief ? ", and stressRelief says there is" : ""}. Clamp what stays on both sides of the cut, or start from a hole`,
    where: pair(at),
    feature: feature.id,
  };
}

/** A slug that should have been cut away (`why`), and is kept. */
export function smallSlug(
  feature: PlannedFeature,
  why: string,
  kept: string,
): Finding {
  return {
    code: "slug/small",
    severity: "warning",
    message: `${feature.id}: ${why}; but ${kept}, so it keeps its tab and its stops`,
    where: pair(feature.slug.cg),
    feature: feature.id,
  };
}

/** Things that come out other than the job asks. */
export function compromises(
  feature: PlannedFeature,
  placed: readonly Placed[],
  layout: Layout,
  job: Job,
): Finding[] {
  const findings: Finding[] = [];
  for (const { length, at } of entriesOf(feature).flatMap((e) => e.tab ?? [])) {
    if (feature.role === "part")
      findings.push(partMark(feature, at, length, job));
    if (job.tabs.length !== "auto" && length > job.tabs.length + STUB)
      findings.push({
        code: "tab/longer",
        severity: "note",
        message: `${feature.id}: the tab at ${placeText(pair(at))} is ${trimmed(length, 3)} mm, longer than the ${trimmed(job.tabs.length, 3)} mm asked for, so that its end does not fall on a corner`,
        where: pair(at),
        feature: feature.id,
      });
  }
  if (feature.further.length > 0) findings.push(severalTabs(feature, placed));
  if (
    fromEdgeWanted(feature, layout, job) &&
    placed.every((p) => p.entry.hole.diameter > 0)
  )
    findings.push({
      code: "start/hole-instead",
      severity: "warning",
      message: `${feature.id}: start is "edge", but no straight way leads from the block's edge to a place for its tab; it starts from a hole`,
      where: pair(feature.startHole.at),
      feature: feature.id,
    });
  if (job.lead.kind === "arc" && job.passes.length > 1)
    findings.push(...straightLeads(feature, placed));
  return findings;
}

/** Where arcs were asked for and the wire comes straight all the same. */
function straightLeads(
  feature: PlannedFeature,
  placed: readonly Placed[],
): Finding[] {
  const why =
    feature.role === "part"
      ? "its tab stands until it is cut last, and an arc would undercut it"
      : "beside its tab there is no room for lead.radius";
  const arcs = placed.flatMap((p) => p.marks.ends.map((e) => e.arcs));
  if (feature.role === "opening" && arcs.every((a) => a.in && a.out)) return [];
  return [
    {
      code: "lead/no-arc",
      severity: "note",
      message: `${feature.id}: ${why}; its skims come to the outline and leave it straight`,
      where: pair(feature.leadPoint),
      feature: feature.id,
    },
  ];
}

/** Why there are several tabs, and what each of them brings with it. */
function severalTabs(
  feature: PlannedFeature,
  placed: readonly Placed[],
): Finding {
  const n = placed.length;
  const pieces = new Set(placed.map((p) => p.marks.piece)).size;
  const places = entriesOf(feature)
    .flatMap((e) => (e.tab ? [placeText(pair(e.tab.at))] : []))
    .join(" and ");
  const why =
    pieces > 1
      ? `a neck parts its slug into ${pieces} pieces, and each keeps a tab`
      : `its ${feature.role === "part" ? "part" : "slug"} of ${trimmed(feature.slug.mass, 2)} kg keeps ${n} tabs`;
  return {
    code: "tab/several",
    severity: "note",
    message: `${feature.id}: ${why}, at ${places}; a threaded wire cannot jump a tab, so each has a start hole and a cut of its own`,
    where: pair(feature.leadPoint),
    feature: feature.id,
  };
}

/** The tab of a part is cut with the part hanging by it: no skim can follow. */
function partMark(
  feature: Feature,
  tabAt: Vec,
  length: number,
  job: Job,
): Finding {
  const finish = job.passes.at(-1) as Pass;
  const where = pair(tabAt);
  return {
    code: "part/tab-mark",
    severity: "note",
    message: `${feature.id} comes loose itself when its ${trimmed(length, 3)} mm tab at ${placeText(where)} is cut, so nothing can skim that place: it is cut once at the finish offset, ${trimmed(finish.offset, 4)} mm, and keeps a rougher face and a faint step at either end. Put the tab where the mark does not matter, or stone it flush by hand`,
    where,
    feature: feature.id,
  };
}

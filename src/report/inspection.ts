/** What is in a drawing: the tool designer's first page. Lengths mm. */
import { type Finding, hasErrors } from "../base/finding.js";
import { MAX_GOUGE } from "../base/tolerance.js";
import type { LengthUnit } from "../base/units.js";
import type {
  Drawing,
  Layer,
  LineType,
  OpenChain,
  Repair,
  Skipped,
} from "../drawing/drawing.js";
import { likelyMeaning } from "../drawing/line-types.js";
import {
  type Contour,
  contourArea,
  contourBox,
  contourLength,
  windingNumber,
} from "../geometry/contour.js";
import { findConflicts } from "../geometry/crossings.js";
import {
  type Gap,
  narrowestGaps,
  smallestInsideRadius,
} from "../geometry/gaps/narrowest.js";
import { reachesAll } from "../geometry/largest-offset.js";
import { EMPTY_BOX, unionBox } from "../geometry/segment.js";
import { pair, type Vec } from "../geometry/vec.js";
import type { Feature } from "../plan/feature.js";
import type { Job } from "../plan/job/job.js";
import type { OutlineRole } from "../plan/layout/drawn-marks.js";
import type { LaidOut } from "../plan/layout/layout.js";
import { trackContour } from "../plan/track/track.js";
import { findSchedule } from "../process/lookup.js";
import { MAX_SCHEDULED_PASSES } from "../process/schedules.js";
import { BUILT_IN, type ProcessTable } from "../process/table.js";
import { WIRE_DIAMETERS } from "../process/wires.js";

import { type WireFit, wireFits } from "./inspection-wires.js";

type Place = readonly [number, number];

interface Narrow {
  readonly width: number;
  readonly at: Place;
  readonly ends: readonly [Place, Place];
}

export interface OpenGap {
  readonly size: number;
  readonly from: Place;
  readonly to: Place;
}

/** What `inspect --json` prints (DESIGN 4). */
export interface Inspection {
  readonly ok: boolean;
  readonly units: Drawing["units"];
  /** The unit of text and picture; the figures here are mm. The job's, or, where it says none, the drawing's own. */
  readonly shownIn: LengthUnit;
  readonly size: readonly [width: number, height: number];
  readonly layers: readonly Layer[];
  readonly lineTypes: readonly LineType[];
  readonly contours: readonly {
    readonly id: string;
    /** Its id in the job's `features` and in the plan; null for holes and marks. */
    readonly feature: string | null;
    readonly layer: string;
    readonly closed: boolean;
    /** Unless it is continuous. */
    readonly lineType?: string;
    readonly role: OutlineRole;
    readonly depth: number;
    readonly area: number;
    readonly perimeter: number;
    readonly segments: { readonly lines: number; readonly arcs: number };
    readonly minInsideRadius: {
      readonly value: number;
      readonly at: Place;
    } | null;
  }[];
  readonly open: readonly {
    readonly layer: string;
    /** Unless it is continuous. */
    readonly lineType?: string;
    /** On a layer that is not to be cut. */
    readonly ignored: boolean;
    /** Id of the slit that it is; null: it is none. */
    readonly slit: string | null;
    readonly length: number;
    readonly ends: readonly [Place, Place];
    /** Where it comes nearest to closing; nearest first. */
    readonly gap: OpenGap;
    /** The gap at its other end, where that is another. */
    readonly otherGap: OpenGap | null;
  }[];
  readonly narrowestSlot: Narrow | null;
  readonly thinnestWeb: Narrow | null;
  /** Largest usual wire that cuts every outline to its corners with its own schedule; null when none does. */
  readonly largestWire: number | null;
  /** The same, but for sharp inside corners, in which every wire leaves some stock. */
  readonly largestWireButCorners: number | null;
  /** What each usual wire would leave, the thickest first. */
  readonly wires: readonly WireFit[];
  readonly repairs: readonly Repair[];
  readonly skipped: readonly Skipped[];
  readonly findings: readonly Finding[];
}

export function inspectDrawing(
  drawing: Drawing,
  laidOut: LaidOut,
  job: Job,
  shownIn: LengthUnit,
  table: ProcessTable = BUILT_IN,
): Inspection {
  const gaps = gapsOf(laidOut);
  const { findings } = laidOut;
  const features = withAnInside(laidOut);
  const box = [...drawing.outlines, ...drawing.open]
    .map((o) => contourBox(o.contour))
    .reduce(unionBox, EMPTY_BOX);
  const empty = box.minX > box.maxX;
  return {
    ok: !hasErrors(findings),
    units: drawing.units,
    shownIn,
    size: empty ? [0, 0] : [box.maxX - box.minX, box.maxY - box.minY],
    layers: drawing.layers,
    lineTypes: drawing.lineTypes,
    contours: drawing.outlines.map((o, i) => {
      const role = laidOut.roles[i] ?? "ignore";
      const arcs = o.contour.segments.filter((s) => s.kind === "arc").length;
      return {
        id: o.id,
        feature: laidOut.ids[i] ?? null,
        layer: o.layer,
        closed: true,
        ...(o.lineType !== undefined && { lineType: o.lineType }),
        role,
        depth: o.depth,
        area: contourArea(o.contour),
        perimeter: contourLength(o.contour),
        segments: { lines: o.contour.segments.length - arcs, arcs },
        minInsideRadius: radiusOf(o.contour, role),
      };
    }),
    open: drawing.open.map((chain) => {
      const slit =
        laidOut.slits.find((s) => s.contour === chain.contour)?.id ?? null;
      return {
        ...openEnds(chain),
        ignored: slit === null && !laidOut.open.includes(chain.contour),
        slit,
      };
    }),
    narrowestSlot: gaps.slot,
    thinnestWeb: gaps.web,
    ...largestWires(features, job, table),
    wires: wireFits(features, job, table),
    repairs: drawing.repairs,
    skipped: drawing.skipped,
    findings,
  };
}

function radiusOf(
  c: Contour,
  role: OutlineRole,
): { value: number; at: Place } | null {
  if (role !== "opening" && role !== "part") return null;
  const found = smallestInsideRadius(
    c,
    role === "opening" ? "inside" : "outside",
  );
  return found && { value: found.value, at: pair(found.at) };
}

function openEnds({
  layer,
  lineType,
  contour,
  gap,
  otherGap,
}: OpenChain): Omit<Inspection["open"][number], "ignored" | "slit"> {
  const start = contour.segments[0]?.start ?? { x: 0, y: 0 };
  const end = contour.segments.at(-1)?.end ?? start;
  return {
    layer,
    ...(lineType !== undefined && { lineType }),
    length: contourLength(contour),
    ends: [pair(start), pair(end)],
    gap: openGap(gap),
    otherGap: otherGap && openGap(otherGap),
  };
}

/** Whether it is drawn as what only helps to read a sheet: a centre line, a hidden edge. */
export function isAid({ lineType }: { readonly lineType?: string }): boolean {
  return lineType !== undefined && likelyMeaning(lineType) !== null;
}

function openGap({ size, from, to }: OpenChain["gap"]): OpenGap {
  return { size, from: pair(from), to: pair(to) };
}

/** Waste or kept: the innermost feature around a point decides; around all of them it is the other of theirs, up to the block's edge. */
function gapsOf({ features, stock }: LaidOut): {
  slot: Narrow | null;
  web: Narrow | null;
} {
  const innermostFirst = [...features].sort((a, b) => b.depth - a.depth);
  const boxes = new Map(features.map((f) => [f, contourBox(f.contour)]));
  const holds = (f: Feature, p: Vec): boolean => {
    const b = boxes.get(f);
    if (!b || p.x < b.minX || p.x > b.maxX || p.y < b.minY || p.y > b.maxY)
      return false;
    return windingNumber(f.contour, p) !== 0;
  };
  const outside = features.some((f) => f.depth === 0 && f.role === "opening")
    ? "kept"
    : "waste";
  const stuff = (p: Vec): "kept" | "waste" => {
    const inner = innermostFirst.find((f) => holds(f, p));
    if (!inner)
      return stock && windingNumber(stock, p) === 0 ? "waste" : outside;
    return inner.role === "part" ? "kept" : "waste";
  };
  const outlines = features.map((f) => f.contour);
  const between = narrowestGaps(outlines, stuff);
  const { slot } = between;
  // Where no edge of the block is drawn, that has answered both.
  const { web } = stock ? narrowestGaps([...outlines, stock], stuff) : between;
  return {
    slot: slot && narrow(slot),
    web: web && narrow(web),
  };
}

function narrow({ width, at, ends: [a, b] }: Gap): Narrow {
  return { width, at: pair(at), ends: [pair(a), pair(b)] };
}

/** An outline that crosses itself has no one inside that a wire could reach; the finding tells of it. */
function withAnInside({ features, findings }: LaidOut): readonly Feature[] {
  return findings.some((f) => f.code === "outline/crosses-itself")
    ? features.filter((f) => findConflicts([f.contour], 1).length === 0)
    : features;
}

/** The largest usual wires whose finishing offset, by their own schedule, every outline lets pass. */
function largestWires(
  features: readonly Feature[],
  job: Job,
  table: ProcessTable,
): Pick<Inspection, "largestWire" | "largestWireButCorners"> {
  const count = Math.min(job.passes.length, MAX_SCHEDULED_PASSES);
  const wires = WIRE_DIAMETERS.flatMap((diameter) => {
    const finish = findSchedule(table, count, {
      wire: { material: job.wire.material, diameter },
      material: job.stock.material,
      height: job.stock.thickness,
      flushing: job.process.flushing,
    })?.passes.at(-1);
    return finish ? [{ diameter, offset: diameter / 2 + finish.gap }] : [];
  }).sort((a, b) => b.offset - a.offset);
  // What a wire cannot reach no larger one can: each outline goes on where the one before it stopped.
  const passing = { all: 0, butCorners: 0 };
  for (const f of features) {
    const contour = trackContour(f);
    const reaches = wires.map(({ offset }) =>
      once(() => reachesAll(contour, offset)),
    );
    const from = (first: number, leave: number): number => {
      const found = reaches.findIndex((r, i) => i >= first && r()(leave));
      return found < 0 ? wires.length : found;
    };
    passing.butCorners = from(passing.butCorners, Number.POSITIVE_INFINITY);
    passing.all = from(Math.max(passing.all, passing.butCorners), MAX_GOUGE);
  }
  const largest = (first: number): number | null =>
    features.length === 0 || first === wires.length
      ? null
      : Math.max(...wires.slice(first).map((w) => w.diameter));
  return {
    largestWire: largest(passing.all),
    largestWireButCorners: largest(passing.butCorners),
  };
}

function once<T>(make: () => T): () => T {
  let made: { value: T } | null = null;
  return () => {
    made ??= { value: make() };
    return made.value;
  };
}

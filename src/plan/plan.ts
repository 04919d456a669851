/** The plan: pure data, written as JSON and read back by every later stage. Lengths mm, masses kg. */
import type { Finding } from "../base/finding.js";
import type { Contour } from "../geometry/contour.js";
import type { Segment } from "../geometry/segment.js";
import type { Vec } from "../geometry/vec.js";
import type { Feature, Slit } from "./feature.js";
import type { Job } from "./job/job.js";
import type { Slug } from "./slug/slug.js";

/** Where the wire is threaded. */
export interface StartHole {
  readonly at: Vec;
  /** 0: no hole, but the open beside the block, which the wire saws its way in from; of a slit also an opening that is cut. */
  readonly diameter: number;
  readonly drawn: boolean;
}

/** Metal left standing between the ends of two rough cuts; `at` is its middle on the outline. */
export interface Tab {
  readonly length: number;
  readonly at: Vec;
}

/** Where the wire gets in, and the tab behind the lead-in. */
export interface PlannedEntry {
  readonly startHole: StartHole;
  /** Where the lead-in meets the outline. */
  readonly leadPoint: Vec;
  /** null where the inside is cut away whole and nothing comes loose. */
  readonly tab: Tab | null;
}

/** What the wire does to one feature besides following it. */
export interface PlannedFeature extends Feature, PlannedEntry {
  readonly area: number;
  readonly perimeter: number;
  /** Smallest radius the wire must fit into; 0 at a sharp inside corner; null when nothing turns inward. */
  readonly minInsideRadius: { readonly value: number; readonly at: Vec } | null;
  /** Each further tab with its start hole and lead-in; none for most features. */
  readonly further: readonly PlannedEntry[];
  /** The piece that comes loose: the slug of an opening, the part itself of a part. */
  readonly slug: Slug;
}

export interface PlannedSlit extends Slit {
  /** At one of its ends, or straight on from it in the open. */
  readonly startHole: StartHole;
  /** mm, of the line. */
  readonly length: number;
  /** mm: wire and a gap on either side. */
  readonly width: number;
}

/** All places where the wire gets in to a feature. */
export function entriesOf(f: PlannedFeature): readonly PlannedEntry[] {
  return [f, ...f.further];
}

/** A hole, and the places it serves: features by id, with the number of the tab where there are several. */
export interface ServedHole {
  readonly hole: StartHole;
  readonly serves: readonly string[];
}

/** Everywhere the wire is threaded, each place once, in the order of the features; those of slits last. */
export function threadPlaces({
  features,
  slits,
}: Pick<Plan, "features" | "slits">): readonly ServedHole[] {
  const places = new Map<string, { hole: StartHole; serves: string[] }>();
  const serve = (hole: StartHole, what: string): void => {
    const key = `${hole.at.x} ${hole.at.y}`;
    const place = places.get(key) ?? { hole, serves: [] };
    place.serves.push(what);
    places.set(key, place);
  };
  for (const f of features)
    entriesOf(f).forEach(({ startHole }, i, all) => {
      serve(startHole, all.length > 1 ? `${f.id}, tab ${i + 1}` : f.id);
    });
  for (const s of slits) serve(s.startHole, s.id);
  return [...places.values()];
}

/**
 * One trip along a stretch of one feature at one pass's offset. The wire comes from `from`, meets the path
 * square to it, follows `path` (its centre), and backs off to `to`. `outline` is the same trip on the outline
 * itself, for controls that offset by G41/G42; `side` is the side of the outline on which the wire runs.
 */
export interface Stroke {
  readonly pass: number;
  /**
   * "inside": what would be the slug is cut away, clear of the outline; "slit": the wire's centre runs on the drawn line.
   * Neither has an `outline`.
   */
  readonly stretch: "open" | "tab" | "inside" | "slit";
  /** "along": a slit's, from end to end. */
  readonly direction: "ccw" | "cw" | "along";
  readonly side: "left" | "right";
  readonly from: Vec;
  readonly path: readonly Segment[];
  readonly outline: readonly Segment[];
  readonly to: Vec;
}

/** One thread of the wire: in at the start hole, along the lead to the first stroke, strokes, wire cut. */
export interface Cut {
  readonly kind: "cut";
  readonly feature: string;
  /** Does somebody have to be there: a piece comes loose, or has just been taken out. */
  readonly attended: boolean;
  readonly thread: Vec;
  /** Points the threaded wire passes in straight lines between `thread` and the first stroke's `from`. */
  readonly lead: readonly Vec[];
  readonly strokes: readonly Stroke[];
}

/** A stop where somebody must be there, before the cuts that follow it. */
export interface Stop {
  readonly kind: "stop";
  /** null: the whole block. */
  readonly feature: string | null;
  readonly action: "secure" | "remove" | "rest";
  /** For the sheet; the program carries it in ASCII. Names the feature. */
  readonly reason: string;
}

export type Step = Cut | Stop;

/** Travel with the wire out, mm. */
export interface Travel {
  readonly rapid: number;
  /** What it would be in the order of the drawing, by the same rules. */
  readonly asDrawn: number;
}

export interface Plan {
  /** The drawing's name without its ending. */
  readonly name: string;
  readonly job: Job;
  readonly stock: Contour | null;
  readonly features: readonly PlannedFeature[];
  readonly slits: readonly PlannedSlit[];
  /** Outlines that should be cut but are not planned: open, crossing, or without room for the wire. */
  readonly unplanned: readonly Contour[];
  readonly steps: readonly Step[];
  readonly travel: Travel;
  readonly findings: readonly Finding[];
}

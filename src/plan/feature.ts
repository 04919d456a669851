/** A feature: one outline with a role, and what surrounds it. Shared by the planner and by the proof. */
import type { Contour } from "../geometry/contour.js";
import type { Segment } from "../geometry/segment.js";
import type { Vec } from "../geometry/vec.js";

/**
 * `opening`: the plate outside is kept, the wire runs inside. `part`: the inside is kept, the wire runs outside.
 */
export type CutRole = "opening" | "part";

/**
 * Roles a job may give. `slit`: an open line, along which the wire's centre runs. `stock` is the block's own edge, never
 * cut; `ignore` is not there at all.
 */
export type Role = CutRole | "slit" | "stock" | "ignore";

export interface Feature {
  /**
   * "opening-1", "part-1"… in drawing order, by the role that layers and nesting give; a role that the job gives this
   * very feature changes its role and not its id.
   */
  readonly id: string;
  readonly role: CutRole;
  readonly layer: string;
  /** Closed and counter-clockwise. */
  readonly contour: Contour;
  /** How many other cut features enclose it; deeper ones are cut first. */
  readonly depth: number;
  /** Id of the feature right around it. */
  readonly parent: string | null;
}

/** An open line that the wire cuts along once, at the rough's settings: nothing comes loose of it. */
export interface Slit {
  /** "slit-1", "slit-2"… from left to right by where they begin. */
  readonly id: string;
  readonly layer: string;
  /** Open, in the direction drawn. */
  readonly contour: Contour;
}

/** A hole that is already in the block, or drawn where one shall be. */
export interface DrawnHole {
  readonly at: Vec;
  /** mm; null for a POINT: the job's diameter holds. */
  readonly diameter: number | null;
}

/** All that is to be cut, and the block around it. */
export interface Layout {
  readonly features: readonly Feature[];
  readonly slits: readonly Slit[];
  /** The block's own edge, where it is drawn. */
  readonly stock: Contour | null;
  readonly holes: readonly DrawnHole[];
  /** Where tabs are drawn. */
  readonly tabMarks: readonly Vec[];
  /** Lines along the edges that may take neither tab nor lead-in. */
  readonly keepOff: readonly Segment[];
}

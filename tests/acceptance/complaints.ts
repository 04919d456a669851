/** What the judge has to say, and how it writes places and lengths. */
import type { Pt } from "./plane.js";
import type { Known } from "./truth.js";

export interface Complaint {
  readonly check: string;
  readonly text: string;
}

export type Complain = (check: string, what: string) => void;

/** The true outline of each printed feature that has one. */
export type Who = ReadonlyMap<string, Known>;

export const show = (p: Pt): string => `(${p.x.toFixed(4)}, ${p.y.toFixed(4)})`;

export const um = (d: number): string => `${(d * 1000).toFixed(3)} µm`;

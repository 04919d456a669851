/** What a program's text says, once read: plain data with the line each thing came from. mm, absolute. */
import type { Finding } from "../base/finding.js";
import type { Segment } from "../geometry/segment.js";
import type { Vec } from "../geometry/vec.js";

/** One thing the machine does, in program order. */
export type Action =
  | {
      readonly kind: "rapid";
      readonly line: number;
      readonly from: Vec;
      readonly to: Vec;
    }
  /** G01 to G03 as programmed. With `compensation` the wire runs beside the segment, not on it. */
  | {
      readonly kind: "feed";
      readonly line: number;
      readonly segment: Segment;
      readonly compensation: Compensation | null;
    }
  | { readonly kind: "thread"; readonly line: number; readonly at: Vec }
  | { readonly kind: "cut-wire"; readonly line: number; readonly at: Vec }
  /** G04: standing still for a while. */
  | { readonly kind: "dwell"; readonly line: number; readonly at: Vec }
  | { readonly kind: "flushing"; readonly line: number; readonly on: boolean }
  /** M00, or M01 and whatever stands in a block marked / (`optional`); with the comments in or right above its block. */
  | {
      readonly kind: "stop";
      readonly line: number;
      readonly optional: boolean;
      readonly comment: string;
    }
  | { readonly kind: "end"; readonly line: number };

/** Cutter compensation in force: G41 wire left of the programmed path, G42 right, with its D register. */
export interface Compensation {
  readonly side: "left" | "right";
  readonly register: number;
}

export interface ProgramText {
  readonly units: "mm" | "in";
  readonly actions: readonly Action[];
  readonly blocks: number;
  /** Count of each word letter+number of the G and M kinds, e.g. { G01: 120, M00: 2 }. */
  readonly words: Readonly<Record<string, number>>;
  /** Unknown words, radii that disagree, a rapid that carries no coordinates… with line and column. */
  readonly findings: readonly Finding[];
}

/** A drawing of the outside judge, and the ways of laying a shape on it. */
import { Units } from "@tarikjabiri/dxf";
import {
  newSheet,
  type Placing,
  type Sheet,
  STYLES,
  type Style,
} from "./draw.js";
import { pt } from "./plane.js";
import type { Asked } from "./printed.js";
import { type Drawn, from, MAKERS, oneOf, type Random } from "./shapes.js";
import type { Role, TrueOutline, Truth } from "./truth.js";

export interface Case {
  readonly name: string;
  readonly seed: number;
  readonly dxf: string;
  readonly job: object | null;
  readonly args: readonly string[];
  readonly asked: Asked;
  readonly truth: Truth;
  /** A refusal with an error finding is as good an answer as a right program. */
  readonly mayRefuse?: boolean;
}

/** What a family makes of a seed. */
export type Family = (seed: number) => Omit<Case, "name" | "seed">;

const UNITS: Readonly<Record<string, readonly [Units, number]>> = {
  mm: [Units.Millimeters, 1],
  in: [Units.Inches, 25.4],
  cm: [Units.Centimeters, 10],
  m: [Units.Meters, 1000],
  micron: [Units.Microns, 0.001],
};

export const sheetIn = (r: Random, unit: string): Sheet => {
  const [code, mm] = UNITS[unit] as readonly [Units, number];
  return newSheet(code, mm, r);
};

export const anywhere = (r: Random, reach: number): Placing => ({
  mirror: r() < 0.4,
  scale: 1,
  turn: r() < 0.3 ? 0 : from(r, 0, 2 * Math.PI),
  to: pt(from(r, -reach, reach), from(r, -reach, reach)),
});

export const as = (d: Drawn, role: Role, layer: string): TrueOutline => ({
  kind: d.kind,
  spans: d.spans,
  role,
  layer,
});

export const anyStyle = (r: Random): Style => oneOf(r, STYLES);
export const makerNames = Object.keys(MAKERS);
export const make = (r: Random, name: string): Drawn =>
  (MAKERS[name] as (r: Random) => Drawn)(r);

/** What a job decides by hand for single features, and how it is brought to mm. */
import type { Vec } from "../../geometry/vec.js";
import type { Role } from "../feature.js";
import type { JobFile } from "./file.js";
import { badValue, type LengthReader } from "./values.js";

/** By hand for one feature; null: the planner decides. Points are places in the drawing, mm. */
export interface FeatureWish {
  readonly role: Role | null;
  readonly startHole: Vec | null;
  /** Over the job's own `start`. */
  readonly start: Start | null;
  /** All tabs that it is to have; none: the planner decides. */
  readonly tabs: readonly TabWish[];
  /** Where the lead-in meets the outline. */
  readonly lead: Vec | null;
  /** Stretches with neither tab nor lead-in, from one point of the outline counter-clockwise to another. */
  readonly keepOff: readonly { readonly from: Vec; readonly to: Vec }[];
}

export interface TabWish {
  /** Its middle on the outline. */
  readonly at: Vec;
  /** The metal that is to stand, mm; null: as `tabs.length` says. */
  readonly length: number | null;
}

/** How the wire gets in: through a hole, or from the edge of the block. */
export type Start = "hole" | "edge";

export type FeatureWishes = Readonly<Record<string, FeatureWish>>;

/** What nobody decided by hand. */
export const NO_WISH: FeatureWish = {
  role: null,
  startHole: null,
  start: null,
  tabs: [],
  lead: null,
  keepOff: [],
};

/** mm; no drawing reaches farther. */
const FAR = 1e6;

export function settleFeatures(
  said: JobFile["features"],
  length: LengthReader,
): FeatureWishes {
  const point = (path: string, value: readonly number[]): Vec => {
    const [x, y] = value.map((v, i) =>
      length(`${path}[${i}]`, v, [-FAR, FAR]),
    ) as [number, number];
    return { x, y };
  };
  const wishes = Object.entries(said ?? {}).map(([id, f]) => {
    const path = `features.${id}`;
    if (f.startHole && f.start === "edge")
      throw badValue(
        `${path}.start`,
        `left out, or "hole", where ${path}.startHole places a hole`,
        f.start,
      );
    const tabs = [f.tab ?? []].flat();
    const pathOf = (i: number): string =>
      Array.isArray(f.tab) ? `${path}.tab[${i}]` : `${path}.tab`;
    if (f.lead && tabs.length > 1)
      throw badValue(
        `${path}.lead`,
        `left out where ${path}.tab lists several tabs: each has its lead-in right before it`,
        "a place",
      );
    const wish: FeatureWish = {
      role: f.role ?? null,
      start: f.start ?? null,
      startHole: f.startHole ? point(`${path}.startHole`, f.startHole) : null,
      tabs: tabs.map((t, i) => ({
        at: point(`${pathOf(i)}.at`, t.at),
        length: length(`${pathOf(i)}.length`, t.length, [0.05, 50]) ?? null,
      })),
      lead: f.lead ? point(`${path}.lead.at`, f.lead.at) : null,
      keepOff: (f.keepOff ?? []).map(({ from, to }, i) => ({
        from: point(`${path}.keepOff[${i}].from`, from),
        to: point(`${path}.keepOff[${i}].to`, to),
      })),
    };
    return [id, wish] as const;
  });
  return Object.fromEntries(wishes);
}

/** What a change by hand writes into the job file. Pure. */
import {
  entriesOf,
  type Job,
  type JobFile,
  type LengthUnit,
  mmPer,
  type PlannedFeature,
  type Vec,
} from "../../src/index.js";
import { type Path, withValue } from "../desk/desk.js";

/** A thing of an outline that can be moved by hand. */
export type Grip = {
  /** What the user calls it. */
  readonly name: string;
  /** Where it is, mm. */
  readonly at: Vec;
} & (
  | { readonly kind: "startHole" | "tab" | "lead" }
  | {
      /** An end of the stretch of that number, on which no tab may stand. */
      readonly kind: "keepOff";
      readonly index: number;
      readonly end: "from" | "to";
    }
);

/** Those that the outline has. Each of several tabs takes its lead-in with it. */
export function gripsOf(f: PlannedFeature, job: Job): readonly Grip[] {
  const tabs = tabsOf(f);
  const free = stretchesOf(f, job);
  return [
    { kind: "startHole", name: "hole", at: f.startHole.at },
    ...tabs.map((at, i): Grip => {
      const name = tabs.length > 1 ? `tab ${i + 1}` : "tab";
      return { kind: "tab", name, at };
    }),
    ...(tabs.length > 1
      ? []
      : [{ kind: "lead", name: "lead-in", at: f.leadPoint } as const]),
    ...free.flatMap((stretch, index) =>
      (["from", "to"] as const).map((end): Grip => {
        const number = free.length > 1 ? ` ${index + 1}` : "";
        const name = `no tab${number} ${end}`;
        return { kind: "keepOff", name, at: stretch[end], index, end };
      }),
    ),
  ];
}

/** Where no tab may stand: each from one point of the outline counter-clockwise to another, mm. */
export function stretchesOf(
  f: PlannedFeature,
  job: Job,
): readonly { readonly from: Vec; readonly to: Vec }[] {
  return job.features[f.id]?.keepOff ?? [];
}

export function tabsOf(f: PlannedFeature): Vec[] {
  return entriesOf(f).flatMap(({ tab }) =>
    tab && tab.length > 0 ? [tab.at] : [],
  );
}

/** Decimals: a micron, and a hundred-thousandth of an inch. */
const DECIMALS = { mm: 3, in: 5 } as const;

/** A place as the job file writes it, in its own unit. */
export function jobPlace(p: Vec, units: LengthUnit): [number, number] {
  const round = (mm: number): number =>
    Number((mm / mmPer(units)).toFixed(DECIMALS[units]));
  return [round(p.x), round(p.y)];
}

/** Where the job file says where things of a kind are. */
export function pathOf(feature: string, kind: Grip["kind"]): Path {
  return ["features", feature, kind];
}

/** The job with a thing moved to `to` (mm), or all of its kind left to the plan again with `undefined`. */
export function moved(
  job: JobFile,
  f: PlannedFeature,
  grip: Grip,
  to: Vec | undefined,
): JobFile {
  const { kind } = grip;
  const path = pathOf(f.id, kind);
  const at = to && jobPlace(to, job.units ?? "mm");
  if (grip.kind === "keepOff") {
    const said = job.features?.[f.id]?.keepOff ?? [];
    const ends = said.map((s, i) =>
      i === grip.index ? { ...s, [grip.end]: at } : s,
    );
    return withValue(job, path, at && ends);
  }
  if (kind === "startHole") return withValue(job, path, at);
  // The tab lies right behind the lead-in: whoever moves the one moves the other with it.
  const free = withValue(
    job,
    pathOf(f.id, kind === "tab" ? "lead" : "tab"),
    undefined,
  );
  if (!at || kind === "lead") return withValue(free, path, at && { at });
  const tabs = tabsSaid(job, f).map(({ from, tab }) =>
    isSamePlace(from, grip.at) ? { ...tab, at } : tab,
  );
  return withValue(free, path, tabs.length === 1 ? tabs[0] : tabs);
}

interface JobTab {
  readonly at: readonly number[];
  readonly length?: number | undefined;
}

/** All tabs as the job file says them, or would, with where they stand now, mm; lengths that were said stay. */
export function tabsSaid(
  job: JobFile,
  f: PlannedFeature,
): { readonly from: Vec; readonly tab: JobTab }[] {
  const units = job.units ?? "mm";
  const same = BESIDE / mmPer(units);
  const said: readonly JobTab[] = [job.features?.[f.id]?.tab ?? []].flat();
  return tabsOf(f).map((from) => {
    const at = jobPlace(from, units);
    return {
      from,
      tab: said.find((s) => distanceOf(s.at, at) < same) ?? { at },
    };
  });
}

export function isSamePlace(a: Vec, b: Vec): boolean {
  return a.x === b.x && a.y === b.y;
}

/** mm: as far as a tab that is said may lie beside the outline, and less than any two tabs lie apart. */
const BESIDE = 1;

function distanceOf(
  [ax = 0, ay = 0]: readonly number[],
  [bx = 0, by = 0]: readonly number[],
): number {
  return Math.hypot(ax - bx, ay - by);
}

/** Features in the order of their first cut, with one moved by `steps` places. */
export function reordered(
  features: readonly string[],
  moving: string,
  to: number,
): readonly string[] {
  const rest = features.filter((f) => f !== moving);
  const place = Math.max(0, Math.min(rest.length, to));
  return [...rest.slice(0, place), moving, ...rest.slice(place)];
}

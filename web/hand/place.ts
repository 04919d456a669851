/** What a change by hand writes into the job file. Pure. */
import {
  entriesOf,
  type JobFile,
  type LengthUnit,
  mmPer,
  type PlannedFeature,
  type Vec,
} from "../../src/index.js";
import { type Path, withValue } from "../desk/desk.js";

/** A thing of an outline that can be moved by hand. */
export interface Grip {
  readonly kind: "startHole" | "tab" | "lead";
  /** What the user calls it. */
  readonly name: string;
  /** Where it is, mm. */
  readonly at: Vec;
}

/** Those that the outline has. Each of several tabs takes its lead-in with it. */
export function gripsOf(f: PlannedFeature): readonly Grip[] {
  const tabs = tabsOf(f);
  return [
    { kind: "startHole", name: "hole", at: f.startHole.at },
    ...tabs.map((at, i): Grip => {
      const name = tabs.length > 1 ? `tab ${i + 1}` : "tab";
      return { kind: "tab", name, at };
    }),
    ...(tabs.length > 1
      ? []
      : [{ kind: "lead", name: "lead-in", at: f.leadPoint } as const]),
  ];
}

function tabsOf(f: PlannedFeature): Vec[] {
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
  if (kind === "startHole") return withValue(job, path, at);
  // The tab lies right behind the lead-in: whoever moves the one moves the other with it.
  const free = withValue(
    job,
    pathOf(f.id, kind === "tab" ? "lead" : "tab"),
    undefined,
  );
  if (!at || kind === "lead") return withValue(free, path, at && { at });
  return withValue(free, path, tabsMoved(job, f, grip.at, at));
}

interface JobTab {
  readonly at: readonly number[];
  readonly length?: number | undefined;
}

/** All tabs as the job file says them, with the one that stands at `from` moved; lengths that were said stay. */
function tabsMoved(
  job: JobFile,
  f: PlannedFeature,
  from: Vec,
  to: readonly number[],
): JobTab | JobTab[] {
  const units = job.units ?? "mm";
  const same = BESIDE / mmPer(units);
  const said: readonly JobTab[] = [job.features?.[f.id]?.tab ?? []].flat();
  const all = tabsOf(f);
  const tabs = all.map((tab): JobTab => {
    const at = jobPlace(tab, units);
    const known = said.find((s) => distanceOf(s.at, at) < same) ?? { at };
    return tab === from ? { ...known, at: to } : known;
  });
  const [only] = tabs;
  return only && tabs.length === 1 ? only : tabs;
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

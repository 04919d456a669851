/**
 * What a program does to the work, found without any of the proof's code: the outside judge's reader says where the
 * wire's centre went, and at places along every outline its distance is written down, visit by visit. Two programs of
 * which all this is alike cut the same.
 */
import { type Replay, replay } from "../acceptance/replay.js";
import { differences } from "./compare.js";
import type { Difference } from "./difference.js";
import type { GoodProgram } from "./good-programs.js";
import { freesEarly, freesMore } from "./raster.js";
import {
  type Deeds,
  dryLines,
  type Place,
  passesAt,
  placeFinder,
  placesBetween,
  placesOf,
  SAME_PASS,
  type Visit,
  visitsOf,
} from "./visits.js";

export interface Oracle {
  readonly places: readonly Place[];
  readonly good: Deeds;
  /** In what the mutant differs from the good program, in words; empty: it cuts the same. */
  readonly compare: (text: string) => readonly Difference[];
  /** On a raster: do more pieces come loose than in the good program? */
  readonly freesMore: (text: string) => boolean;
  /**
   * Looked at more closely, on a raster: does a piece come loose before the first stop for its feature? "surely": with
   * the kerf painted thin, "maybe": painted wide. `web`: mm of metal that counts as none.
   */
  readonly frees: (
    text: string,
    how: "surely" | "maybe",
    web?: number,
  ) => boolean;
  /** "surely", and in the good program no piece does. */
  readonly freesAnew: (text: string) => boolean;
}

export function oracleOf(good: GoodProgram): Oracle {
  const { passes } = good.job;
  const registers = Object.fromEntries(passes.map((p) => [p.number, p.offset]));
  const near = Math.max(...passes.map((p) => p.offset)) + 0.002;
  // The judge's reader knows no "/": a stop that may be left out is an optional one.
  const read = (text: string): Replay =>
    replay(text.replace(/^\/(.*)M00/gm, "$1M01"), registers);
  const run = read(good.text);
  const places = placesOf(good, run, near);
  const find = placeFinder(places);
  const visits = visitsOf(places, find, run, near);
  const offsets = passes.map((p) => p.offset);
  const own = good.layout.features.map((f, n) =>
    places.flatMap((p, k) => {
      if (p.feature !== n || p.corner) return [];
      const [first] = passesAt(visits[k] as Visit[], offsets);
      if (first === undefined) return [];
      // A corner of an opening that only a skim fits into does not hold the slug.
      return f.role === "part" || first > (offsets[0] as number) - SAME_PASS
        ? [k]
        : [];
    }),
  );
  const goodDeeds = {
    own,
    visits,
    replay: run,
    dry: dryLines(good.text, run),
  };
  return {
    places,
    good: goodDeeds,
    compare: (text) => {
      const r = read(text);
      const between = placesBetween(good, run, r, near);
      const at = placeFinder(between);
      return differences(
        good,
        [...places, ...between],
        {
          ...goodDeeds,
          visits: [...visits, ...visitsOf(between, at, run, near)],
        },
        {
          own,
          visits: [
            ...visitsOf(places, find, r, near),
            ...visitsOf(between, at, r, near),
          ],
          replay: r,
          dry: dryLines(text, r),
        },
      );
    },
    freesMore: (text) => freesMore(good, run, read(text)),
    frees: (text, how, web = 0) =>
      freesEarly(good, read(text), how === "surely", web),
    freesAnew: (text) =>
      freesEarly(good, read(text), true, 0) && !freesEarly(good, run, true, 0),
  };
}

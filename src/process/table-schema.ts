/** What a process table may say, as a strict schema: the whole table, and a shop's own rows over it. */
import * as v from "valibot";
import {
  aboveZero,
  group,
  listOf,
  pairOf,
  text,
  wholeFrom,
  zeroOrMore,
} from "./allowed.js";
import { MAX_SCHEDULED_PASSES } from "./schedules.js";

const rows = {
  wire: {
    density: aboveZero,
    relativeRate: aboveZero,
    diameters: pairOf(aboveZero),
    feed: aboveZero,
    spool: aboveZero,
    source: text,
  },
  material: {
    title: text,
    density: aboveZero,
    relativeRate: aboveZero,
    relativeGap: aboveZero,
    strength: v.union(
      [v.literal("brittle"), group({ yield: aboveZero, shear: aboveZero })],
      '"brittle", or a yield and a shear strength',
    ),
    source: text,
  },
  schedule: {
    wire: group({ material: text, diameter: aboveZero }),
    material: text,
    height: aboveZero,
    passes: listOf(
      group({ gap: aboveZero, leave: zeroOrMore, areaRate: aboveZero }),
      1,
      MAX_SCHEDULED_PASSES,
    ),
    ra: pairOf(aboveZero),
    tolerance: aboveZero,
    source: text,
  },
  heightCurve: {
    points: listOf(
      v.strictTuple([zeroOrMore, aboveZero], "a height and a factor"),
      1,
      100,
    ),
    source: text,
  },
  flushing: {
    title: text,
    roughRate: aboveZero,
    roughGap: aboveZero,
    pressure: zeroOrMore,
    jetDiameter: aboveZero,
    source: text,
  },
  tabs: {
    rows: listOf(
      group({
        below: v.nullable(aboveZero),
        length: aboveZero,
        count: wholeFrom(1, 9),
        source: text,
      }),
      1,
      20,
    ),
    longest: aboveZero,
    lightest: zeroOrMore,
    safety: aboveZero,
    source: text,
  },
  drilling: {
    sizes: listOf(aboveZero, 1, 30),
    depthRatio: aboveZero,
    position: zeroOrMore,
    drift: zeroOrMore,
    source: text,
  },
  working: {
    thread: zeroOrMore,
    stop: zeroOrMore,
    setup: zeroOrMore,
    rateRange: pairOf(aboveZero),
    source: text,
  },
};

const named = <const T extends v.ObjectEntries>(entries: T) =>
  v.record(v.string(), group(entries), "a group of names and rows");

export const TableSchema = group({
  wires: named(rows.wire),
  materials: named(rows.material),
  schedules: named(rows.schedule),
  heightCurve: group(rows.heightCurve),
  flushing: group({ sealed: group(rows.flushing), open: group(rows.flushing) }),
  tabs: group(rows.tabs),
  drilling: group(rows.drilling),
  working: group(rows.working),
});

const some = <const T extends v.ObjectEntries>(entries: T) =>
  v.partial(group(entries));
const someNamed = <const T extends v.ObjectEntries>(entries: T) =>
  v.optional(v.record(v.string(), some(entries), "a group of names and rows"));

/** What a shop's own table may say: any rows, and of a row that is built in only what differs. */
export const OwnTableSchema = group({
  wires: someNamed(rows.wire),
  materials: someNamed(rows.material),
  schedules: someNamed(rows.schedule),
  heightCurve: v.optional(some(rows.heightCurve)),
  flushing: v.optional(
    group({
      sealed: v.optional(some(rows.flushing)),
      open: v.optional(some(rows.flushing)),
    }),
  ),
  tabs: v.optional(some(rows.tabs)),
  drilling: v.optional(some(rows.drilling)),
  working: v.optional(some(rows.working)),
});

/** What a process table may say, as a strict schema: the whole table, and a shop's own rows over it. */
import * as v from "valibot";
import {
  group,
  listOf,
  pairOf,
  text,
  upTo,
  wholeFrom,
  zeroTo,
} from "./allowed.js";
import { MAX_SCHEDULED_PASSES } from "./schedules.js";

/**
 * Limits far beyond what any machine does: past them a figure is in another unit, or has slipped a point. Densities in
 * kg/m³ and gaps in µm are the usual ones.
 */
const density = upTo(25, "g/cm³");
const share = upTo(20, "1: as the row it is compared with");
const strength = upTo(10_000, "MPa");
const diameter = upTo(1, "mm");
const minutes = zeroTo(10_000, "min");

const rows = {
  wire: {
    density,
    relativeRate: share,
    diameters: pairOf(diameter),
    feed: upTo(100, "m/min"),
    spool: upTo(100, "kg"),
    source: text,
  },
  material: {
    title: text,
    density,
    relativeRate: share,
    relativeGap: share,
    strength: v.union(
      [v.literal("brittle"), group({ yield: strength, shear: strength })],
      '"brittle", or a yield and a shear strength',
    ),
    source: text,
  },
  schedule: {
    wire: group({ material: text, diameter }),
    material: text,
    height: upTo(1000, "mm"),
    passes: listOf(
      group({
        gap: upTo(1, "mm"),
        leave: zeroTo(5, "mm"),
        areaRate: upTo(5000, "mm²/min"),
      }),
      1,
      MAX_SCHEDULED_PASSES,
    ),
    ra: pairOf(upTo(50, "µm")),
    tolerance: upTo(1, "mm"),
    source: text,
  },
  heightCurve: {
    points: listOf(
      v.strictTuple([zeroTo(1000, "mm"), upTo(20)], "a height and a factor"),
      1,
      100,
    ),
    source: text,
  },
  flushing: {
    title: text,
    roughRate: share,
    roughGap: share,
    pressure: zeroTo(50, "MPa"),
    jetDiameter: upTo(100, "mm"),
    source: text,
  },
  tabs: {
    rows: listOf(
      group({
        below: v.nullable(upTo(10_000, "kg")),
        length: upTo(100, "mm"),
        count: wholeFrom(1, 9),
        source: text,
      }),
      1,
      20,
    ),
    longest: upTo(100, "mm"),
    lightest: zeroTo(1, "kg"),
    safety: upTo(100),
    source: text,
  },
  drilling: {
    sizes: listOf(upTo(50, "mm"), 1, 30),
    depthRatio: upTo(1000),
    position: zeroTo(5, "mm"),
    drift: zeroTo(0.1, "mm for each mm of depth"),
    source: text,
  },
  working: {
    thread: minutes,
    stop: minutes,
    setup: minutes,
    rateRange: pairOf(upTo(20)),
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

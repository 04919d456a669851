/** The process table: every number of the trade that a plan rests on, each row with its source, and a shop's own rows over it. */
import * as v from "valibot";
import { InputError } from "../base/finding.js";
import { readJson } from "../base/json-fault.js";
import { shapeFaults } from "../base/shape-faults.js";
import { FLUSHING, type Flushing, type FlushingName } from "./flushing.js";
import { MATERIALS, type Material } from "./materials.js";
import {
  HEIGHT_CURVE,
  type HeightCurve,
  SCHEDULES,
  type Schedule,
} from "./schedules.js";
import { DRILLING, type DrillRules } from "./start-holes.js";
import { OwnTableSchema, TableSchema } from "./table-schema.js";
import { tableNonsense } from "./table-sense.js";
import { TABS, type TabRules } from "./tabs.js";
import { WIRES, type WireKind } from "./wires.js";
import { WORKING, type Working } from "./working.js";

export interface ProcessTable {
  readonly wires: Readonly<Record<string, WireKind>>;
  readonly materials: Readonly<Record<string, Material>>;
  readonly schedules: Readonly<Record<string, Schedule>>;
  readonly heightCurve: HeightCurve;
  readonly flushing: Readonly<Record<FlushingName, Flushing>>;
  readonly tabs: TabRules;
  readonly drilling: DrillRules;
  readonly working: Working;
}

/** A shop's own rows; lengths in mm whatever the job's unit. */
export type OwnTable = v.InferOutput<typeof OwnTableSchema>;

export const BUILT_IN: ProcessTable = {
  wires: WIRES,
  materials: MATERIALS,
  schedules: SCHEDULES,
  heightCurve: HEIGHT_CURVE,
  flushing: FLUSHING,
  tabs: TABS,
  drilling: DRILLING,
  working: WORKING,
};

/**
 * The table that holds: the built-in one with a shop's own laid over it, row by row and key by key. A row that is
 * not built in must be whole. Own schedules hide the built-in ones for the same wire material, work material and
 * number of passes, so that a machine's figures are never mixed with common practice.
 *
 * @param text a JSON file's.
 * @throws {InputError} `process/not-json`, `process/unknown-key` or `process/bad-value`, naming every fault.
 */
export function readProcessTable(text: string): ProcessTable {
  const json = readJson(text);
  if (!json.ok)
    throw new InputError(
      "process/not-json",
      `the process table is not valid JSON: ${json.message}`,
    );
  const own = checked(json.value, OwnTableSchema) as OwnTable;
  const table = checked(overlaid(own), TableSchema) as ProcessTable;
  const nonsense = tableNonsense(table);
  if (nonsense.length > 0)
    throw new InputError(
      "process/bad-value",
      `the process table: ${nonsense.join("; ")}`,
    );
  return table;
}

function checked(
  value: unknown,
  schema: typeof OwnTableSchema | typeof TableSchema,
): unknown {
  const result = v.safeParse(schema, value);
  const faults = shapeFaults(value, result, schema, "it");
  const [first] = faults;
  if (!first) return result.output;
  throw new InputError(
    `process/${first.kind}`,
    `the process table: ${faults.map((f) => f.message).join("; ")}`,
  );
}

function overlaid(own: OwnTable): unknown {
  const over = (
    base: Readonly<Record<string, object>>,
    rows: Readonly<Record<string, object | undefined>> = {},
  ): Record<string, object> => {
    const all: Record<string, object> = { ...base };
    for (const [key, row] of Object.entries(rows))
      all[key] = { ...base[key], ...row };
    return all;
  };
  const schedules = over(BUILT_IN.schedules, own.schedules);
  const mine = Object.keys(own.schedules ?? {});
  const kind = (key: string): string => {
    const { wire, material, passes } = schedules[key] as Partial<Schedule>;
    return JSON.stringify([wire?.material, material, passes?.length]);
  };
  const owned = new Set(mine.map(kind));
  return {
    wires: over(BUILT_IN.wires, own.wires),
    materials: over(BUILT_IN.materials, own.materials),
    schedules: Object.fromEntries(
      Object.entries(schedules).filter(
        ([key]) => mine.includes(key) || !owned.has(kind(key)),
      ),
    ),
    heightCurve: { ...BUILT_IN.heightCurve, ...own.heightCurve },
    flushing: over(BUILT_IN.flushing, own.flushing),
    tabs: { ...BUILT_IN.tabs, ...own.tabs },
    drilling: { ...BUILT_IN.drilling, ...own.drilling },
    working: { ...BUILT_IN.working, ...own.working },
  };
}

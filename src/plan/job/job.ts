/** The job: what the user decides. `JobFile` is what a file may say (DESIGN 5); `Job` is that with every value settled, mm. */
import { InputError } from "../../base/finding.js";
import { nearest } from "../../base/shape-faults.js";
import {
  CHAIN_GAP,
  CURVE_FIT,
  PROGRAM_RESOLUTION,
} from "../../base/tolerance.js";
import { type LengthUnit, mmPer } from "../../base/units.js";
import type { Box } from "../../geometry/segment.js";
import type { FlushingName } from "../../process/flushing.js";
import { BUILT_IN, type ProcessTable } from "../../process/table.js";
import type { Role } from "../feature.js";
import { type FeatureWishes, type Start, settleFeatures } from "./features.js";
import { checkJobFile, type JobFile } from "./file.js";
import { type LeadRules, settleLead } from "./lead.js";
import { registersIn, travelIn } from "./machine.js";
import { settlePasses } from "./passes.js";
import { type JobProcess, settleProcess } from "./process.js";
import {
  checkRelief,
  checkTaken,
  settleRelief,
  withReliefCut,
} from "./relief.js";
import { type StartHoleRules, settleStartHoles } from "./start-holes.js";
import { badValue, lengthReader, quiet } from "./values.js";

/** One trip round at one offset. offset = wire radius + gap + leave (geometry). */
export interface Pass {
  /** 1 is the rough. */
  readonly number: number;
  readonly kind: "rough" | "skim";
  /** Spark gap per side at this pass's power. */
  readonly gap: number;
  /** Stock left for the passes after it, per side; 0 on the last. */
  readonly leave: number;
  readonly offset: number;
  /** mm²/min of cut face, for the estimate. */
  readonly areaRate: number;
}

/** Costs, each in `currency`. */
export interface Rates {
  readonly machineHour: number;
  readonly labourHour: number;
  readonly wireKg: number;
  readonly currency: string;
}

/** Every choice settled; lengths mm. */
export interface Job {
  /** The unit the job file and the program are written in. */
  readonly units: LengthUnit;
  readonly stock: {
    /** A row of the process table. */
    readonly material: string;
    readonly thickness: number;
  };
  readonly wire: { readonly diameter: number; readonly material: string };
  readonly flushing: FlushingName;
  readonly passes: readonly Pass[];
  /** The rows of the process table that hold for this job. */
  readonly process: JobProcess;
  /** What an hour and a kilogram cost; null: not asked for. */
  readonly rates: Rates | null;
  readonly roles: {
    readonly outer: "part" | "stock" | "opening";
    readonly layers: Readonly<Record<string, Role>>;
  };
  /** Of the parts that lie in the block itself. */
  readonly start: Start;
  readonly startHoles: StartHoleRules;
  readonly lead: LeadRules;
  readonly tabs: {
    readonly length: number | "auto";
    readonly minSlugArea: number;
    /** Points and circles on it mark where tabs shall stand. */
    readonly layer: string | null;
    /** No tab and no lead-in near a line on it. */
    readonly keepOffLayer: string | null;
  };
  readonly features: FeatureWishes;
  /** All first passes, slugs out, a rest, then all others. */
  readonly stressRelief: boolean;
  /** Passes of the features in which a pass has to leave less stock than `passes` says, worked out from the layout. */
  readonly fitted: Readonly<Record<string, readonly Pass[]>>;
  readonly order: {
    readonly rule: "unattended-first" | "one-by-one";
    /** Ids of the features to cut first, in this order. */
    readonly features: readonly string[];
  };
  /** How the drawing is read. */
  readonly drawing: {
    /** Layers to read; null: all. Those with start holes, tabs and marks are read besides. */
    readonly only: readonly string[] | null;
    readonly skip: readonly string[];
    readonly skipLineTypes: readonly string[];
    /** Ends nearer than this are joined. */
    readonly gap: number;
    /** How far arcs and lines may run from a drawn curve. */
    readonly fit: number;
    /** How far from short chords the curves may run that replace them; null: chords stay. */
    readonly refit: number | null;
  };
  readonly program: {
    readonly compensation: "path" | "control";
    /** "neutral", or the name of a word-table file that the caller loads. */
    readonly words: string;
    readonly resolution: number;
    /** What stands in the control's registers, by number; null: in register k the offset of pass k. */
    readonly registers: Readonly<Record<number, number>> | null;
  };
  /** The box the wire can be moved in, program coordinates; null: not said. */
  readonly travel: Box | null;
  /** Where each value that the user did not give came from, for the sheet: "wire 0.25 mm brass (default: everyday wire)". */
  readonly assumptions: readonly string[];
}

/** The passes of one feature. */
export function passesOf(job: Job, feature: string): readonly Pass[] {
  return job.fitted[feature] ?? job.passes;
}

/** A register of the D table, for controls that offset the wire by themselves: one for every offset there is. */
export interface Register {
  readonly number: number;
  readonly pass: Pass;
  /** The feature it is for; null: every one without registers of its own. */
  readonly feature: string | null;
}

/** Registers numbered like the passes, then one for each pass that a feature runs at another offset. */
export function registersOf({ passes, fitted }: Job): Register[] {
  const own = Object.entries(fitted).flatMap(([feature, list]) =>
    list
      .filter((p, i) => p.offset !== passes[i]?.offset)
      .map((pass) => ({ pass, feature })),
  );
  return [
    ...passes.map((pass) => ({ number: pass.number, pass, feature: null })),
    ...own.map((r, i) => ({ ...r, number: passes.length + 1 + i })),
  ];
}

/** Number of the register that holds a pass's offset on a feature. */
export function registerOf(job: Job, feature: string, pass: Pass): number {
  return (
    registersOf(job).find(
      (r) => r.feature === feature && r.pass.number === pass.number,
    )?.number ?? pass.number
  );
}

/** Width of the rough's kerf, mm: wire and a gap on either side. */
export function roughKerf({ passes, wire }: Job): number {
  return wire.diameter + 2 * (passes[0] as Pass).gap;
}

/** Width of the narrowest kerf of all passes, mm. */
export function narrowestKerf({ passes, wire }: Job): number {
  return wire.diameter + 2 * Math.min(...passes.map((p) => p.gap));
}

/**
 * mm² under which a piece is a crumb: a square of half the narrowest kerf. Such a piece passes through the kerf it
 * was cut by, and the flushing carries it off: no slug. Common practice, no source.
 */
export function crumbArea(job: Job): number {
  return (narrowestKerf(job) / 2) ** 2;
}

/** What the command line says over the job file. Lengths in the settled unit; words are checked like the file's. */
export interface JobOverrides {
  readonly wire?: number | undefined;
  readonly thickness?: number | undefined;
  readonly material?: string | undefined;
  readonly passes?: number | undefined;
  readonly outer?: string | undefined;
  readonly units?: string | undefined;
  readonly only?: readonly string[] | undefined;
  readonly skip?: readonly string[] | undefined;
  readonly skipLineTypes?: readonly string[] | undefined;
}

const DEFAULT_MM = {
  thickness: 25,
  wire: 0.25,
} as const;

/**
 * Settles every choice: overrides before the file, the file before defaults, lengths brought to mm.
 * What nobody decided is said in `assumptions`.
 *
 * @param own the table that the job's `process` names; the built-in one without it.
 * @throws {InputError} `job/unknown-key`, `job/bad-value` or `process/not-given`.
 */
export function settleJob(
  file: JobFile,
  overrides: JobOverrides = {},
  own?: ProcessTable,
): Job {
  const said = checkJobFile(withOverrides(file, overrides));
  if (said.process !== undefined && !own)
    throw new InputError(
      "process/not-given",
      `the job takes its figures from the process table "${said.process}", but that table was not given; add the file, or leave "process" out`,
    );
  const table = own ?? BUILT_IN;
  const units = said.units ?? "mm";
  const length = lengthReader(units);
  const assumptions: string[] = [];
  const assume = <T>(given: T | undefined, fallback: T, text: string): T => {
    if (given === undefined) assumptions.push(text);
    return given ?? fallback;
  };

  if (said.units === undefined)
    assumptions.push("units mm (default; the job names none)");
  const material = assume(
    said.stock?.material,
    "tool-steel",
    "material tool steel (default)",
  );
  knownRow("stock.material", material, table.materials);
  const thickness = assume(
    length("stock.thickness", said.stock?.thickness, [0.01, 800]),
    DEFAULT_MM.thickness,
    "thickness 25 mm (default; time and slug masses hang on it: measure the block)",
  );
  const wire = {
    diameter: assume(
      length("wire.diameter", said.wire?.diameter, [0.02, 0.36]),
      DEFAULT_MM.wire,
      "wire 0.25 mm (default: the everyday wire)",
    ),
    material: assume(said.wire?.material, "brass", "wire of brass (default)"),
  };
  knownRow("wire.material", wire.material, table.wires);
  const stock = { material, thickness };
  const flushing = assume<FlushingName>(
    said.flushing,
    "sealed",
    "flushing: cups touching both faces (default; nozzles that stand off cut slower)",
  );
  const process = settleProcess(table, own ? (said.process ?? "own") : null, {
    wire,
    stock,
    flushing,
    said: said.passes,
  });
  const settled = settlePasses(said.passes, process, wire, length, units);
  assumptions.push(...settled.assumptions);
  const relief = settleRelief(said.stressRelief, length);
  const passes = withReliefCut(settled.passes, relief, wire.diameter, units);
  const { rule } = settleOrder(said.order, []);
  if (relief.wanted) checkRelief(passes, rule);
  checkTaken(passes, wire.diameter, units);

  return {
    units,
    stock,
    wire,
    flushing,
    passes,
    process,
    rates: said.rates
      ? {
          machineHour: said.rates.machineHour ?? 0,
          labourHour: said.rates.labourHour ?? 0,
          wireKg: said.rates.wireKg ?? 0,
          currency: said.rates.currency ?? "",
        }
      : null,
    roles: {
      outer: assume(
        said.roles?.outer,
        "part",
        "outermost outlines on layers without a role are parts to cut free (default)",
      ),
      // Without a prototype, so that a layer may be called "constructor".
      layers: Object.assign(Object.create(null), said.roles?.layers),
    },
    start: said.start ?? "hole",
    startHoles: settleStartHoles(
      said.startHoles,
      wire.diameter,
      units,
      process,
      assumptions,
    ),
    lead: settleLead(said.lead, settled.passes, units, assumptions),
    tabs: {
      length:
        said.tabs?.length === undefined || said.tabs.length === "auto"
          ? "auto"
          : (length("tabs.length", said.tabs.length, [0.05, 50]) as number),
      minSlugArea: areaIn(said.tabs?.minSlugArea, units),
      layer: said.tabs?.layer ?? null,
      keepOffLayer: said.tabs?.keepOffLayer ?? null,
    },
    features: settleFeatures(said.features, length),
    stressRelief: relief.wanted,
    fitted: {},
    order: settleOrder(said.order, assumptions),
    drawing: {
      only: said.drawing?.only ?? null,
      skip: said.drawing?.skip ?? [],
      skipLineTypes: said.drawing?.skipLineTypes ?? [],
      gap: length("drawing.gap", said.drawing?.gap, [1e-6, 1]) ?? CHAIN_GAP,
      fit: length("drawing.fit", said.drawing?.fit, [1e-5, 0.1]) ?? CURVE_FIT,
      refit: length("drawing.refit", said.drawing?.refit, [1e-5, 0.1]) ?? null,
    },
    program: {
      compensation: assume(
        said.program?.compensation,
        "path",
        "the program is the path of the wire's centre (default)",
      ),
      words: said.program?.words ?? "neutral",
      resolution:
        length("program.resolution", said.program?.resolution, [1e-6, 0.01]) ??
        quiet(PROGRAM_RESOLUTION[units] * mmPer(units)),
      registers: registersIn(said.program?.registers, length),
    },
    travel: travelIn(said.machine?.travel, units),
    assumptions,
  };
}

function settleOrder(
  said: JobFile["order"],
  assumptions: string[],
): Job["order"] {
  const { rule, features = [] } =
    typeof said === "string"
      ? { rule: said }
      : Array.isArray(said)
        ? { features: said }
        : (said ?? {});
  const again = features.findIndex((id, i) => features.indexOf(id) < i);
  if (again >= 0)
    throw badValue(
      `${Array.isArray(said) ? "order" : "order.features"}[${again}]`,
      "a feature that the list has not named before",
      features[again],
    );
  if (rule === undefined)
    assumptions.push("order: all that needs nobody first (default)");
  return { rule: rule ?? "unattended-first", features };
}

function withOverrides(file: JobFile, over: JobOverrides): unknown {
  const set = <T extends object>(group: T | undefined, more: object) => {
    const given = Object.entries(more).filter(([, v]) => v !== undefined);
    return given.length === 0
      ? group
      : { ...group, ...Object.fromEntries(given) };
  };
  return set(file, {
    units: over.units,
    stock: set(file.stock, {
      thickness: over.thickness,
      material: over.material,
    }),
    wire: set(file.wire, { diameter: over.wire }),
    passes: over.passes,
    roles: set(file.roles, { outer: over.outer }),
    drawing: set(file.drawing, {
      only: over.only,
      skip: over.skip,
      skipLineTypes: over.skipLineTypes,
    }),
  });
}

function knownRow(
  path: string,
  name: string,
  rows: Readonly<Record<string, unknown>>,
): void {
  if (Object.hasOwn(rows, name)) return;
  const names = Object.keys(rows);
  const near = nearest(name, names);
  throw badValue(
    path,
    `a row of the process table: ${names.map((n) => `"${n}"`).join(" or ")}`,
    name,
    near ? `; did you mean "${near}"?` : "",
  );
}

function areaIn(value: number | undefined, units: LengthUnit): number {
  const mm2 = quiet((value ?? 0) * mmPer(units) ** 2);
  if (mm2 > 1e6)
    throw badValue("tabs.minSlugArea", "at most 1 square metre", value);
  return mm2;
}

/** The job file (DESIGN 5): what it may say, and errors that name the key, the place and what is allowed. */
import * as v from "valibot";
import { InputError } from "../base/finding.js";
import { MATERIAL_NAMES } from "../process/materials.js";
import { MAX_SCHEDULED_PASSES } from "../process/schedules.js";
import { WIRE_MATERIALS } from "../process/wires.js";
import { jsonFault } from "./json-fault.js";

/** Every schema's message says what is allowed; the caller puts the path before it. */
const oneOf = <const T extends readonly string[]>(words: T) =>
  v.picklist(words, words.map((w) => `"${w}"`).join(" or "));
const aboveZero = v.pipe(
  v.number("a number above 0"),
  v.gtValue(0, "a number above 0"),
);
const zeroOrMore = v.pipe(
  v.number("a number, 0 or more"),
  v.minValue(0, "a number, 0 or more"),
);
const group = <const T extends v.ObjectEntries>(entries: T) =>
  v.strictObject(entries, "a group in braces");

const COUNT = `a whole number from 1 to ${MAX_SCHEDULED_PASSES}`;
const MAX_LISTED_PASSES = 12;
const PASSES = `${COUNT}, or a list of passes`;

/** How a stretch of JSON that stands for a role may read; `slit` has an error of its own. */
const ROLES = ["opening", "part", "stock", "ignore"] as const;

export const JobFileSchema = group({
  units: v.optional(oneOf(["mm", "in"])),
  stock: v.optional(
    group({
      material: v.optional(oneOf(MATERIAL_NAMES)),
      thickness: v.optional(aboveZero),
    }),
  ),
  wire: v.optional(
    group({
      diameter: v.optional(aboveZero),
      material: v.optional(oneOf(WIRE_MATERIALS)),
    }),
  ),
  passes: v.optional(
    v.union(
      [
        v.pipe(
          v.number(COUNT),
          v.integer(COUNT),
          v.minValue(1, COUNT),
          v.maxValue(MAX_SCHEDULED_PASSES, COUNT),
        ),
        v.pipe(
          v.array(
            group({
              kind: v.optional(oneOf(["rough", "skim"])),
              gap: v.optional(aboveZero),
              leave: v.optional(zeroOrMore),
            }),
            PASSES,
          ),
          v.minLength(1, `a list of 1 to ${MAX_LISTED_PASSES} passes`),
          v.maxLength(
            MAX_LISTED_PASSES,
            `a list of 1 to ${MAX_LISTED_PASSES} passes`,
          ),
        ),
      ],
      PASSES,
    ),
  ),
  roles: v.optional(
    group({
      outer: v.optional(oneOf(["part", "stock", "opening"])),
      layers: v.optional(
        v.record(v.string(), oneOf(ROLES), "a group of layer names and roles"),
      ),
    }),
  ),
  startHoles: v.optional(
    group({
      diameter: v.optional(aboveZero),
      clearance: v.optional(zeroOrMore),
      grid: v.optional(aboveZero),
      layer: v.optional(
        v.pipe(
          v.string("the name of a layer"),
          v.nonEmpty("the name of a layer"),
        ),
      ),
    }),
  ),
  lead: v.optional(
    group({
      kind: v.optional(oneOf(["straight"])),
      overlap: v.optional(zeroOrMore),
    }),
  ),
  tabs: v.optional(
    group({
      length: v.optional(
        v.union([v.literal("auto"), aboveZero], '"auto" or a number above 0'),
      ),
      minSlugArea: v.optional(zeroOrMore),
    }),
  ),
  order: v.optional(oneOf(["unattended-first", "one-by-one"])),
  program: v.optional(
    group({
      compensation: v.optional(oneOf(["path", "control"])),
      words: v.optional(
        v.pipe(
          v.string('"neutral" or the name of a word table'),
          v.nonEmpty('"neutral" or the name of a word table'),
        ),
      ),
      resolution: v.optional(aboveZero),
    }),
  ),
});

/** What a job file may say; lengths in its own `units`. */
export type JobFile = v.InferOutput<typeof JobFileSchema>;

/**
 * Reads a job file's text.
 *
 * @throws {InputError} `job/not-json`, `job/unknown-key`, `job/bad-value` or `job/slit-not-planned`.
 */
export function readJobFile(text: string): JobFile {
  const bare = text.replace(/^\uFEFF/, "");
  let value: unknown;
  try {
    value = JSON.parse(bare);
  } catch {
    const { line, column, message } = jsonFault(bare);
    throw new InputError(
      "job/not-json",
      `the job is not valid JSON: line ${line}, column ${column}: ${message}`,
    );
  }
  return checkJobFile(value);
}

/**
 * Checks a value against the job file's schema; every key is optional, none may be unknown.
 *
 * @throws {InputError} `job/unknown-key`, `job/bad-value` or `job/slit-not-planned`, naming every fault.
 */
export function checkJobFile(value: unknown): JobFile {
  const result = v.safeParse(JobFileSchema, value);
  const faults = result.success
    ? [...strayLists(value, []), ...lostLayers(value, result.output)]
    : result.issues.flatMap((issue) => faultsOf(issue, []));
  if (result.success && faults.length === 0) return result.output;
  // A misspelt key explains more than the values around it, so its code wins.
  const first =
    faults.find((f) => f.code === "job/unknown-key") ?? (faults[0] as JobFault);
  const rest = faults.filter((f) => f !== first);
  throw new InputError(
    first.code,
    [first, ...rest].map((f) => f.message).join("; "),
  );
}

interface JobFault {
  readonly code: "job/unknown-key" | "job/bad-value" | "job/slit-not-planned";
  readonly message: string;
}

type Path = readonly (string | number)[];

function faultsOf(issue: v.BaseIssue<unknown>, before: Path): JobFault[] {
  const path: Path = [
    ...before,
    ...(issue.path ?? []).map((p) => p.key as string | number),
  ];
  // A union reports what each of its options had to say: the one that got deepest into the value is meant.
  const options = issue.type === "union" ? (issue.issues ?? []) : [];
  const deepest = Math.max(0, ...options.map((o) => o.path?.length ?? 0));
  if (deepest > 0)
    return options
      .filter((o) => (o.path?.length ?? 0) === deepest)
      .flatMap((o) => faultsOf(o, path));

  if (issue.type === "strict_object" && issue.expected === "never")
    return [unknownKey(path)];
  if (isLayerRole(path) && issue.input === "slit")
    return [
      {
        code: "job/slit-not-planned",
        message: `${pathText(path)} is "slit": open outlines are not planned yet; give the layer the role "ignore", or close its outlines and make them "opening" or "part"`,
      },
    ];
  return [badValueAt(path, issue.message, issue.input)];
}

/** A list passes for an object in the schema library; only `passes` may be one. */
function strayLists(value: unknown, path: Path): JobFault[] {
  if (typeof value !== "object" || value === null) return [];
  if (Array.isArray(value) && pathText(path) !== "passes")
    return [badValueAt(path, "a group in braces", value)];
  return Object.entries(value).flatMap(([key, inner]) =>
    strayLists(inner, [...path, Array.isArray(value) ? Number(key) : key]),
  );
}

/** The schema library leaves out keys that every object has, such as "constructor"; a role may not get lost unsaid. */
function lostLayers(value: unknown, read: JobFile): JobFault[] {
  const said = (value as JobFile).roles?.layers ?? {};
  const kept = new Set(Object.keys(read.roles?.layers ?? {}));
  return Object.keys(said)
    .filter((layer) => !kept.has(layer))
    .map((layer) => ({
      code: "job/bad-value",
      message: `roles.layers cannot name a layer "${layer}"; give the layer another name in the drawing`,
    }));
}

function badValueAt(path: Path, allowed: string, value: unknown): JobFault {
  return {
    code: "job/bad-value",
    message: `${pathText(path) || "the job"} must be ${allowed}, not ${shown(value)}`,
  };
}

function isLayerRole(path: Path): boolean {
  return path.length === 3 && path[0] === "roles" && path[1] === "layers";
}

function unknownKey(path: Path): JobFault {
  const key = String(path.at(-1));
  const parent = path.slice(0, -1);
  const siblings = knownKeys(parent);
  const near = nearest(key, siblings);
  const hint = near ? `did you mean "${near}"? ` : "";
  return {
    code: "job/unknown-key",
    message: `unknown key "${pathText(path)}": ${hint}${parent.length ? `"${pathText(parent)}"` : "a job"} may hold ${siblings.join(", ")}`,
  };
}

/** Keys that the schema allows at a path. */
function knownKeys(path: Path): readonly string[] {
  const entries = (e: v.ObjectEntries | undefined) => Object.keys(e ?? {});
  if (path.length === 0) return entries(JobFileSchema.entries);
  const [name] = path;
  if (name === "passes") return ["kind", "gap", "leave"];
  const schema =
    JobFileSchema.entries[name as keyof typeof JobFileSchema.entries].wrapped;
  return entries("entries" in schema ? schema.entries : undefined);
}

/** "passes[1].gap" */
function pathText(path: Path): string {
  return path
    .map((key, i) =>
      typeof key === "number" ? `[${key}]` : i === 0 ? key : `.${key}`,
    )
    .join("");
}

function shown(input: unknown): string {
  if (input === undefined) return "left out";
  const text = JSON.stringify(input) ?? String(input);
  return text.length > 60 ? `${text.slice(0, 57)}...` : text;
}

/** The word fewest typing slips away, or null when none is near (more than half its letters wrong). */
function nearest(word: string, words: readonly string[]): string | null {
  let best: string | null = null;
  let least = Number.POSITIVE_INFINITY;
  for (const w of words) {
    const d = slips(word.toLowerCase(), w.toLowerCase());
    if (d < least) [best, least] = [w, d];
  }
  return best !== null && least <= Math.max(1, Math.ceil(best.length / 2))
    ? best
    : null;
}

/** Letters to insert, drop or change to get from `a` to `b` (Levenshtein's distance). */
function slips(a: string, b: string): number {
  let row = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const next = [i];
    for (let j = 1; j <= b.length; j++)
      next.push(
        Math.min(
          (row[j] as number) + 1,
          (next[j - 1] as number) + 1,
          (row[j - 1] as number) + (a[i - 1] === b[j - 1] ? 0 : 1),
        ),
      );
    row = next;
  }
  return row[b.length] as number;
}

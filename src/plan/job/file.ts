/** The job file (DESIGN 5): what it may say, and errors that name the key, the place and what is allowed. */
import * as v from "valibot";
import { InputError } from "../../base/finding.js";
import { readJson } from "../../base/json-fault.js";
import { shapeFaults } from "../../base/shape-faults.js";
import {
  aboveZero,
  group,
  oneOf,
  text,
  wholeFrom,
  zeroOrMore,
} from "../../process/allowed.js";
import { MAX_SCHEDULED_PASSES } from "../../process/schedules.js";

const TRAVEL = "two corners, [[x, y], [x, y]]";
const corners = v.pipe(
  v.array(
    v.pipe(
      v.array(
        v.pipe(
          v.number(TRAVEL),
          v.minValue(-1e5, TRAVEL),
          v.maxValue(1e5, TRAVEL),
        ),
        TRAVEL,
      ),
      v.length(2, TRAVEL),
    ),
    TRAVEL,
  ),
  v.length(2, TRAVEL),
);
const REGISTER = /^[A-Z][1-9]\d*$/;
const REGISTERS =
  'registers and the offsets that stand in them, as in { "D1": 0.21 }';

const COUNT = `a whole number from 1 to ${MAX_SCHEDULED_PASSES}`;
const MAX_LISTED_PASSES = 12;
const PASSES = `${COUNT}, or a list of passes`;

const ROLES = ["opening", "part", "slit", "stock", "ignore"] as const;

const LAYER = "the name of a layer";
const layerName = v.pipe(v.string(LAYER), v.nonEmpty(LAYER));
const LAYERS = "a list of layer names";
const layerNames = v.array(layerName, LAYERS);

const LINE_TYPE = "the name of a line type";
const LINE_TYPES = "a list of names of line types";

const POINT = "a point [x, y] in the drawing's coordinates";
const point = v.pipe(v.array(v.number(POINT), POINT), v.length(2, POINT));

const STARTS = ["hole", "edge"] as const;

const TABS = '{ "at": [x, y], "length": … }, or a list of such';
const TAB = group({ at: point, length: v.optional(aboveZero) });

const STRETCHES = 'a list of stretches, { "from": [x, y], "to": [x, y] }';

/** What is decided by hand for one feature; its id is the one that plan and inspection print. */
const FeatureSchema = group({
  role: v.optional(oneOf(ROLES)),
  startHole: v.optional(point),
  start: v.optional(oneOf(STARTS)),
  tab: v.optional(
    v.union([TAB, v.pipe(v.array(TAB, TABS), v.nonEmpty(TABS))], TABS),
  ),
  lead: v.optional(group({ at: point })),
  keepOff: v.optional(v.array(group({ from: point, to: point }), STRETCHES)),
});

const RELIEF =
  'true, false, or { "leave": … } for a relief cut before the passes';

const DRILLS = "a list of drill diameters";

const ORDER_RULES = ["unattended-first", "one-by-one"] as const;
const FEATURE_LIST = v.array(
  v.pipe(
    v.string("the name of a feature"),
    v.nonEmpty("the name of a feature"),
  ),
  "a list of features",
);

export const JobFileSchema = group({
  units: v.optional(oneOf(["mm", "in"])),
  stock: v.optional(
    group({
      material: v.optional(text),
      thickness: v.optional(aboveZero),
    }),
  ),
  wire: v.optional(
    group({
      diameter: v.optional(aboveZero),
      material: v.optional(text),
    }),
  ),
  process: v.optional(text),
  flushing: v.optional(oneOf(["sealed", "open"])),
  passes: v.optional(
    v.union(
      [
        wholeFrom(1, MAX_SCHEDULED_PASSES),
        v.pipe(
          v.array(
            group({
              kind: v.optional(oneOf(["rough", "skim"])),
              gap: v.optional(aboveZero),
              leave: v.optional(zeroOrMore),
              areaRate: v.optional(aboveZero),
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
  start: v.optional(oneOf(STARTS)),
  startHoles: v.optional(
    group({
      diameter: v.optional(aboveZero),
      drills: v.optional(
        v.pipe(v.array(aboveZero, DRILLS), v.minLength(1, DRILLS)),
      ),
      clearance: v.optional(zeroOrMore),
      grid: v.optional(aboveZero),
      layer: v.optional(layerName),
    }),
  ),
  lead: v.optional(
    group({
      kind: v.optional(oneOf(["straight", "arc"])),
      radius: v.optional(aboveZero),
      overlap: v.optional(zeroOrMore),
      spread: v.optional(zeroOrMore),
    }),
  ),
  tabs: v.optional(
    group({
      length: v.optional(
        v.union([v.literal("auto"), aboveZero], '"auto" or a number above 0'),
      ),
      minSlugArea: v.optional(zeroOrMore),
      layer: v.optional(layerName),
      keepOffLayer: v.optional(layerName),
    }),
  ),
  features: v.optional(
    v.record(v.string(), FeatureSchema, "a group of feature ids"),
  ),
  rates: v.optional(
    group({
      machineHour: v.optional(zeroOrMore),
      labourHour: v.optional(zeroOrMore),
      wireKg: v.optional(zeroOrMore),
      currency: v.optional(text),
    }),
  ),
  stressRelief: v.optional(
    v.union(
      [v.boolean(RELIEF), group({ leave: v.optional(aboveZero) })],
      RELIEF,
    ),
  ),
  order: v.optional(
    v.union(
      [
        oneOf(ORDER_RULES),
        FEATURE_LIST,
        group({
          rule: v.optional(oneOf(ORDER_RULES)),
          features: v.optional(FEATURE_LIST),
        }),
      ],
      `${ORDER_RULES.map((w) => `"${w}"`).join(" or ")}, a list of features, or a group in braces`,
    ),
  ),
  drawing: v.optional(
    group({
      only: v.optional(v.pipe(layerNames, v.minLength(1, LAYERS))),
      skip: v.optional(layerNames),
      skipLineTypes: v.optional(
        v.array(v.pipe(v.string(LINE_TYPE), v.nonEmpty(LINE_TYPE)), LINE_TYPES),
      ),
      gap: v.optional(aboveZero),
      fit: v.optional(aboveZero),
      refit: v.optional(aboveZero),
    }),
  ),
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
      registers: v.optional(
        v.record(
          v.pipe(v.string(), v.regex(REGISTER, REGISTERS)),
          zeroOrMore,
          REGISTERS,
        ),
      ),
    }),
  ),
  machine: v.optional(group({ travel: v.optional(corners) })),
});

/** What a job file may say; lengths in its own `units`. */
export type JobFile = v.InferOutput<typeof JobFileSchema>;

/**
 * Reads a job file's text.
 *
 * @throws {InputError} `job/not-json`, `job/unknown-key` or `job/bad-value`.
 */
export function readJobFile(text: string): JobFile {
  const json = readJson(text);
  if (!json.ok)
    throw new InputError(
      "job/not-json",
      `the job is not valid JSON: ${json.message}`,
    );
  return checkJobFile(json.value);
}

/**
 * Checks a value against the job file's schema; every key is optional, none may be unknown.
 *
 * @throws {InputError} `job/unknown-key` or `job/bad-value`, naming every fault.
 */
export function checkJobFile(value: unknown): JobFile {
  const checked = v.safeParse(JobFileSchema, value);
  const faults = shapeFaults(value, checked, JobFileSchema, "the job");
  const [first] = faults;
  if (!first) return checked.output as JobFile;
  throw new InputError(
    `job/${first.kind}`,
    faults.map((f) => f.message).join("; "),
  );
}

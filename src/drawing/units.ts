/** The unit of a drawing: what it says, what the caller says, and what to ask when neither does. */
import { type Finding, InputError } from "../base/finding.js";
import { trimmed } from "../base/numbers.js";
import { MM_PER_INCH, MM_PER_PX } from "../base/units.js";
import type { DrawingUnits } from "./drawing.js";

/** Units a caller can name for a drawing. */
export type DrawingUnit = "mm" | "cm" | "m" | "um" | "in" | "ft" | "mil" | "px";

const FOOT = 12 * MM_PER_INCH;
/** The US survey foot is 1200/3937 m. */
const SURVEY_FOOT = 1_200_000 / 3937;
const METRE = 1000;

/** `$INSUNITS` of the DXF reference: code, name, mm. Code 0 says nothing. */
const UNITS: readonly (readonly [code: number, name: string, mm: number])[] = [
  [1, "in", MM_PER_INCH],
  [2, "ft", FOOT],
  [3, "mile", 5280 * FOOT],
  [4, "mm", 1],
  [5, "cm", 10],
  [6, "m", METRE],
  [7, "km", 1000 * METRE],
  [8, "microinch", MM_PER_INCH / 1e6],
  [9, "mil", MM_PER_INCH / 1000],
  [10, "yd", 3 * FOOT],
  [11, "angstrom", 1e-7],
  [12, "nm", 1e-6],
  [13, "um", 0.001],
  [14, "dm", 100],
  [15, "dam", 10 * METRE],
  [16, "hm", 100 * METRE],
  [17, "Gm", 1e9 * METRE],
  [18, "au", 149_597_870_700 * METRE],
  [19, "ly", 9_460_730_472_580_800 * METRE],
  [20, "pc", (648_000 / Math.PI) * 149_597_870_700 * METRE],
  [21, "US survey ft", SURVEY_FOOT],
  [22, "US survey in", SURVEY_FOOT / 12],
  [23, "US survey yd", 3 * SURVEY_FOOT],
  [24, "US survey mile", 5280 * SURVEY_FOOT],
];

export interface UnitChoice {
  /** Rules, whatever the drawing says. */
  readonly unit?: DrawingUnit;
  /** Rules when the drawing says nothing. */
  readonly fallbackUnit?: DrawingUnit;
}

/**
 * @param size width and height of the drawing in its own units, for the guess offered; asked only when needed
 * @throws {InputError} `drawing/no-unit` when neither the drawing nor the caller says, `drawing/unknown-unit`
 */
export function drawingUnits(
  header: ReadonlyMap<string, string>,
  choice: UnitChoice,
  size: () => readonly [w: number, h: number],
): { units: DrawingUnits; findings: Finding[] } {
  const code = Number.parseInt(header.get("$INSUNITS") ?? "0", 10) || 0;
  const drawn = UNITS.find(([c]) => c === code);
  if (choice.unit !== undefined) {
    const units = namedUnit(choice.unit, "the caller");
    const other = drawn !== undefined && drawn[1] !== choice.unit;
    return {
      units,
      findings: other ? [unitOverridden(choice.unit, drawn[1])] : [],
    };
  }
  if (drawn !== undefined)
    return {
      units: { drawing: drawn[1], toMm: drawn[2], source: "$INSUNITS" },
      findings: doubts(drawn[1], header.get("$MEASUREMENT")),
    };
  if (choice.fallbackUnit !== undefined) {
    const source = "the caller, as the drawing names none";
    const units = namedUnit(choice.fallbackUnit, source);
    return { units, findings: [taken(units.drawing, code)] };
  }
  if (code !== 0)
    throw new InputError(
      "drawing/unknown-unit",
      `The drawing names a unit that does not exist ($INSUNITS is ${code}); say which it is with --units mm or --units in.`,
    );
  throw noUnit(size(), header.get("$MEASUREMENT"));
}

/** `$MEASUREMENT`, 0 (inch) or 1 (metric), picks patterns of lines and hatches; where it disagrees the file went through many hands. */
function doubts(unit: string, measurement: string | undefined): Finding[] {
  const metric = unit === "mm" && measurement === "0";
  const imperial = unit === "in" && measurement === "1";
  if (!metric && !imperial) return [];
  return [
    {
      code: "drawing/unit-doubtful",
      severity: "note",
      message: `The drawing says its unit is ${unit} ($INSUNITS), but also that it is ${metric ? "an inch" : "a metric"} drawing ($MEASUREMENT); it was read in ${unit}. Check the size.`,
    },
  ];
}

/** A unit that the caller named. */
export function namedUnit(unit: DrawingUnit, source: string): DrawingUnits {
  const mm =
    unit === "px" ? MM_PER_PX : UNITS.find(([, name]) => name === unit)?.[2];
  if (mm === undefined) throw new RangeError(`unknown drawing unit "${unit}"`);
  return { drawing: unit, toMm: mm, source };
}

function taken(unit: string, code: number): Finding {
  const lack =
    code === 0
      ? "does not say its unit"
      : `names a unit that does not exist ($INSUNITS is ${code})`;
  return {
    code: "drawing/unit-taken",
    severity: "note",
    message: `The drawing ${lack}; it was read in ${unit}, as the job says. Check the size.`,
  };
}

export function unitOverridden(unit: string, drawn: string): Finding {
  return {
    code: "drawing/unit-overridden",
    severity: "warning",
    message: `The drawing says its unit is ${drawn}, but it was read as ${unit} as asked; check the size.`,
  };
}

/** Parts for the wire are rarely under 12 mm and rarely over 12 in; `$MEASUREMENT` 0 (inch) or 1 (metric) is a hint. */
const LARGEST_LIKELY_IN_INCHES = 12;

function noUnit(
  [w, h]: readonly [number, number],
  measurement: string | undefined,
): InputError {
  if (w === 0 && h === 0)
    return new InputError(
      "drawing/empty",
      "There is nothing to cut in the drawing, and it does not say its unit ($INSUNITS is missing or 0); check that it was saved with its outlines.",
    );
  const text = (k: number): string =>
    `${trimmed(w * k, 3)} × ${trimmed(h * k, 3)} mm`;
  const inches =
    Math.max(w, h) <= LARGEST_LIKELY_IN_INCHES && measurement !== "1";
  return new InputError(
    "drawing/no-unit",
    `The drawing does not say its unit ($INSUNITS is missing or 0). Say it with --units mm (the drawing is then ${text(1)}) or --units in (${text(MM_PER_INCH)}); by its size, ${inches ? "in" : "mm"} is the likelier.`,
  );
}

/** Dimensions that multiply what is drawn tell of a drawing at another scale. */
export function scaleFinding(header: ReadonlyMap<string, string>): Finding[] {
  const factor = Number(header.get("$DIMLFAC") ?? "1");
  // A negative factor only concerns paper space.
  if (!(factor > 0) || factor === 1) return [];
  return [
    {
      code: "drawing/scaled",
      severity: "warning",
      message: `The dimensions of this drawing show ${trimmed(factor, 6)} times what is drawn ($DIMLFAC), so it may not be drawn 1:1; check the size, and scale the drawing if it is wrong.`,
    },
  ];
}

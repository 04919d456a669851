/**
 * One slip that goes through all of a program: a wrong unit, a decimal point that is left out, G41 for G42, spaces
 * among figures. A program that does not fit the drawing as it stands and does with the slip undone is told the slip,
 * and of the rest only what is wrong besides.
 */
import { type Finding, InputError } from "../base/finding.js";
import { trimmed } from "../base/numbers.js";
import { FOLLOWING } from "../base/tolerance.js";
import { MM_PER_INCH } from "../base/units.js";
import { contourBox } from "../geometry/contour.js";
import { segmentBox } from "../geometry/segment.js";
import type { Layout } from "../plan/feature.js";
import type { Job } from "../plan/job/job.js";
import type { ProgramText } from "../program/moves.js";
import { AS_WRITTEN, type Reading } from "../program/reading.js";
import { FITS, size } from "./astray.js";
import type { Progress } from "./judged.js";
import type { Proof } from "./proof.js";
import { type Proved, proveMoves } from "./prove.js";

/** A slip, and how a program is read that it is taken out of; where each place is told as the text is read, no finding. */
interface Slip {
  readonly reading: Reading;
  readonly finding: Finding | null;
}

/** Proves a program that people may have typed. `read` gives its text as it is read so. */
export function proveAsMeant(
  read: (reading: Reading) => ProgramText,
  layout: Layout,
  job: Job,
  onProgress?: Progress,
): Proved {
  const program = read(AS_WRITTEN);
  const written = provedOrRefused(program, layout, job, onProgress);
  if (isProved(written) && (fits(written) || isElsewhere(written.proof)))
    return written;
  for (const { reading, finding } of slipsOf(program, written)) {
    const otherwise = read(reading);
    if (!sizesAgree(otherwise, layout)) continue;
    const grid = onGrid(job, reading);
    const meant = provedOrRefused(otherwise, layout, grid);
    if (!isProved(meant) || !fits(meant)) continue;
    if (!finding) return meant;
    const { proof } = meant;
    const findings = [finding, ...proof.findings];
    return { ...meant, proof: { ...proof, ok: false, findings } };
  }
  if (!isProved(written)) throw written;
  return written;
}

/** A program in the wrong unit may lie in a knot that the proof refuses. */
function provedOrRefused(
  ...of: Parameters<typeof proveMoves>
): Proved | InputError {
  try {
    return proveMoves(...of);
  } catch (error) {
    if (error instanceof InputError) return error;
    throw error;
  }
}

const isProved = (of: Proved | InputError): of is Proved =>
  !(of instanceof InputError);

/** What is counted in coarse steps is judged as rounded to them. */
const onGrid = (job: Job, { increment = 0 }: Reading): Job => ({
  ...job,
  program: {
    ...job.program,
    resolution: Math.max(job.program.resolution, increment),
  },
});

/** Is what is cut about as large as the drawing? Asked first, since it takes much less than a proof. */
function sizesAgree(
  { actions }: ProgramText,
  { features, slits }: Layout,
): boolean {
  const cut = actions.flatMap((a) =>
    a.kind === "feed" ? [segmentBox(a.segment)] : [],
  );
  if (cut.length === 0) return false;
  const ratio =
    size(cut) / size([...features, ...slits].map((f) => contourBox(f.contour)));
  return ratio > 1 / 2 && ratio < 2;
}

/** Rounding to a coarse grid may take it as far beyond an edge as it may be off and still be said to follow it. */
const fits = ({ proof }: Proved): boolean =>
  proof.maxGouge <= FOLLOWING && finished(proof) >= FITS && !isElsewhere(proof);

const ELSEWHERE = ["proof/shifted", "proof/turned", "proof/arcs-exchanged"];

/** It is told already why all of it does not fit. */
const isElsewhere = ({ findings }: Proof): boolean =>
  findings.some(({ code }) => ELSEWHERE.includes(code));

/** Share of the last pass that is run, over all outlines. */
function finished({ passes }: Proof): number {
  const last = Math.max(...passes.map((p) => p.pass));
  const own = passes.filter((p) => p.pass === last || p.stretch === "slit");
  return own.length === 0
    ? 1
    : own.reduce((sum, p) => sum + p.reached, 0) / own.length;
}

/** With so much of it finished, a program has no slip that goes through all of it. */
const FINISHES_MUCH = 0.5;

/** mm: the steps in which controls count coordinates without a point. */
const INCREMENTS = {
  mm: [0.001, 0.0001],
  in: [0.0001 * MM_PER_INCH, 0.00001 * MM_PER_INCH],
} as const;

/** The slips that a program's own words allow. */
function slipsOf(
  { units, actions, findings }: ProgramText,
  written: Proved | InputError,
): Slip[] {
  const tells = (code: string): boolean =>
    findings.some((f) => f.code === code);
  const joined: Slip = { reading: { numbersJoined: true }, finding: null };
  const spaced = tells("program/unreadable") ? [joined] : [];
  if (isProved(written) && finished(written.proof) > FINISHES_MUCH)
    return spaced;
  const other = units === "mm" ? "in" : "mm";
  return [
    ...spaced,
    { reading: { units: other }, finding: unitFinding(other) },
    ...(tells("program/no-decimal-point") || tells("program/out-of-range")
      ? INCREMENTS[units].map((increment) => ({
          reading: { increment },
          finding: incrementFinding(increment, units),
        }))
      : []),
    ...(actions.some((a) => a.kind === "feed" && a.compensation !== null)
      ? [{ reading: { sidesExchanged: true }, finding: SIDES_EXCHANGED }]
      : []),
  ];
}

const REST = "What else is found is told as if that were done";

const unitFinding = (units: "mm" | "in"): Finding => ({
  code: "proof/unit",
  severity: "error",
  message: `the whole program fits the drawing when its figures are taken as ${
    units === "in" ? "inches: write G70, not G71," : "mm: write G71, not G70,"
  } before the first coordinates; or is it the drawing that is read in a wrong unit? ${REST}`,
});

const incrementFinding = (mm: number, units: "mm" | "in"): Finding => ({
  code: "proof/unit",
  severity: "error",
  message: `the whole program fits the drawing when its figures without a decimal point are counted in steps of ${
    units === "mm" ? trimmed(mm, 4) : trimmed(mm / MM_PER_INCH, 5)
  } ${units}; some controls count so, others take whole ${units === "mm" ? "mm" : "inches"}: write the decimal point. ${REST}`,
});

const SIDES_EXCHANGED: Finding = {
  code: "proof/sides-exchanged",
  severity: "error",
  message: `the whole program fits the drawing with the wire on the other side of every path: exchange G41 and G42. ${REST}`,
};

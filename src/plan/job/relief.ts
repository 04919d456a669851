/** What a job says of stress in the block: that it is let out before the skims, and by a relief cut of its own if wanted. */
import { JOB_NOISE } from "../../base/tolerance.js";
import { type LengthUnit, mmPer } from "../../base/units.js";
import type { JobFile } from "./file.js";
import type { Job, Pass } from "./job.js";
import { badValue, type LengthReader, lengthText, quiet } from "./values.js";

export interface Relief {
  readonly wanted: boolean;
  /** Stock (mm) that a relief cut leaves for the passes; null: the rough itself lets the stress out. */
  readonly leave: number | null;
}

export function settleRelief(
  said: JobFile["stressRelief"],
  length: LengthReader,
): Relief {
  if (typeof said !== "object") return { wanted: said ?? false, leave: null };
  const leave = length("stressRelief.leave", said.leave, [0, 2]) ?? null;
  return { wanted: true, leave };
}

/** The passes with the relief cut before them: another rough, which leaves more. */
export function withReliefCut(
  passes: readonly Pass[],
  { leave }: Relief,
  wire: number,
  units: LengthUnit,
): readonly Pass[] {
  const rough = passes[0] as Pass;
  if (leave === null) return passes;
  if (leave <= rough.leave + JOB_NOISE)
    throw badValue(
      "stressRelief.leave",
      `more than the ${lengthText(rough.leave, units)} that passes[0] leaves`,
      leave / mmPer(units),
    );
  const offset = quiet(wire / 2 + rough.gap + leave);
  return [
    { ...rough, leave, offset },
    ...passes.map((pass) => ({ ...pass, number: pass.number + 1 })),
  ];
}

/** What stressRelief cannot stand beside. */
export function checkRelief(
  passes: readonly Pass[],
  rule: Job["order"]["rule"],
): void {
  if (rule === "one-by-one")
    throw badValue(
      "stressRelief",
      'left out with the order "one-by-one", for it roughs the whole block before it skims any of it',
      true,
    );
  if (passes.length < 2)
    throw badValue(
      "stressRelief",
      "left out where there is one pass, for it needs skims to bring the openings to size after the rest",
      true,
    );
}

/** Share of its kerf that a pass may find standing: more, and a strip would come loose between two kerfs. Common practice, no source. */
const TAKEN = 0.9;

/** Each pass after the first takes what the one before it left, whole. */
export function checkTaken(
  passes: readonly Pass[],
  wire: number,
  units: LengthUnit,
): void {
  const first = passes[1]?.kind === "rough" ? 1 : 0;
  passes.slice(1).forEach((pass, i) => {
    const before = passes[i] as Pass;
    const most = pass.leave + TAKEN * (wire + 2 * pass.gap);
    if (before.leave > most)
      throw badValue(
        i < first ? "stressRelief.leave" : `passes[${i - first}].leave`,
        `at most ${lengthText(most, units)}, or a strip comes loose between its kerf and that of the next pass with nobody there`,
        before.leave / mmPer(units),
      );
  });
}

/** The offset kernel on random nasty outlines: against brute force, against clipper-lib, and by the laws of offsets. */
import { random } from "../helpers/shapes.js";
import type { OffsetCase } from "./offset-case.js";
import { clipperFaults } from "./offset-clipper.js";
import { drawCase } from "./offset-draw.js";
import { faultsOf } from "./offset-judge.js";
import { lawFaults } from "./offset-laws.js";
import type { FuzzRun } from "./run.js";
import { shrink } from "./shrink.js";

/** Failures after which the rest are printed as drawn: shrinking one takes a thousand offsets. */
const MOST_SHRUNK = 20;

export interface Judged {
  readonly failures: readonly string[];
  /** Outlines that cross themselves or each other, of which nothing is asked, by family. */
  readonly skipped: Readonly<Record<string, number>>;
}

export function judgeOffsets({ seed: first, count }: FuzzRun): Judged {
  const failures: string[] = [];
  const skipped: Record<string, number> = {};
  for (let seed = first; seed < first + count; seed++) {
    const { family, valid, generic, outlines, d, outward } = drawCase(seed);
    if (!valid) {
      skipped[family] = (skipped[family] ?? 0) + 1;
      continue;
    }
    const judge = (c: OffsetCase): string[] => allFaults(c, generic, seed);
    const drawn = { outlines, d, outward };
    if (judge(drawn).length === 0) continue;
    const small =
      failures.length < MOST_SHRUNK
        ? shrink(drawn, (c) => judge(c).length > 0)
        : drawn;
    failures.push(
      `seed ${seed} (${family}): ${judge(small)[0]} in ${JSON.stringify(small)}`,
    );
  }
  return { failures, skipped };
}

/** The cheapest question first; one that finds something is enough. */
function allFaults(c: OffsetCase, generic: boolean, seed: number): string[] {
  const faults = faultsOf(c, random(seed));
  if (faults.length > 0) return faults;
  try {
    const unlike = clipperFaults(c);
    if (unlike.length > 0 || !generic) return unlike;
    return lawFaults(c, random(seed));
  } catch (error) {
    return [`throws ${error}`];
  }
}

export function fuzz(run: FuzzRun): readonly string[] {
  const { failures, skipped } = judgeOffsets(run);
  console.log("offset: skipped as crossing themselves:", skipped);
  return failures;
}

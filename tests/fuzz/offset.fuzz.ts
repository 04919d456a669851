/** The offset kernel against brute force on random nasty outlines. */
import { random } from "../helpers/shapes.js";
import type { OffsetCase } from "./offset-case.js";
import { drawCase } from "./offset-draw.js";
import { faultsOf } from "./offset-judge.js";
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
    const { family, valid, outlines, d, outward } = drawCase(seed);
    if (!valid) {
      skipped[family] = (skipped[family] ?? 0) + 1;
      continue;
    }
    const judge = (c: OffsetCase): string[] => faultsOf(c, random(seed));
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

export function fuzz(run: FuzzRun): readonly string[] {
  const { failures, skipped } = judgeOffsets(run);
  console.log("offset: skipped as crossing themselves:", skipped);
  return failures;
}

/** Drawing files spoilt in every way: none may hang, crash, or be read wrongly without a word. */
import type { Drawing } from "../../src/drawing/drawing.js";
import { random } from "../helpers/shapes.js";
import { judge, missing, sameGeometry } from "./drawing-judge.js";
import { pick, rewritten, spoil } from "./drawing-mutate.js";
import { goodDrawings } from "./drawing-seeds.js";
import type { FuzzRun } from "./run.js";

export interface Judged {
  readonly failures: readonly string[];
  /** How many files were read, and how many refused, by code. */
  readonly outcomes: Readonly<Record<string, number>>;
}

/** Of ten files, eight are spoilt and two are only written differently. */
export function judgeDrawings({ seed: first, count }: FuzzRun): Judged {
  const good = goodDrawings();
  const asDrawn = new Map<string, Drawing | null>();
  const failures: string[] = [];
  const outcomes: Record<string, number> = {};
  for (let seed = first; seed < first + count; seed++) {
    const rnd = random(seed);
    const [name, text] = pick(rnd, good);
    const spoilt = rnd() < 0.8;
    const { bytes, how } = (spoilt ? spoil : rewritten)(text, rnd);
    const { fault, drawing } = judge(bytes);
    const fail = (what: string): void => {
      failures.push(`seed ${seed} (${name}: ${how}): ${what}`);
    };
    const outcome = drawing ? "read" : "refused";
    outcomes[outcome] = (outcomes[outcome] ?? 0) + 1;
    if (fault !== null) fail(fault);
    else if (!spoilt) {
      if (!asDrawn.has(name))
        asDrawn.set(name, judge(new TextEncoder().encode(text)).drawing);
      const before = asDrawn.get(name) ?? null;
      if ((before === null) !== (drawing === null))
        fail("is read in one writing and refused in the other");
      else if (before && drawing && !sameGeometry(before, drawing))
        fail("shows something else when written differently");
    } else if (drawing && !how.includes("binary")) {
      const plain = new TextDecoder().decode(bytes).replace(/\r\n?/g, "\n");
      const lost = missing(plain, drawing);
      if (lost !== null) fail(lost);
    }
  }
  return { failures, outcomes };
}

export function fuzz(run: FuzzRun): readonly string[] {
  const { failures, outcomes } = judgeDrawings(run);
  console.log("drawings:", outcomes);
  return failures;
}

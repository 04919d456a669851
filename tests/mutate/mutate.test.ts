/** A few hundred spoiled programs; `npm run mutate` runs thousands. The oracle that decides shares no code with the proof. */
import { beforeAll, describe, expect, test } from "vitest";
import { goodPrograms } from "./good-programs.js";
import {
  alarms,
  type Bench,
  benchOf,
  judgeMutant,
  type Verdict,
} from "./judge.js";
import { KINDS } from "./kinds.js";

/** Mutants of each kind. */
const OF_A_KIND = 5;

describe("a program spoiled on the way to the machine", () => {
  let benches: Bench[] = [];
  const verdicts: Verdict[] = [];

  beforeAll(() => {
    // The two long samples are left to `npm run mutate`.
    benches = goodPrograms((name) => !/die-plate|gear-gauge/.test(name)).map(
      benchOf,
    );
    for (const kind of KINDS) {
      let made = 0;
      for (let lot = 0; made < OF_A_KIND && lot < 100; lot++) {
        const bench = benches[lot % benches.length] as Bench;
        const verdict = judgeMutant(bench, 7000 + lot, kind);
        if (!verdict) continue;
        verdicts.push(verdict);
        made++;
      }
    }
  });

  test("unspoiled, no program raises an alarm", () => {
    expect(benches.flatMap(alarms)).toEqual([]);
  });

  test("is tried in every way, and most of them change what is cut", () => {
    expect(new Set(verdicts.map((v) => v.kind)).size).toBe(KINDS.length);
    const changing = verdicts.filter((v) => v.effects.length > 0);
    expect(changing.length).toBeGreaterThan(150);
  });

  test.each([
    [
      "survivor",
      "is caught when it would cut otherwise or free a piece unattended",
    ],
    ["misnamed", "is told by the right name"],
    ["false alarm", "is let pass when it cuts the same"],
  ] as const)("%s: %s", (outcome, _) => {
    expect(verdicts.filter((v) => v.outcome === outcome)).toEqual([]);
  });
});

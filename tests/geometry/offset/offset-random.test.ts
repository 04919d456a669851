import { describe, expect, it } from "vitest";
import { judgeOffsets } from "../../fuzz/offset.fuzz.js";
import { clipperFaults } from "../../fuzz/offset-clipper.js";
import { faultsOf } from "../../fuzz/offset-judge.js";
import { random } from "../../helpers/shapes.js";
import { OFFSET_CASES } from "./offset-cases.js";

describe("the offset of random nasty outlines", () => {
  it("is at distance d everywhere, with every loop and no other, moved, mirrored and opened as it should (1,000 of them)", () => {
    const { failures, skipped } = judgeOffsets({ seed: 1, count: 1000 });
    expect(failures).toEqual([]);
    const asked = 1000 - Object.values(skipped).reduce((sum, n) => sum + n, 0);
    expect(asked).toBeGreaterThan(800);
  }, 240_000);
});

describe("outlines on which the offset was once wrong", () => {
  for (const [story, c] of Object.entries(OFFSET_CASES))
    it(story, () => {
      expect(faultsOf(c, random(1))).toEqual([]);
      expect(clipperFaults(c)).toEqual([]);
    });
});

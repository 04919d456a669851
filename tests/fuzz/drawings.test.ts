import { describe, expect, it } from "vitest";
import { judgeDrawings } from "./drawings.fuzz.js";

describe("drawing files spoilt in every way", () => {
  it("are read or refused in time, and never wrongly without a word: 100 of them (npm run fuzz -- drawings for thousands)", () => {
    const { failures, outcomes } = judgeDrawings({ seed: 1, count: 100 });
    expect(failures).toEqual([]);
    expect(outcomes.read).toBeGreaterThan(20);
    expect(outcomes.refused).toBeGreaterThan(20);
  });

  it("are not judged by tags of entities that stray into the tables (seed 8971)", () => {
    expect(judgeDrawings({ seed: 8971, count: 1 }).failures).toEqual([]);
  });
});

import { describe, expect, it } from "vitest";
import { fuzz } from "../fuzz/svg.fuzz.js";

describe("spoilt SVG files", () => {
  it("are read or refused with a typed error, in time, with sound geometry", () => {
    // The long run: npm run fuzz -- svg
    expect(fuzz({ seed: 1, count: 150 })).toEqual([]);
  });

  it("cost no time where numbers run into each other", () => {
    // A pattern that tries every way to part digits would take longer than the sun has.
    expect(fuzz({ seed: 1551, count: 1 })).toEqual([]);
  });
});

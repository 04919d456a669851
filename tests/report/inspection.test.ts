import { describe, expect, it } from "vitest";
import { inspectionText } from "../../src/report/inspection-text.js";
import { inspect } from "../../src/run.js";

/** A drawing of one closed path, inspected as an opening. */
const opening = (path: string) =>
  inspect({
    name: "opening",
    drawing: `<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="40mm" viewBox="0 0 40 40"><path d="${path}"/></svg>`,
    job: '{ "roles": { "outer": "opening" }, "passes": 1 }',
  });
const wireLine = (path: string): string =>
  /Largest wire +(.*)/.exec(inspectionText("x", opening(path)))?.[1] ?? "";

describe("the largest wire for an outline", () => {
  it("is the thickest usual one that turns in its tightest corner", () => {
    // Corners of 0.16 mm take a 0.25 mm wire with 0.03 mm of gap at most, not one of 0.3 mm.
    const r = 0.16;
    const path = `M${r} 0 H${20 - r} A${r} ${r} 0 0 1 20 ${r} V${10 - r} A${r} ${r} 0 0 1 ${20 - r} 10 H${r} A${r} ${r} 0 0 1 0 ${10 - r} V${r} A${r} ${r} 0 0 1 ${r} 0 Z`;
    const { largestWire } = opening(path);
    expect(largestWire).toBe(0.25);
    expect(wireLine(path)).toBe("0.25 mm cuts everything");
  });

  it("is none in a sharp corner, and then the one that cuts everything else is told", () => {
    // The slot is 0.5 mm wide.
    const path = "M0 0 H20 V4 H25 V4.5 H20 V10 H0 Z";
    const { largestWire, largestWireButCorners } = opening(path);
    expect(largestWire).toBeNull();
    expect(largestWireButCorners).toBeGreaterThanOrEqual(0.3);
    expect(largestWireButCorners).toBeLessThan(0.5);
    expect(wireLine(path)).toBe(
      `no usual wire cuts every corner; ${largestWireButCorners} mm cuts everything but sharp corners`,
    );
  });

  it("is none where a slot is narrower than every wire", () => {
    const path = "M0 0 H20 V4 H25 V4.01 H20 V10 H0 Z";
    expect(opening(path).largestWireButCorners).toBeNull();
    expect(wireLine(path)).toBe("no usual wire gets everywhere");
  });
});

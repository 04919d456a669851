import { describe, expect, it } from "vitest";
import type { Finding } from "../../src/base/finding.js";
import type { Proof } from "../../src/proof/proof.js";
import { planSummary } from "../../src/report/summary.js";
import { handPlan, WINDOW } from "../helpers/hand-plan.js";

const PROOF: Proof = {
  ok: true,
  maxGouge: 0.0001,
  maxExcess: 0.0002,
  coverage: 1,
  passes: [],
  loosePieces: [
    { feature: "opening-1", attended: true, line: 40, mass: 0.039, at: [0, 0] },
  ],
  words: { G01: 20 },
  gougeAt: null,
  excessAt: null,
  unreached: [],
  corners: null,
  threadPlaces: [],
  blocks: 60,
  findings: [],
};

const failing: Finding = {
  code: "plan/no-room",
  severity: "error",
  message: "no room for a start hole",
};

describe("the summary that plan --json prints", () => {
  const plan = handPlan([WINDOW]);
  const summary = planSummary(plan, PROOF, ["window.iso"]);

  it("has exactly the keys of the contract, in its order", () => {
    expect(Object.keys(summary)).toEqual(
      "ok units features slits passes cuts stops totals findings proof files".split(
        " ",
      ),
    );
    expect(Object.keys(summary.features[0] ?? {})).toEqual(
      "id role layer area perimeter minInsideRadius startHole tab slug time".split(
        " ",
      ),
    );
    expect(Object.keys(summary.passes[0] ?? {})).toEqual(
      "number kind gap leave offset".split(" "),
    );
    expect(Object.keys(summary.cuts[0] ?? {})).toEqual(
      "feature pass direction length attended".split(" "),
    );
    expect(Object.keys(summary.totals)).toEqual(
      "cutLength time timeRange attended unattended machine labour wireLength wireMass spools threads stops cost".split(
        " ",
      ),
    );
    expect(Object.keys(summary.proof ?? {})).toEqual(
      "ok maxGouge maxExcess coverage loosePieces words blocks".split(" "),
    );
    expect(summary.proof?.loosePieces).toEqual([
      { feature: "opening-1", attended: true },
    ]);
  });

  it("survives being written and read back", () => {
    expect(JSON.parse(JSON.stringify(summary))).toEqual(summary);
  });

  it("gives the window's figures: 20 × 10 with 1 mm corners", () => {
    // 200 - (4 - π) and 60 - 8 + 2π; 7.85 g/cm³ × 25 mm.
    expect(summary.features[0]).toMatchObject({
      id: "opening-1",
      role: "opening",
      minInsideRadius: 1,
      startHole: [1, 0],
    });
    const area = 196 + Math.PI;
    expect(summary.features[0]?.area).toBeCloseTo(area, 9);
    expect(summary.features[0]?.perimeter).toBeCloseTo(52 + 2 * Math.PI, 9);
    expect(summary.features[0]?.slug.mass).toBeCloseTo(area * 25 * 7.85e-6, 12);
  });

  it("lists strokes in order, alternating, the attended ones last", () => {
    expect(summary.cuts.map((c) => [c.pass, c.direction, c.attended])).toEqual([
      [1, "ccw", false],
      [2, "cw", false],
      [3, "ccw", false],
      [1, "ccw", true],
      [2, "cw", true],
      [3, "ccw", true],
    ]);
  });

  it("says after how many strokes the machine stops, and why", () => {
    expect(summary.stops.map((s) => s.after)).toEqual([3, 4]);
    expect(summary.stops[0]?.reason).toContain("opening-1");
  });

  it("adds its strokes up to the total", () => {
    const mm = summary.cuts.reduce((sum, c) => sum + c.length, 0);
    expect(mm).toBeCloseTo(summary.totals.cutLength, 9);
  });

  it("is not ok with an error finding, a failed proof or no proof", () => {
    expect(summary.ok).toBe(true);
    expect(planSummary(plan, null, []).ok).toBe(false);
    expect(planSummary(plan, null, []).proof).toBeNull();
    expect(planSummary(plan, { ...PROOF, ok: false }, []).ok).toBe(false);
    const bad = planSummary({ ...plan, findings: [failing] }, PROOF, []);
    expect(bad.ok).toBe(false);
    expect(bad.findings).toEqual([failing]);
  });
});

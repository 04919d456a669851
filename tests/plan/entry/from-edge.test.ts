import { describe, expect, it } from "vitest";
import { circleContour, windingNumber } from "../../../src/geometry/contour.js";
import { distanceToSegment } from "../../../src/geometry/distance.js";
import { vec } from "../../../src/geometry/vec.js";
import type { Layout } from "../../../src/plan/feature.js";
import type { JobFile } from "../../../src/plan/job/file.js";
import { settleJob } from "../../../src/plan/job/job.js";
import { makePlan } from "../../../src/plan/make-plan.js";
import type { PlannedFeature } from "../../../src/plan/plan.js";
import { setupSheet } from "../../../src/report/setup-sheet.js";
import { feature, layoutOf, rectangle } from "../../helpers/layouts.js";
import { proved } from "../../helpers/proved.js";

const block = rectangle(-10, -10, 60, 40);
const inBlock = (...features: Parameters<typeof layoutOf>): Layout => ({
  ...layoutOf(...features),
  stock: block,
});
const punch = feature("part-1", "part", rectangle(0, 0, 20, 12));
const file: JobFile = { passes: 3, start: "edge" };
const onePart = ({ features }: { features: readonly PlannedFeature[] }) =>
  features[0] as PlannedFeature;

describe("a part that begins at the block's edge", () => {
  const { plan, proof } = proved(inBlock(punch), file);
  const { startHole, leadPoint } = onePart(plan);

  it("is threaded in the open: outside the block, clear of its edge, with no hole", () => {
    expect(startHole.diameter).toBe(0);
    expect(windingNumber(block, startHole.at)).toBe(0);
    const air = Math.min(
      ...block.segments.map((s) =>
        distanceToSegment(s, startHole.at.x, startHole.at.y),
      ),
    );
    // 1 mm beside the wire and its gap: common practice, no source.
    expect(air).toBeCloseTo(1 + 0.125 + 0.03, 6);
    expect(proof.threadPlaces.map((t) => t.room)).toEqual(["air"]);
  });

  it("is led in square to the outline, from the nearer edge", () => {
    const along = Math.min(
      Math.abs(leadPoint.x - startHole.at.x),
      Math.abs(leadPoint.y - startHole.at.y),
    );
    expect(along).toBeLessThan(1e-9);
    // The block reaches 10 mm beyond the part on the left and below, 18 mm above and 30 mm on the right.
    expect(Math.min(startHole.at.x, startHole.at.y)).toBeLessThan(-10);
  });

  it("comes loose itself, once, with somebody there; the rest of the block stays whole", () => {
    expect(proof.loosePieces).toHaveLength(1);
    expect(proof.loosePieces[0]?.attended).toBe(true);
    // 20 × 12 × 25 mm of tool steel at 7.85 g/cm³ (process table).
    expect(proof.loosePieces[0]?.mass).toBeCloseTo(0.0471, 6);
  });

  it("opens the block, and the plan says so", () => {
    const told = plan.findings.find((f) => f.code === "start/opens-block");
    expect(told?.severity).toBe("note");
    const relieved = makePlan(
      inBlock(punch),
      settleJob({ ...file, stressRelief: true }),
      "x",
    ).findings.find((f) => f.code === "start/opens-block");
    expect(relieved?.severity).toBe("warning");
  });

  it("wants no drill: the sheet lists where to thread", () => {
    const sheet = setupSheet(plan, proof);
    expect(sheet).toContain("no hole: in the open, outside the block");
    expect(sheet).toContain("There is nothing to drill");
    expect(sheet).not.toContain("to make, right through");
  });

  it("proves with the control's own compensation, in either order, and with stress relief", () => {
    proved(inBlock(punch), {
      ...file,
      program: { compensation: "control" },
      order: "one-by-one",
    });
    proved(inBlock(punch), { ...file, stressRelief: true });
  });
});

describe("several parts from the edge", () => {
  const four = [0, 1, 2, 3].map((i) =>
    feature(`part-${i + 1}`, "part", rectangle(i * 13, 5, 9, 9)),
  );
  it("leave the rest of the block in one piece", () => {
    const { plan, proof } = proved(inBlock(...four), file);
    expect(plan.features.map((f) => f.startHole.diameter)).toEqual([
      0, 0, 0, 0,
    ]);
    expect(proof.loosePieces.map((p) => p.feature).sort()).toEqual(
      four.map((f) => f.id),
    );
  });

  it("and one from a hole that is placed by hand, without a word of warning", () => {
    const { plan } = proved(inBlock(...four), {
      ...file,
      features: { "part-2": { startHole: [17.5, 16.5] } },
    });
    expect(plan.features[1]?.startHole.at).toEqual(vec(17.5, 16.5));
    expect(plan.findings.map((f) => f.code)).not.toContain(
      "start/hole-instead",
    );
  });

  it("and one by hand from a hole", () => {
    const { plan } = proved(inBlock(...four), {
      ...file,
      features: { "part-2": { start: "hole" } },
    });
    expect(plan.features.map((f) => f.startHole.diameter > 0)).toEqual([
      false,
      true,
      false,
      false,
    ]);
  });
});

it("a heavy part from the edge has a hole for its second tab, or the block would fall in two", () => {
  const layout = {
    ...layoutOf(feature("part-1", "part", rectangle(0, 0, 160, 120))),
    stock: rectangle(-20, -20, 200, 160),
  };
  const { plan, proof } = proved(layout, {
    ...file,
    stock: { thickness: 40 },
  });
  const entries = [onePart(plan), ...onePart(plan).further];
  expect(entries.map((e) => e.startHole.diameter > 0).sort()).toEqual([
    false,
    true,
  ]);
  expect(proof.loosePieces).toHaveLength(1);
});

describe("where it cannot be", () => {
  const codes = (layout: Layout, job: JobFile) =>
    makePlan(layout, settleJob(job), "x")
      .findings.filter((f) => f.code.startsWith("start/"))
      .map((f) => [f.code, f.severity]);
  const asked = (id: string): JobFile => ({
    features: { [id]: { start: "edge" } },
  });

  it("no block is drawn: an error that says to draw it", () => {
    expect(codes(layoutOf(punch), file)).toEqual([["start/no-block", "error"]]);
    expect(codes(layoutOf(punch), asked("part-1"))).toEqual([
      ["start/no-block", "error"],
    ]);
  });

  it("an opening, or a part in an opening, asked for by name: refused", () => {
    const die = feature("opening-1", "opening", rectangle(0, 0, 30, 20));
    const core = feature("part-1", "part", rectangle(8, 6, 12, 8), die);
    const layout = inBlock(die, core);
    for (const id of ["opening-1", "part-1"])
      expect(codes(layout, asked(id))).toEqual([["start/refused", "error"]]);
    // As a general wish it is for parts that lie in the block itself; the others start from holes.
    expect(codes(layout, file)).toEqual([]);
    proved(layout, file);
  });

  it("a part walled in by others: refused by name, from a hole otherwise", () => {
    const wall = (i: number, x: number, y: number, w: number, h: number) =>
      feature(`part-${i}`, "part", rectangle(x, y, w, h));
    const layout = inBlock(
      punch,
      wall(2, -5, -5, 2, 22),
      wall(3, 23, -5, 2, 22),
      wall(4, -2, -5, 24, 2),
      wall(5, -2, 15, 24, 2),
    );
    expect(codes(layout, asked("part-1"))).toEqual([
      ["start/refused", "error"],
    ]);
    expect(codes(layout, file)).toContainEqual([
      "start/hole-instead",
      "warning",
    ]);
    proved(layout, file);
  });

  it("a hole and the edge for one part: said once", () => {
    expect(() =>
      settleJob({
        features: { "part-1": { start: "edge", startHole: [1, 2] } },
      }),
    ).toThrow(/features.part-1.start must be left out, or "hole"/);
  });
});

it("is led in from a round bar too", () => {
  const layout = {
    ...layoutOf(punch),
    stock: circleContour(vec(10, 6), 20),
  };
  const { plan } = proved(layout, file);
  expect(onePart(plan).startHole.diameter).toBe(0);
});

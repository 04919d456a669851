import { describe, expect, it } from "vitest";
import { polygonContour } from "../../../src/geometry/contour.js";
import { distance, vec } from "../../../src/geometry/vec.js";
import type { DrawnHole, Layout } from "../../../src/plan/feature.js";
import { settleJob } from "../../../src/plan/job/job.js";
import { makePlan } from "../../../src/plan/make-plan.js";
import { feature, layoutOf, rectangle } from "../../helpers/layouts.js";
import { proved } from "../../helpers/proved.js";

const plate = feature("part-1", "part", rectangle(-20, -20, 60, 60));
const die = feature("opening-1", "opening", rectangle(0, 0, 16, 4), plate);
const withHoles = (...holes: DrawnHole[]): Layout => ({
  ...layoutOf(plate, die),
  holes,
});
const planOf = (layout: Layout) =>
  makePlan(layout, settleJob({ passes: 2 }), "x");
const told = (layout: Layout) =>
  planOf(layout).findings.filter((f) => f.code.startsWith("start-hole/"));

describe("a hole that is drawn", () => {
  it("is told where it serves nothing", () => {
    const used = { at: vec(8, 2), diameter: 1 };
    const idle = { at: vec(30, 30), diameter: 1 };
    expect(told(withHoles(used, idle))).toMatchObject([
      { code: "start-hole/unused", severity: "note", where: [30, 30] },
    ]);
  });

  it("is an error across an edge, though nothing uses it", () => {
    // 1 mm above the edge at y = 4, and 1.5 mm in radius.
    expect(told(withHoles({ at: vec(8, 5), diameter: 3 }))).toMatchObject([
      {
        code: "start-hole/close",
        severity: "error",
        feature: "opening-1",
        message: expect.stringContaining("0.5 mm across the edge"),
      },
    ]);
  });

  it("is an error where the rough meets it at both sides: the slug would come apart", () => {
    // The slug is about 3.3 mm wide, and so is the hole.
    const errors = told(withHoles({ at: vec(8, 2), diameter: 3.4 })).filter(
      (f) => f.severity === "error",
    );
    expect(errors.map((f) => f.code)).toEqual(["start-hole/parts-slug"]);
  });

  it("is an error in a part's inside corner, where the rough meets it along both walls: the waste in the corner would fall", () => {
    // An L: the hole of 3 mm lies 0.2 mm off both walls of the corner at (10, 10), and the kerf reaches 0.37 mm.
    const corner = polygonContour(
      [
        [0, 0],
        [30, 0],
        [30, 10],
        [10, 10],
        [10, 30],
        [0, 30],
      ].map(([x = 0, y = 0]) => vec(x, y)),
    );
    const hole = { at: vec(11.7, 11.7), diameter: 3 };
    const layout = {
      ...layoutOf(feature("part-1", "part", corner)),
      holes: [hole],
    };
    const errors = told(layout).filter((f) => f.severity === "error");
    expect(errors).toMatchObject([
      {
        code: "start-hole/parts-slug",
        where: [11.7, 11.7],
        message: expect.stringContaining("the waste around part-1"),
      },
    ]);
  });

  it("is not threaded where it stands on the rim of another: the wire would go through metal there", () => {
    const wide = { at: vec(5, 2), diameter: 1.4 };
    const onRim = { at: vec(5.6, 2), diameter: null };
    const { plan } = proved(withHoles(onRim, wide), { passes: 2 });
    const own = plan.features.find((f) => f.id === "opening-1");
    expect(own?.startHole.at).not.toEqual(onRim.at);
  });

  it("is not used for a lead to the far wall where it reaches the rough's kerf along the near one: the slug would come apart", () => {
    // 0.3 mm of metal below the hole, less than the kerf takes; the lead goes up to (8, 6).
    const wide = feature("opening-1", "opening", rectangle(0, 0, 16, 6), plate);
    const hole = { at: vec(8, 1.3), diameter: 2 };
    const { plan, proof } = proved(
      { ...layoutOf(plate, wide), holes: [hole] },
      { passes: 2, features: { "opening-1": { lead: { at: [8, 6] } } } },
    );
    const own = plan.features.find((f) => f.id === "opening-1");
    expect(own?.startHole.drawn).toBe(false);
    expect(proof.loosePieces.filter((p) => !p.attended)).toEqual([]);
  });

  it("is kept clear of by the holes that are planned", () => {
    // So near the middle of a small opening that no lead-in fits from there, and a hole of its own has to be found.
    const small = feature("opening-1", "opening", rectangle(0, 0, 9, 9), plate);
    const hole = { at: vec(1, 1), diameter: 1.2 };
    const { features } = planOf({ ...layoutOf(plate, small), holes: [hole] });
    for (const { startHole: h } of features)
      expect(h.drawn || distance(h.at, hole.at) > (h.diameter + 1.2) / 2).toBe(
        true,
      );
  });
});

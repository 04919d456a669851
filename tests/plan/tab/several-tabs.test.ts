import { describe, expect, it } from "vitest";
import { polygonContour } from "../../../src/geometry/contour.js";
import { distance, sub, unit, vec } from "../../../src/geometry/vec.js";
import type { Layout } from "../../../src/plan/feature.js";
import type { JobFile } from "../../../src/plan/job/file.js";
import { settleJob } from "../../../src/plan/job/job.js";
import { makePlan } from "../../../src/plan/make-plan.js";
import {
  entriesOf,
  type PlannedFeature,
  type Tab,
} from "../../../src/plan/plan.js";
import { bulgeOf, type Piece } from "../../acceptance/plane.js";
import { involuteGear, randomFrom } from "../../acceptance/shapes.js";
import { feature, layoutOf, rectangle } from "../../helpers/layouts.js";
import { proved as provedPlan } from "../../helpers/proved.js";
import { bulged, gear } from "../../helpers/shapes.js";

const proved = (layout: Layout, file: JobFile) => {
  const { plan, proof } = provedPlan(layout, file);
  return { plan, proof, only: plan.features[0] as PlannedFeature };
};

describe("a piece over 5 kg", () => {
  // 160 × 120 × 40 mm of tool steel at 7.8 g/cm³: 6 kg. Two tabs from 5 kg on: common practice, no source.
  const big = rectangle(0, 0, 160, 120);
  const file: JobFile = { stock: { thickness: 40 }, passes: 2 };

  it.each(["opening", "part"] as const)(
    "as %s keeps two tabs across from each other, each with a start hole and a cut of its own",
    (role) => {
      const layout = layoutOf(feature(`${role}-1`, role, big));
      const { plan, proof, only } = proved(layout, file);
      const entries = entriesOf(only);
      expect(entries).toHaveLength(2);
      const [a, b] = entries.map((e) =>
        unit(sub((e.tab as Tab).at, only.slug.cg)),
      );
      // The angle between them is over 120°.
      expect(
        (a?.x ?? 0) * (b?.x ?? 0) + (a?.y ?? 0) * (b?.y ?? 0),
      ).toBeLessThan(-0.5);
      const alone = plan.steps.filter((s) => s.kind === "cut" && !s.attended);
      expect(alone.map((s) => s.kind === "cut" && s.thread)).toEqual(
        entries.map((e) => e.startHole.at),
      );
      expect(proof.loosePieces).toHaveLength(1);
      const told = plan.findings.find((f) => f.code === "tab/several");
      expect(told?.message).toContain("cannot jump a tab");
    },
  );

  it("keeps its tabs where two marks are drawn", () => {
    const tabMarks = [vec(160, 20), vec(0, 100)];
    const layout = {
      ...layoutOf(feature("opening-1", "opening", big)),
      tabMarks,
    };
    const { only } = proved(layout, { ...file, tabs: { layer: "TABS" } });
    for (const mark of tabMarks)
      expect(
        Math.min(
          ...entriesOf(only).map((e) => distance((e.tab as Tab).at, mark)),
        ),
      ).toBeLessThan(1e-6);
  });
});

describe("a neck narrower than two kerfs and the stock beside them", () => {
  it("parts the slug: each piece keeps a tab and is taken out by itself", () => {
    // 2 · (0.21 + 0.155) = 0.73 mm: of a neck of 0.6 mm nothing is left between the two ways of the rough.
    const dumbbell = polygonContour([
      vec(0, 0),
      vec(8, 0),
      vec(8, 3.7),
      vec(10, 3.7),
      vec(10, 0),
      vec(18, 0),
      vec(18, 8),
      vec(10, 8),
      vec(10, 4.3),
      vec(8, 4.3),
      vec(8, 8),
      vec(0, 8),
    ]);
    const layout = layoutOf(feature("opening-1", "opening", dumbbell));
    const { plan, proof, only } = proved(layout, { passes: 3 });
    expect(
      entriesOf(only)
        .map((e) => e.startHole.at.x < 9)
        .sort(),
    ).toEqual([false, true]);
    expect(proof.loosePieces.map((p) => p.attended)).toEqual([true, true]);
    const reasons = plan.steps.flatMap((s) =>
      s.kind === "stop" ? [s.reason] : [],
    );
    expect(reasons).toEqual([
      "opening-1: secure slug 1 of 2, it comes loose next",
      "opening-1: take slug 1 of 2 out",
      "opening-1: secure slug 2 of 2, it comes loose next",
      "opening-1: take slug 2 of 2 out",
    ]);
  });
});

it.each([0.21, 0.25, 0.3])(
  "two lobes joined by a neck of half width %f mm keep tabs as long as asked, none of which reaches through the neck",
  (h) => {
    // Circles of 5 mm about (±8, 0), and two lines between them.
    const x = 8 - Math.sqrt(25 - h * h);
    const bulge = Math.tan((Math.PI - Math.asin(h / 5)) / 2);
    const lobes = bulged([
      [-x, -h, 0],
      [x, -h, bulge],
      [x, h, 0],
      [-x, h, bulge],
    ]);
    for (const length of [1, 2]) {
      const { plan } = proved(
        layoutOf(feature("opening-1", "opening", lobes)),
        { wire: { diameter: 0.2 }, passes: 4, tabs: { length } },
      );
      const tabs = plan.features.flatMap(entriesOf).map((e) => e.tab?.length);
      expect(tabs).toHaveLength(2);
      for (const stands of tabs) expect(stands).toBeCloseTo(length, 1);
    }
  },
);

it.each([
  [16, 10, 8.5],
  [12, 8, 6],
])(
  "a short tab in an opening of %d teeth, %f to %f mm, is not about a corner, where it would hold by less than it seems",
  (teeth, tip, root) => {
    const { plan } = proved(
      layoutOf(feature("opening-1", "opening", gear(teeth, tip, root, 0.3))),
      { passes: 3, tabs: { length: 0.3 } },
    );
    const { tab } = plan.features[0] as PlannedFeature;
    // On a tip or in a root.
    const r = tab ? Math.hypot(tab.at.x, tab.at.y) : 0;
    expect(Math.min(Math.abs(r - tip), Math.abs(r - root))).toBeLessThan(0.05);
  },
);

it.each([2, 4])(
  "a tab of 0.3 mm on involute wheel %d stands clear of corners, where the kerfs come nearer to each other",
  (seed) => {
    const { spans } = involuteGear(randomFrom(seed));
    const wheel = bulged(
      (spans as Piece[]).map((s) => [s.a.x, s.a.y, bulgeOf(s)] as const),
    );
    const { proof } = proved(layoutOf(feature("part-1", "part", wheel)), {
      passes: 3,
      tabs: { length: 0.3 },
    });
    expect(proof.findings.map((f) => f.code)).not.toContain("proof/tab-thin");
  },
);

it("a tab is refused where the piece would hang by less than its weight bends", () => {
  // 200 × 200 × 4 mm of tool steel, 7.8 g/cm³: 1.25 kg on an arm of 100 mm. Cantilever, twice over, annealed (350 MPa):
  // 2 · 6 · 12.2 N · 100 mm / (350 MPa · 4² mm²) = 2.6 mm.
  const plate = layoutOf(
    feature("opening-1", "opening", rectangle(0, 0, 200, 200)),
  );
  const codes = (length: number): string[] =>
    makePlan(
      plate,
      settleJob({ stock: { thickness: 4 }, tabs: { length } }),
      "x",
    ).findings.map((f) => f.code);
  expect(codes(2.4)).toContain("tab/weak");
  expect(codes(2.8)).not.toContain("tab/weak");
  proved(plate, { stock: { thickness: 4 }, tabs: { length: 2.8 } });
});

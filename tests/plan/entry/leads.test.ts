import { describe, expect, it } from "vitest";
import { circleContour } from "../../../src/geometry/contour.js";
import {
  type Segment,
  segmentLength,
  tangentAt,
} from "../../../src/geometry/segment.js";
import { distance, vec } from "../../../src/geometry/vec.js";
import type { Layout } from "../../../src/plan/feature.js";
import type { JobFile } from "../../../src/plan/job/file.js";
import { settleJob } from "../../../src/plan/job/job.js";
import { makePlan } from "../../../src/plan/make-plan.js";
import type { Cut, Plan, Stroke } from "../../../src/plan/plan.js";
import { setupSheet } from "../../../src/report/setup-sheet.js";
import { feature, layoutOf, rectangle } from "../../helpers/layouts.js";
import { proved } from "../../helpers/proved.js";
import { rounded } from "../../helpers/shapes.js";

const die = layoutOf(feature("opening-1", "opening", rectangle(0, 0, 30, 20)));
const round = layoutOf(
  feature("opening-1", "opening", circleContour(vec(0, 0), 8)),
);
const punch = layoutOf(feature("part-1", "part", rectangle(0, 0, 30, 20)));
const passes: JobFile["passes"] = [
  { gap: 0.03, leave: 0.055 },
  { gap: 0.015, leave: 0.005 },
  { gap: 0.01, leave: 0 },
];
const arcs: JobFile = { passes, lead: { kind: "arc", radius: 1 } };

const strokesOf = (plan: Plan, stretch: Stroke["stretch"]): Stroke[] =>
  plan.steps
    .filter((s): s is Cut => s.kind === "cut")
    .flatMap((c) => c.strokes)
    .filter((s) => s.stretch === stretch);
const ends = ({ path }: Stroke) => [path[0], path.at(-1)] as [Segment, Segment];
const codes = (plan: Plan) => plan.findings.map((f) => f.code);

describe("leads on an arc", () => {
  it.each([
    ["a straight edge", die],
    ["a round", round],
  ])("begin and end each skim of the tab tangent to %s", (_, layout) => {
    const { plan } = proved(layout, arcs);
    const skims = strokesOf(plan, "tab").filter((s) => s.pass > 1);
    expect(skims.map((s) => s.pass)).toEqual([2, 3]);
    for (const s of skims) {
      const [first, last] = ends(s);
      // 1 mm on the outline less the pass's offset: 0.855 and 0.865 mm for 0.145 and 0.135.
      const r = s.pass === 2 ? 0.855 : 0.865;
      for (const arc of [first, last]) {
        expect(arc.kind === "arc" && arc.radius).toBeCloseTo(r, 9);
        // A quarter turn.
        expect(segmentLength(arc)).toBeCloseTo((r * Math.PI) / 2, 9);
      }
      const into = tangentAt(s.path[1] as Segment, 0);
      const out = tangentAt(s.path.at(-2) as Segment, 1);
      expect(distance(tangentAt(first, 1), into)).toBeLessThan(1e-6);
      expect(distance(tangentAt(last, 0), out)).toBeLessThan(1e-6);
    }
    expect(codes(plan)).not.toContain("lead/no-arc");
  });

  it("are reached by a straight way, square to them and longer than D, as G41 wants it", () => {
    const { plan } = proved(die, {
      ...arcs,
      program: { compensation: "control" },
    });
    for (const s of strokesOf(plan, "tab").filter((k) => k.pass > 1)) {
      const first = s.outline[0] as Segment;
      expect(first.kind === "arc" && first.radius).toBeCloseTo(1, 9);
      const t = tangentAt(first, 0);
      const ramp = vec(first.start.x - s.from.x, first.start.y - s.from.y);
      expect(Math.hypot(ramp.x, ramp.y)).toBeGreaterThan(0.21);
      expect(t.x * ramp.x + t.y * ramp.y).toBeCloseTo(0, 9);
    }
  });

  it("leave the strokes beside a standing tab straight: an arc would undercut it", () => {
    const { plan } = proved(die, arcs);
    const plain = proved(die, { passes }).plan;
    expect(strokesOf(plan, "open")).toEqual(strokesOf(plain, "open"));
    expect(plan.features[0]?.tab).toEqual(plain.features[0]?.tab);
  });

  it("are straight after all, and told, on a part and where there is no room", () => {
    expect(codes(proved(punch, arcs).plan)).toContain("lead/no-arc");
    const slim = layoutOf(
      feature("opening-1", "opening", rectangle(0, 0, 30, 2.4)),
    );
    const { plan } = proved(slim, {
      passes,
      lead: { kind: "arc", radius: 3 },
    });
    expect(codes(plan)).toContain("lead/no-arc");
    for (const s of strokesOf(plan, "tab"))
      expect(ends(s).map((e) => e.kind)).toEqual(["line", "line"]);
  });

  it("end so far from a wall across that the widest gap has room: on the way to an arc nothing says which pass burns", () => {
    // As the tab is moved, the end of an arc comes by the wall at x = 4.5 mm, within what the last pass needs and the first does not have.
    const slot = layoutOf(
      feature(
        "opening-1",
        "opening",
        rounded([vec(0, 0), vec(4.5, 0), vec(4.5, 3.1), vec(0, 3.1)], 0.465),
      ),
    );
    for (let k = 10; k <= 18; k++)
      proved(slot, {
        lead: { kind: "arc", radius: 0.982 },
        startHoles: { clearance: 0.1 },
        passes: [
          { gap: 0.033, leave: 0.1964 },
          { gap: 0.033, leave: 0.06 },
          { gap: 0.015, leave: 0.015 },
          { gap: 0.01, leave: 0.004 },
          { gap: 0.008, leave: 0 },
        ],
        features: {
          "opening-1": { tab: { at: [2.6 - k / 40, 0], length: 1.2 } },
        },
      });
  });

  it("hold with stress relief, and where a small opening is cut away whole", () => {
    proved(die, { ...arcs, stressRelief: true });
    const small = layoutOf(
      feature("opening-1", "opening", rectangle(0, 0, 5, 5)),
    );
    const { plan } = proved(small, { ...arcs, tabs: { minSlugArea: 100 } });
    const skims = strokesOf(plan, "open").filter((s) => s.pass > 1);
    for (const s of skims)
      expect(ends(s).map((e) => e.kind)).toEqual(["arc", "arc"]);
    expect(skims).toHaveLength(2);
  });
});

describe("lead.spread", () => {
  const spread: JobFile = { passes, lead: { spread: 0.4 } };

  it.each([
    ["a straight edge", die],
    ["a round", round],
  ])("begins and ends each skim farther from the tab on %s", (_, layout) => {
    const { plan } = proved(layout, spread);
    const [rough, second, third] = strokesOf(plan, "open") as [
      Stroke,
      Stroke,
      Stroke,
    ];
    // The second pass runs back: it begins beside the tab's end and ends beside the lead point. Where the wire stands
    // off, places 0.4 mm apart along the rough's path are about as far apart (nearer on a round).
    for (const [a, b, far] of [
      [rough.to, second.from, 0.4],
      [rough.from, second.to, 0.4],
      [rough.from, third.from, 0.8],
      [rough.to, third.to, 0.8],
    ] as const)
      expect(Math.abs(distance(a, b) - far)).toBeLessThan(0.02);
  });

  it("that the path is too short for is told, with what it comes to", () => {
    const told = (lead: JobFile["lead"]): string[] =>
      proved(die, { passes, lead })
        .plan.findings.filter((f) => f.code === "lead/spread-short")
        .map((f) => f.message);
    expect(told({ spread: 0.4 })).toEqual([]);
    const [message, ...more] = told({ spread: 5 });
    expect(more).toEqual([]);
    expect(message).toMatch(
      /begins [0-4]\.\d+ mm farther on .* not lead\.spread \(5 mm\)/,
    );
  });

  it("keeps every overlap: the proof finds no line left where passes meet", () => {
    for (const more of [
      {},
      { stressRelief: true },
      { program: { compensation: "control" } },
      { lead: { kind: "arc", spread: 0.4 } },
    ] satisfies JobFile[]) {
      const { proof } = proved(die, { ...spread, ...more });
      expect(proof.findings.map((f) => f.code)).not.toContain(
        "proof/overlap-short",
      );
      expect(proof.coverage).toBeGreaterThan(0.9999);
    }
  });

  it("changes nothing on a part, whose tab is cut last", () => {
    const steps = (file: JobFile) =>
      JSON.stringify(makePlan(punch, settleJob(file), "x").steps);
    expect(steps(spread)).toBe(steps({ passes }));
  });

  it("spreads the passes round a small opening that is cut away whole", () => {
    const small: Layout = layoutOf(
      feature("opening-1", "opening", rectangle(0, 0, 5, 5)),
    );
    const { plan } = proved(small, { ...spread, tabs: { minSlugArea: 100 } });
    const [rough, second] = strokesOf(plan, "open") as [Stroke, Stroke];
    expect(distance(rough.from, second.to)).toBeCloseTo(0.4, 6);
  });
});

it("the setup sheet says how the wire is led", () => {
  const sheet = (lead: JobFile["lead"]) =>
    setupSheet(makePlan(die, settleJob({ passes, lead }), "x"), null);
  expect(sheet({})).toContain(
    "straight, square to the outline; overlap 0.5 mm",
  );
  expect(sheet({ kind: "arc", radius: 1, spread: 0.2 })).toContain(
    "on an arc of 1 mm radius where no tab stands beside it, else straight; overlap 0.5 mm; each skim of an opening begins 0.2 mm farther on",
  );
});

describe("what lead may say", () => {
  it.each([
    [{ radius: 1 }, /lead.radius must be left out, or lead.kind "arc"/],
    [{ kind: "arc", radius: 0.3 }, /lead.radius must be 0.36 mm or more/],
    [{ kind: "round" }, /lead.kind must be "straight" or "arc"/],
    [{ spread: -1 }, /lead.spread must be a number, 0 or more/],
  ])("not %j", (lead, message) => {
    expect(() => settleJob({ passes, lead } as JobFile)).toThrow(message);
  });

  it("in inches as well", () => {
    const { lead } = settleJob({
      units: "in",
      lead: { kind: "arc", radius: 0.04, spread: 0.01 },
    });
    expect(lead).toMatchObject({ radius: 1.016, spread: 0.254 });
  });
});

it("skims that begin apart leave no strip between their ways to the outline, however thin the wire", () => {
  // 0.05 mm: its kerfs are under 0.1 mm wide, and from stroke to stroke the wire runs beside the rough's kerf.
  proved(die, {
    wire: { diameter: 0.05 },
    passes: 4,
    lead: { spread: 0.2 },
  });
});

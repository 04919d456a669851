import { describe, expect, it } from "vitest";
import { circleContour, polygonContour } from "../../src/geometry/contour.js";
import {
  indexSegments,
  nearestOnSegment,
} from "../../src/geometry/distance.js";
import {
  pointAt,
  type Segment,
  segmentLength,
} from "../../src/geometry/segment.js";
import { distance } from "../../src/geometry/vec.js";
import type { JobFile } from "../../src/plan/job/file.js";
import { settleJob } from "../../src/plan/job/job.js";
import { makePlan } from "../../src/plan/make-plan.js";
import type { Cut, Plan, Stroke } from "../../src/plan/plan.js";
import { feature, layoutOf, rectangle } from "../helpers/layouts.js";
import { bulged, random, randomContour, rounded } from "../helpers/shapes.js";

const threePasses: JobFile = {
  passes: [
    { kind: "rough", gap: 0.03, leave: 0.055 },
    { kind: "skim", gap: 0.015, leave: 0.005 },
    { kind: "skim", gap: 0.01, leave: 0 },
  ],
  startHoles: { diameter: 1, clearance: 0.5, grid: 0.5 },
};
const job = settleJob(threePasses);
const cutsOf = (plan: Plan, id: string): Cut[] =>
  plan.steps.filter((s): s is Cut => s.kind === "cut" && s.feature === id);
const errors = (plan: Plan) =>
  plan.findings.filter((f) => f.severity === "error");
const opening = feature("opening-1", "opening", rectangle(0, 0, 20, 10));
const part = feature("part-1", "part", rectangle(0, 0, 20, 10));

describe("the plan of an opening with three passes", () => {
  const plan = makePlan(layoutOf(opening), job, "die");
  const [open, tab, skims] = cutsOf(plan, "opening-1") as [Cut, Cut, Cut];

  it("offsets each pass by wire radius + gap + leave: 0.21, 0.145 and 0.135", () => {
    expect(job.passes.map((p) => p.offset)).toEqual(
      [0.21, 0.145, 0.135].map((v) => expect.closeTo(v, 12)),
    );
    for (const s of [...open.strokes, ...tab.strokes, ...skims.strokes]) {
      const offset = job.passes[s.pass - 1]?.offset ?? 0;
      for (const p of s.path) {
        const near = indexSegments(opening.contour.segments).nearest(
          pointAt(p, 0.37),
        );
        expect(near?.distance).toBeCloseTo(offset, 9);
      }
    }
  });

  it("roughs once round to the tab and skims back and forth over the same stretch without rethreading", () => {
    expect(open.attended).toBe(false);
    expect(open.strokes.map((s) => s.pass)).toEqual([1, 2, 3]);
    expect(open.strokes.map((s) => s.direction)).toEqual(["ccw", "cw", "ccw"]);
    expect(open.strokes.map((s) => s.side)).toEqual(["left", "right", "left"]);
    open.strokes.slice(1).forEach((s, i) => {
      expect(distance(s.from, (open.strokes[i] as Stroke).to)).toBeLessThan(
        1e-9,
      );
    });
  });

  it("leaves a tab of the stated length: path ends apart less one kerf", () => {
    const rough = (open.strokes[0] as Stroke).path;
    const apart = distance(
      (rough[0] as Segment).start,
      (rough.at(-1) as Segment).end,
    );
    expect(apart - (0.25 + 2 * 0.03)).toBeCloseTo(
      plan.features[0]?.tab?.length ?? 0,
      9,
    );
    expect(plan.features[0]?.tab?.length).toBe(1);
  });

  it("stops to secure the slug, cuts the tab, stops to take it out, then skims the tab with overlap", () => {
    const kinds = plan.steps.map((s) =>
      s.kind === "stop" ? s.action : `cut ${s.strokes.map((k) => k.pass)}`,
    );
    expect(kinds).toEqual([
      "cut 1,2,3",
      "secure",
      "cut 1",
      "remove",
      "cut 2,3",
    ]);
    for (const s of plan.steps)
      if (s.kind === "stop") expect(s.reason).toContain("opening-1");
    const length = (s: Stroke | undefined): number =>
      (s?.path ?? []).reduce((sum, p) => sum + segmentLength(p), 0);
    expect(length(skims.strokes[0])).toBeCloseTo(
      length(tab.strokes[0]) + 2 * 0.5,
      9,
    );
  });

  it("threads in the waste, on the grid, 0.5 mm of wall to every edge, and leads in square to a straight stretch", () => {
    const f = plan.features[0];
    if (!f) throw new Error("no feature");
    const { at } = f.startHole;
    expect(at.x * 2).toBe(Math.round(at.x * 2));
    expect(at.y * 2).toBe(Math.round(at.y * 2));
    const wall = indexSegments(opening.contour.segments).nearest(at);
    expect((wall?.distance ?? 0) - 0.5).toBeGreaterThanOrEqual(0.5 - 1e-9);
    // On a long side, its foot away from the corners.
    expect(Math.abs(f.leadPoint.x - at.x)).toBeLessThan(1e-9);
    expect(f.leadPoint.x).toBeGreaterThan(2);
    expect(f.leadPoint.x).toBeLessThan(18);
  });

  it("states the slug as it falls: 20 × 10 less a kerf of 0.365 all round, the lead-in and where the wire stands off", () => {
    const f = plan.features[0];
    if (!f) throw new Error("no feature");
    // 0.21 + 0.125 + 0.03 = 0.365 from the edge to the slug, and half the rough's kerf is 0.155.
    const [edge, half] = [0.365, 0.155];
    const area = (20 - 2 * edge) * (10 - 2 * edge);
    // From there to the hole a strip as wide as the kerf, with a half-round end.
    const lead = Math.abs(f.startHole.at.y - f.leadPoint.y) - edge;
    const strip = 2 * half * lead + (Math.PI * half ** 2) / 2;
    // Off the edge by 0.21 + 0.1 the kerf's circle reaches into the slug beyond a chord (circular segment, plane geometry),
    // at the tab's end after the rough, and at both ends of the skims.
    const off = edge - 0.31;
    const segment =
      half ** 2 * Math.acos(off / half) - off * Math.sqrt(half ** 2 - off ** 2);
    expect(f.slug.area).toBeCloseTo(area - strip - 3 * segment, 9);
  });
});

describe("the plan of a part", () => {
  const plan = makePlan(layoutOf(part), job, "punch");
  it("cuts the tab once, at the finish offset, and says what mark stays", () => {
    const [open, tab] = cutsOf(plan, "part-1") as [Cut, Cut];
    expect(cutsOf(plan, "part-1")).toHaveLength(2);
    expect(open.strokes[0]?.direction).toBe("cw");
    expect(tab.strokes.map((s) => s.pass)).toEqual([3]);
    expect(plan.findings.map((f) => f.code)).toContain("part/tab-mark");
  });

  it("threads outside the part", () => {
    const at = plan.features[0]?.startHole.at;
    if (!at) throw new Error("no hole");
    const outside =
      at.x < -0.99 || at.x > 20.99 || at.y < -0.99 || at.y > 10.99;
    expect(outside).toBe(true);
  });
});

describe("holes that are drawn", () => {
  it("are used, with their own diameter", () => {
    const layout = {
      ...layoutOf(opening),
      holes: [{ at: { x: 6.3, y: 7.1 }, diameter: 0.8 }],
    };
    const plan = makePlan(
      layout,
      settleJob({ ...threePasses, startHoles: { layer: "HOLES" } }),
      "die",
    );
    expect(plan.features[0]?.startHole).toEqual({
      at: { x: 6.3, y: 7.1 },
      diameter: 0.8,
      drawn: true,
    });
    expect(plan.features[0]?.leadPoint).toEqual({
      x: expect.closeTo(6.3, 9),
      y: expect.closeTo(10, 9),
    });
  });

  it("too near to an edge are told", () => {
    const layout = {
      ...layoutOf(opening),
      holes: [{ at: { x: 10, y: 9.2 }, diameter: 1 }],
    };
    const plan = makePlan(
      layout,
      settleJob({ ...threePasses, startHoles: { layer: "HOLES" } }),
      "die",
    );
    expect(plan.findings.map((f) => f.code)).toContain("start-hole/close");
  });
});

describe("what cannot be cut gets one error with its place", () => {
  const say = (
    contour: Parameters<typeof feature>[2],
    role: "opening" | "part" = "opening",
  ) => {
    const plan = makePlan(
      layoutOf(feature(`${role}-1`, role, contour)),
      job,
      "x",
    );
    const found = errors(plan);
    expect(found).toHaveLength(1);
    expect(plan.features).toHaveLength(0);
    return found[0];
  };

  it("a slot narrower than the kerf", () => {
    const f = say(rectangle(10, 5, 12, 0.25));
    expect(f?.code).toBe("wire/no-room");
    expect(f?.message).toContain("0.25 mm wide");
    expect(f?.where?.[1]).toBeCloseTo(5.125, 2);
  });

  it("a neck that the wire cannot pass, named at its middle", () => {
    const dumbbell = polygonContour(
      [
        [0, 0],
        [8, 0],
        [8, 3.9],
        [10, 3.9],
        [10, 0],
        [18, 0],
        [18, 8],
        [10, 8],
        [10, 4.1],
        [8, 4.1],
        [8, 8],
        [0, 8],
      ].map(([x, y]) => ({ x: x as number, y: y as number })),
    );
    const f = say(dumbbell);
    expect(f?.code).toBe("wire/neck");
    expect(f?.where?.[0]).toBeCloseTo(9, 1);
    expect(f?.where?.[1]).toBeCloseTo(4, 1);
  });

  it("a slot in a part that the wire cannot enter", () => {
    const slotted = polygonContour(
      [
        [0, 0],
        [20, 0],
        [20, 10],
        [10.1, 10],
        [10.1, 6],
        [9.9, 6],
        [9.9, 10],
        [0, 10],
      ].map(([x, y]) => ({ x: x as number, y: y as number })),
    );
    const f = say(slotted, "part");
    expect(f?.code).toBe("wire/slot");
    expect(f?.where?.[0]).toBeCloseTo(10, 0);
  });

  it("an opening without room for the start hole", () => {
    const f = say(circleContour({ x: 3, y: 4 }, 0.8));
    expect(f?.code).toBe("start-hole/no-room");
    expect(f?.message).toContain("startHoles");
  });

  it("two features whose cuts would strike each other's edges", () => {
    const frame = feature("opening-1", "opening", rectangle(0, 0, 40, 40));
    const island = feature(
      "part-1",
      "part",
      rectangle(10, 10, 29.8, 20),
      frame,
    );
    const plan = makePlan(layoutOf(frame, island), job, "x");
    expect(errors(plan).map((f) => f.code)).toContain("feature/too-close");
  });
});

describe("corners tighter than the wire", () => {
  it("are told once a feature, with the stock that stays: 0.0559 mm in a square corner at 0.135", () => {
    // 0.135·(√2 − 1) = 0.05591883
    const tight = makePlan(layoutOf(opening), job, "x").findings.filter(
      (f) => f.code === "corner/tighter-than-wire",
    );
    expect(tight).toHaveLength(1);
    expect(tight[0]?.severity).toBe("warning");
    expect(tight[0]?.message).toContain("0.0559 mm at (0, 0)");
  });

  it("are none where fillets are larger than the offset", () => {
    const round = rounded(
      [
        { x: 0, y: 0 },
        { x: 20, y: 0 },
        { x: 20, y: 10 },
        { x: 0, y: 10 },
      ],
      0.3,
    );
    const plan = makePlan(
      layoutOf(feature("opening-1", "opening", round)),
      job,
      "x",
    );
    expect(plan.findings.map((f) => f.code)).not.toContain(
      "corner/tighter-than-wire",
    );
  });
});

describe("whatever is planned without an error", () => {
  const planned = Array.from({ length: 150 }, (_, i) => {
    const rnd = random(5000 + i);
    const drawn = randomContour(rnd);
    if (!drawn) return null;
    // The families are some 10 mm wide; three times that makes room for holes.
    const c = {
      closed: true,
      segments: drawn.segments.map((s): Segment => {
        const k = (p: { x: number; y: number }) => ({ x: 3 * p.x, y: 3 * p.y });
        return s.kind === "line"
          ? { kind: "line", start: k(s.start), end: k(s.end) }
          : {
              ...s,
              start: k(s.start),
              end: k(s.end),
              center: k(s.center),
              radius: 3 * s.radius,
            };
      }),
    };
    const role = rnd() < 0.6 ? ("opening" as const) : ("part" as const);
    const plan = makePlan(layoutOf(feature(`${role}-1`, role, c)), job, "x");
    return errors(plan).length === 0 ? { plan, c, seed: 5000 + i } : null;
  }).filter((p) => p !== null);

  it("is enough to say something", () => {
    expect(planned.length).toBeGreaterThan(60);
  });

  it("runs unbroken, at its offset, and never nearer to the outline than the finish offset", () => {
    for (const { plan, c, seed } of planned) {
      const edges = indexSegments(c.segments);
      for (const step of plan.steps) {
        if (step.kind !== "cut") continue;
        let at = step.thread;
        const straight = (to: typeof at): void => {
          for (const t of [0.25, 0.5, 0.75, 1]) {
            const p = {
              x: at.x + (to.x - at.x) * t,
              y: at.y + (to.y - at.y) * t,
            };
            const near = edges.nearest(p)?.distance ?? 0;
            expect(near, `seed ${seed}`).toBeGreaterThan(0.135 - 1e-8);
          }
          at = to;
        };
        for (const p of step.lead) straight(p);
        for (const stroke of step.strokes) {
          const offset = job.passes[stroke.pass - 1]?.offset ?? 0;
          straight(stroke.from);
          straight((stroke.path[0] as Segment).start);
          for (const s of stroke.path) {
            expect(distance(s.start, at), `seed ${seed}`).toBeLessThan(1e-6);
            const near = edges.nearest(pointAt(s, 0.41))?.distance ?? 0;
            expect(Math.abs(near - offset), `seed ${seed}`).toBeLessThan(1e-8);
            at = s.end;
          }
          straight(stroke.to);
        }
      }
    }
  });

  it("has its start hole clear of every edge", () => {
    for (const { plan, c } of planned) {
      const hole = plan.features[0]?.startHole;
      if (!hole) throw new Error("no hole");
      const wall = Math.min(
        ...c.segments.map((s) => nearestOnSegment(s, hole.at).distance),
      );
      expect(wall - hole.diameter / 2).toBeGreaterThanOrEqual(0.5 - 1e-6);
    }
  });

  it("comes out the same twice", () => {
    const c = bulged([
      [0, 0, 0.2],
      [20, 0, 0],
      [20, 9, -0.1],
      [0, 9, 0.3],
    ]);
    const once = makePlan(
      layoutOf(feature("opening-1", "opening", c)),
      job,
      "x",
    );
    const twice = makePlan(
      layoutOf(feature("opening-1", "opening", c)),
      job,
      "x",
    );
    expect(JSON.stringify(once)).toBe(JSON.stringify(twice));
  });
});

describe("an opening hardly wider than its start hole", () => {
  const slim = settleJob({
    ...threePasses,
    startHoles: { diameter: 0.6, clearance: 0.1, grid: 0.1 },
  });
  const plan = makePlan(
    layoutOf(feature("opening-1", "opening", rectangle(0, 0, 20, 1.05))),
    slim,
    "slit",
  );

  it("is threaded at an end, so that the slug stays in one piece", () => {
    expect(errors(plan)).toEqual([]);
    const at = plan.features[0]?.startHole.at;
    expect(Math.min(at?.x ?? 10, 20 - (at?.x ?? 10))).toBeLessThan(1);
  });

  it("has its tab on the slug's side of the hole", () => {
    const f = plan.features[0];
    if (!f) throw new Error("no feature");
    expect(Math.abs((f.tab?.at.x ?? 0) - 10)).toBeLessThan(
      Math.abs(f.startHole.at.x - 10),
    );
  });
});

it("an outline farther off than a control has digits for is refused with its distance, once", () => {
  const at = (x: number) =>
    makePlan(
      layoutOf(feature("opening-1", "opening", rectangle(x, 0, 20, 10))),
      settleJob({}),
      "x",
    ).findings.filter((f) => f.severity === "error");
  // Eight digits, four of them after the point: 9999.9999 mm.
  expect(at(9_979)).toEqual([]);
  expect(at(12_000).map((f) => f.code)).toEqual(["outline/far-away"]);
  expect(at(12_000)[0]?.message).toContain("12.02 m");
});

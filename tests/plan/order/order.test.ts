import { describe, expect, it } from "vitest";
import { circleContour } from "../../../src/geometry/contour.js";
import { distance, type Vec } from "../../../src/geometry/vec.js";
import type { Feature } from "../../../src/plan/feature.js";
import type { JobFile } from "../../../src/plan/job/file.js";
import { settleJob } from "../../../src/plan/job/job.js";
import { makePlan } from "../../../src/plan/make-plan.js";
import type { Plan, Step } from "../../../src/plan/plan.js";
import { feature, layoutOf, rectangle } from "../../helpers/layouts.js";
import { proved } from "../../helpers/proved.js";
import { random } from "../../helpers/shapes.js";

const plan = (features: readonly Feature[], order?: JobFile["order"]): Plan =>
  makePlan(
    layoutOf(...features),
    settleJob({
      startHoles: { diameter: 1 },
      ...(order !== undefined && { order }),
    }),
    "plate",
  );

/** Ids in the order in which work on them begins, or goes on after work elsewhere. */
const ids = (steps: readonly Step[]): (string | null)[] =>
  steps.map((s) => s.feature).filter((id, i, all) => id !== all[i - 1]);

const needsSomebody = (s: Step): boolean => s.kind === "stop" || s.attended;

const errors = (p: Plan) => p.findings.filter((f) => f.severity === "error");

const plate = feature("part-1", "part", rectangle(0, 0, 60, 20));
const right = feature(
  "opening-1",
  "opening",
  circleContour({ x: 50, y: 10 }, 4),
  plate,
);
const left = feature("opening-2", "opening", rectangle(5, 5, 10, 10), plate);
const middle = feature(
  "opening-3",
  "opening",
  circleContour({ x: 30, y: 10 }, 4),
  plate,
);
const plateWithThree = [plate, right, left, middle];

/** A ring: its opening's slug holds a gear blank with a bore, and beside it stands a punch of its own. */
const ring = feature("part-1", "part", rectangle(0, 0, 60, 60));
const window = feature("opening-1", "opening", rectangle(5, 5, 50, 50), ring);
const blank = feature(
  "part-2",
  "part",
  circleContour({ x: 30, y: 30 }, 15),
  window,
);
const bore = feature(
  "opening-2",
  "opening",
  circleContour({ x: 30, y: 30 }, 5),
  blank,
);
const punch = feature("part-3", "part", rectangle(80, 0, 10, 10));
const nested = [ring, window, blank, bore, punch];

describe("unattended-first", () => {
  it("does all that needs nobody, then all that needs somebody", () => {
    for (const features of [plateWithThree, nested]) {
      const { steps } = plan(features, "unattended-first");
      const first = steps.findIndex(needsSomebody);
      expect(first).toBe(features.length);
      expect(steps.slice(first).every(needsSomebody)).toBe(true);
    }
  });

  it("cuts openings before outer profiles, in the night and at the stops", () => {
    const { steps } = plan(plateWithThree, "unattended-first");
    expect(ids(steps.slice(0, 4)).at(-1)).toBe("part-1");
    expect(ids(steps.slice(4)).at(-1)).toBe("part-1");
  });

  it("takes the near openings first, and goes back from where it ended", () => {
    // From the origin left, middle and right lie in a row; back from the profile's hole the other way is as short.
    const { steps } = plan(plateWithThree, "unattended-first");
    expect(ids(steps.slice(0, 3))).toEqual([
      "opening-2",
      "opening-3",
      "opening-1",
    ]);
  });
});

describe("one-by-one", () => {
  it("finishes each feature before the next, the profile last", () => {
    expect(ids(plan(plateWithThree, "one-by-one").steps)).toEqual([
      "opening-2",
      "opening-3",
      "opening-1",
      "part-1",
    ]);
  });
});

describe("whatever the order", () => {
  it("nothing is cut in a piece that has come free: what lies inside is done before", () => {
    for (const order of ["unattended-first", "one-by-one"] as const) {
      const { steps } = plan(nested, order);
      const last = (f: Feature): number =>
        steps.findLastIndex((s) => s.kind === "cut" && s.feature === f.id);
      const freed = (f: Feature): number =>
        steps.findIndex((s) => s.kind === "stop" && s.feature === f.id);
      for (const [inner, outer] of [
        [bore, blank],
        [blank, window],
        [window, ring],
      ] as const)
        expect(last(inner)).toBeLessThan(freed(outer));
    }
  });

  it("openings that hold no parts come before any part, wherever they lie", () => {
    const order = ids(plan(nested, "one-by-one").steps);
    expect(order[0]).toBe("opening-2");
    expect(order.indexOf("part-2")).toBeLessThan(order.indexOf("opening-1"));
    expect(order.at(-1)).toBe("part-1");
  });

  it("only the order changes: every cut and stop is the same, and so is all else in the plan", () => {
    const orders: JobFile["order"][] = [
      "unattended-first",
      "one-by-one",
      ["opening-1"],
      { rule: "one-by-one", features: ["opening-3", "opening-2"] },
    ];
    const told = orders.map((order) => {
      const { steps, job, travel, ...rest } = plan(plateWithThree, order);
      const { order: _, assumptions: __, ...settled } = job;
      return {
        travel,
        same: JSON.stringify([
          rest,
          settled,
          steps.map((s) => JSON.stringify(s)).sort(),
        ]),
      };
    });
    expect(new Set(told.map((t) => t.same)).size).toBe(1);
  });

  it("travel with the wire out is what one measures along the steps, and no longer than as drawn", () => {
    const rnd = random(31);
    const holes = Array.from({ length: 40 }, (_, i) =>
      feature(
        `opening-${i + 1}`,
        "opening",
        circleContour({ x: 12 * (i % 8), y: 12 * Math.floor(i / 8) }, 4),
      ),
    )
      .map((f) => ({ f, key: rnd() }))
      .sort((a, b) => a.key - b.key)
      .map(({ f }) => f);
    const { steps, travel } = plan(holes);
    let at: Vec = { x: 0, y: 0 };
    let sum = 0;
    for (const s of steps)
      if (s.kind === "cut") {
        sum += distance(at, s.thread);
        at = s.strokes.at(-1)?.to as Vec;
      }
    expect(travel.rapid).toBeCloseTo(sum, 6);
    expect(travel.rapid).toBeLessThan(0.5 * travel.asDrawn);
  });
});

describe("a list of features", () => {
  it("comes first, in its own order, and the others follow", () => {
    expect(
      ids(plan(plateWithThree, ["opening-1", "opening-2"]).steps.slice(0, 4)),
    ).toEqual(["opening-1", "opening-2", "opening-3", "part-1"]);
  });

  it("holds at the stops too, and goes with either rule", () => {
    const features = ["opening-1", "opening-2", "opening-3"];
    const stops = plan(plateWithThree, features).steps.slice(4);
    expect(ids(stops)).toEqual([...features, "part-1"]);
    expect(
      ids(plan(plateWithThree, { rule: "one-by-one", features }).steps),
    ).toEqual([...features, "part-1"]);
  });

  it("may put a part that is free of an opening before it", () => {
    expect(ids(plan(nested, ["part-3"]).steps)[0]).toBe("part-3");
  });

  it("is refused, with the reason, where a piece would be free before all in it is cut", () => {
    for (const [list, inner] of [
      [["part-2", "opening-2"], "put opening-2 before part-2"],
      [["part-2"], "name opening-2 before part-2"],
      [["opening-1", "opening-2"], "name part-2 before opening-1"],
    ] as const) {
      const refused = plan(nested, [...list]);
      const [fault] = errors(refused);
      expect(fault?.code).toBe("order/inside-first");
      expect(fault?.message).toContain(inner);
      // What is shown is the usual order, so that there is something to see.
      expect(refused.steps).toEqual(plan(nested).steps);
    }
  });

  it("is refused where it names what is not there", () => {
    const [fault] = errors(plan(plateWithThree, ["opening-9"]));
    expect(fault?.code).toBe("order/unknown-feature");
    expect(fault?.message).toContain('"opening-9"');
    expect(fault?.message).toContain("part-1, opening-1, opening-2, opening-3");
  });
});

describe("a threaded wire", () => {
  /** Do the straight stretches cross? By the signs of four triangles' areas. */
  const cross = (a: Vec, b: Vec, c: Vec, d: Vec): boolean => {
    const side = (p: Vec, q: Vec, r: Vec): number =>
      Math.sign((q.x - p.x) * (r.y - p.y) - (q.y - p.y) * (r.x - p.x));
    return side(a, b, c) !== side(a, b, d) && side(c, d, a) !== side(c, d, b);
  };

  it.each(["unattended-first", "one-by-one"] as const)(
    "never crosses an outline, cut out already or not: part in opening in part, and openings side by side, %s",
    (order) => {
      const plate = feature("part-1", "part", rectangle(0, 0, 90, 50));
      const ring = feature(
        "opening-1",
        "opening",
        rectangle(5, 5, 40, 40),
        plate,
      );
      const core = feature("part-2", "part", rectangle(12, 12, 26, 26), ring);
      const bore = feature(
        "opening-2",
        "opening",
        rectangle(18, 18, 12, 12),
        core,
      );
      const near = [0, 1, 2].map((i) =>
        feature(
          `opening-${3 + i}`,
          "opening",
          rectangle(50 + 12 * i, 10 + 3 * i, 10, 20),
          plate,
        ),
      );
      const all = [plate, ring, core, bore, ...near];
      const { plan } = proved(layoutOf(...all), { passes: 2, order });
      const sides = all.flatMap((f) =>
        f.contour.segments.map((s) => [s.start, s.end] as const),
      );
      let ways = 0;
      for (const step of plan.steps) {
        if (step.kind === "stop") continue;
        let at = step.thread;
        for (const stroke of step.strokes) {
          const first = stroke.path[0]?.start as Vec;
          const last = stroke.path.at(-1)?.end as Vec;
          const lead = stroke === step.strokes[0] ? step.lead : [];
          for (const to of [...lead, stroke.from, first]) {
            for (const [c, d] of sides) expect(cross(at, to, c, d)).toBe(false);
            at = to;
            ways++;
          }
          for (const [c, d] of sides)
            expect(cross(last, stroke.to, c, d)).toBe(false);
          at = stroke.to;
        }
      }
      expect(ways).toBeGreaterThan(3 * all.length);
    },
  );
});

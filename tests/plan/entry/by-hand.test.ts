import { describe, expect, it } from "vitest";
import type { Drawing } from "../../../src/drawing/drawing.js";
import {
  circleContour,
  polygonContour,
} from "../../../src/geometry/contour.js";
import { line } from "../../../src/geometry/segment.js";
import { distance, vec } from "../../../src/geometry/vec.js";
import { checkJobFile, type JobFile } from "../../../src/plan/job/file.js";
import { settleJob } from "../../../src/plan/job/job.js";
import { layOut } from "../../../src/plan/layout/layout.js";
import { makePlan } from "../../../src/plan/make-plan.js";
import { entriesOf } from "../../../src/plan/plan.js";
import { feature, layoutOf, rectangle } from "../../helpers/layouts.js";

const base: JobFile = { passes: 3, startHoles: { diameter: 1 } };
const opening = feature("opening-1", "opening", rectangle(0, 0, 20, 10));
const planned = (features: JobFile["features"], more = {}, job = base) =>
  makePlan(
    { ...layoutOf(opening), ...more },
    settleJob({ ...job, features }),
    "x",
  );
const only = (plan: ReturnType<typeof planned>) => {
  const [f] = plan.features;
  if (!f?.tab) throw new Error(plan.findings.map((x) => x.message).join("\n"));
  return { ...f, tab: f.tab };
};
const refusal = (plan: ReturnType<typeof planned>) => {
  expect(plan.features).toHaveLength(0);
  const errors = plan.findings.filter((f) => f.severity === "error");
  expect(errors).toHaveLength(1);
  return errors[0];
};

describe("a tab placed by hand", () => {
  it("stands with its middle there, as long as asked", () => {
    const { tab } = only(
      planned({ "opening-1": { tab: { at: [20, 4], length: 1.5 } } }),
    );
    expect(distance(tab.at, vec(20, 4))).toBeLessThan(1e-9);
    expect(tab.length).toBeCloseTo(1.5, 9);
  });

  it("in a corner is refused, and never moved", () => {
    const f = refusal(planned({ "opening-1": { tab: { at: [19.8, 10] } } }));
    expect(f?.code).toBe("tab/refused");
    expect(f?.message).toContain("(19.8, 10)");
  });

  it("beside the outline is refused", () => {
    const f = refusal(planned({ "opening-1": { tab: { at: [10, 5] } } }));
    expect(f?.message).toContain("more than 1 mm from the outline");
  });

  it("too long for the outline is refused", () => {
    const f = refusal(
      planned({ "opening-1": { tab: { at: [10, 0], length: 30 } } }),
    );
    expect(f?.message).toContain("30 %");
  });
});

describe("several tabs placed by hand", () => {
  const tabs = (...ats: readonly (readonly [number, number])[]) => ({
    "opening-1": {
      tab: ats.map(([x, y]) => ({ at: [x, y] as [number, number] })),
    },
  });
  const placesOf = (plan: ReturnType<typeof planned>) =>
    plan.features.flatMap(entriesOf).map((e) => e.tab?.at);

  it("stand there, in the order of the outline, each with a start hole and lead-in of its own", () => {
    const plan = planned(tabs([10, 10], [10, 0]));
    const entries = entriesOf(only(plan));
    expect(entries).toHaveLength(2);
    for (const [i, at] of [vec(10, 0), vec(10, 10)].entries())
      expect(distance(entries[i]?.tab?.at ?? vec(0, 0), at)).toBeLessThan(1e-9);
    expect(
      distance(
        entries[0]?.startHole.at ?? vec(0, 0),
        entries[1]?.startHole.at ?? vec(0, 0),
      ),
    ).toBeGreaterThan(1);
  });

  it("are just those of the list, fewer or more than would be planned", () => {
    const heavy = { ...base, stock: { thickness: 250 } };
    const large = {
      ...layoutOf(feature("opening-1", "opening", rectangle(0, 0, 90, 60))),
    };
    expect(placesOf(planned({}, large, heavy)).length).toBeGreaterThan(1);
    expect(placesOf(planned(tabs([45, 0]), large, heavy))).toHaveLength(1);
    expect(
      placesOf(planned(tabs([45, 0], [90, 30], [45, 60], [0, 30]), large)),
    ).toHaveLength(4);
  });

  it("have each the length asked for", () => {
    const plan = planned({
      "opening-1": {
        tab: [
          { at: [10, 0], length: 1.5 },
          { at: [10, 10], length: 2 },
        ],
      },
    });
    const lengths = entriesOf(only(plan)).map((e) => e.tab?.length);
    expect(lengths[0]).toBeCloseTo(1.5, 9);
    expect(lengths[1]).toBeCloseTo(2, 9);
  });

  it("are refused where one cannot stand, or stands too near another", () => {
    const corner = refusal(planned(tabs([10, 0], [19.8, 10])));
    expect(corner?.code).toBe("tab/refused");
    expect(corner?.message).toContain("(19.8, 10)");
    const near = refusal(planned(tabs([10, 0], [11, 0])));
    expect(near?.code).toBe("tab/refused");
    expect(near?.message).toContain("another tab is so near");
  });

  it("and a lead-in do not go together, and an empty list says nothing", () => {
    expect(() =>
      planned({
        "opening-1": {
          lead: { at: [13, 10] },
          tab: [{ at: [10, 0] }, { at: [10, 10] }],
        },
      }),
    ).toThrow(/features\.opening-1\.lead must be left out/);
    expect(() => checkJobFile({ features: { a: { tab: [] } } })).toThrow(
      /features\.a\.tab/,
    );
    expect(() =>
      checkJobFile({ features: { a: { tab: [{ att: [1, 2] }] } } }),
    ).toThrow(/features\.a\.tab/);
  });
});

describe("a lead-in placed by hand", () => {
  it("meets the outline there, with the tab right behind it", () => {
    const { leadPoint, tab } = only(
      planned({ "opening-1": { lead: { at: [13.3, 10] } } }),
    );
    expect(distance(leadPoint, vec(13.3, 10))).toBeLessThan(1e-9);
    // Counter-clockwise along the top is towards -x, so the tab is on the +x side.
    expect(tab.at.x).toBeGreaterThan(13.3);
    expect(tab.at.y).toBeCloseTo(10, 9);
  });

  it("and a tab elsewhere do not go together: the tab lies right behind the lead", () => {
    const f = refusal(
      planned({
        "opening-1": { lead: { at: [13.3, 10] }, tab: { at: [5, 0] } },
      }),
    );
    expect(f?.code).toBe("tab/refused");
    expect(f?.message).toContain("right behind the lead-in");
  });
});

describe("a start hole placed by hand", () => {
  it("is there, off any grid", () => {
    const { startHole } = only(
      planned({ "opening-1": { startHole: [7.123, 3.456] } }),
    );
    expect(startHole).toEqual({
      at: { x: 7.123, y: 3.456 },
      diameter: 1,
      drawn: false,
    });
  });

  it("may lead to a tab placed by hand, slanting", () => {
    const f = only(
      planned({
        "opening-1": { startHole: [9, 4], tab: { at: [10.2, 0] } },
      }),
    );
    expect(f.startHole.at).toEqual({ x: 9, y: 4 });
    expect(distance(f.tab.at, vec(10.2, 0))).toBeLessThan(1e-9);
  });

  it("in kept metal, or too near to an edge, is refused with the reason", () => {
    const outside = refusal(planned({ "opening-1": { startHole: [30, 5] } }));
    expect(outside?.code).toBe("start-hole/refused");
    expect(outside?.message).toContain("not in the waste of opening-1");
    const near = refusal(planned({ "opening-1": { startHole: [10, 0.8] } }));
    expect(near?.message).toContain("0.8 mm from an edge");
  });
});

describe("a stretch that is kept free by hand", () => {
  type Place = readonly [number, number];
  const keepOff = (...stretches: readonly (readonly [Place, Place])[]) => ({
    "opening-1": {
      keepOff: stretches.map(([from, to]) => ({
        from: [...from],
        to: [...to],
      })),
    },
  });

  it("has neither tab nor lead-in, whichever corners it goes round", () => {
    // Counter-clockwise from the left side's lower end all round to its upper end: only the left side is free.
    const { tab, leadPoint } = only(
      planned(
        keepOff([
          [0, 0],
          [0, 10],
        ]),
      ),
    );
    expect(tab.at.x).toBeCloseTo(0, 9);
    expect(leadPoint.x).toBeCloseTo(0, 9);
    // The other way: nothing but the left side is kept free.
    const other = only(
      planned(
        keepOff([
          [0, 10],
          [0, 0],
        ]),
      ),
    );
    expect(other.tab.at.x).toBeGreaterThan(0);
  });

  it("of a part is counted counter-clockwise too", () => {
    const part = feature("part-1", "part", rectangle(0, 0, 20, 10));
    const stretch = { from: [0, 0], to: [0, 10] };
    const { features, findings } = makePlan(
      layoutOf(part),
      settleJob({ ...base, features: { "part-1": { keepOff: [stretch] } } }),
      "x",
    );
    expect(findings.filter((f) => f.severity === "error")).toEqual([]);
    expect(features[0]?.tab?.at.x).toBeCloseTo(0, 9);
  });

  it("refuses a tab that is put there, and takes one right beside it", () => {
    const free = keepOff([
      [8, 0],
      [12, 0],
    ])["opening-1"];
    const f = refusal(
      planned({ "opening-1": { ...free, tab: { at: [10, 0], length: 1 } } }),
    );
    expect(f?.message).toContain("features.opening-1.keepOff");
    // Half the tab and half its kerf of 2 × (0.25 / 2 + 0.03) mm: 0.66 mm on either side.
    const beside = { at: [12.7, 0], length: 1 };
    const { tab } = only(planned({ "opening-1": { ...free, tab: beside } }));
    expect(distance(tab.at, vec(12.7, 0))).toBeLessThan(1e-9);
  });

  it("that takes in the whole outline leaves no place, and that is told", () => {
    const f = refusal(
      planned(
        keepOff(
          [
            [0, 0],
            [20, 10],
          ],
          [
            [20, 10],
            [0, 0],
          ],
        ),
      ),
    );
    expect(f?.message).toContain("features.opening-1.keepOff");
  });

  it("that does not lie on the outline is an error", () => {
    const f = refusal(
      planned(
        keepOff([
          [5, 5],
          [0, 0],
        ]),
      ),
    );
    expect(f?.code).toBe("tab/keep-off");
    expect(f?.message).toContain("(5, 5)");
  });
});

describe("marks in the drawing", () => {
  const marked = (more: object) =>
    planned({}, more, {
      ...base,
      tabs: { layer: "TABS", keepOffLayer: "FIT" },
    });

  it("on tabs.layer say where the tab stands", () => {
    const { tab } = only(marked({ tabMarks: [vec(0.2, 6)] }));
    expect(distance(tab.at, vec(0, 6))).toBeLessThan(1e-9);
  });

  it("that lie on no outline are an error", () => {
    const plan = marked({ tabMarks: [vec(10, 5)] });
    expect(plan.findings.map((f) => f.code)).toContain("tab/stray-mark");
  });

  it("on tabs.keepOffLayer keep tab and lead-in off an edge", () => {
    // Both long sides and the right one are fit faces: only the left side is free.
    const keepOff = [
      line(vec(0.6, 0), vec(20, 0)),
      line(vec(20, 0), vec(20, 10)),
      line(vec(20, 10), vec(0.6, 10)),
    ];
    const { tab, leadPoint } = only(marked({ keepOff }));
    expect(tab.at.x).toBeCloseTo(0, 9);
    expect(leadPoint.x).toBeCloseTo(0, 9);
  });

  it("that keep off the whole outline leave no place, and that is told", () => {
    const f = refusal(marked({ keepOff: opening.contour.segments }));
    expect(f?.message).toContain("tabs.keepOffLayer");
  });
});

describe("ids of features", () => {
  const drawing = (layers: readonly string[]): Drawing => ({
    units: { drawing: "mm", toMm: 1, source: "$INSUNITS" },
    layers: [],
    lineTypes: [],
    outlines: layers.map((layer, i) => ({
      id: `c${i + 1}`,
      layer,
      contour: circleContour(vec(20 * i, 0), 5),
      depth: 0,
      parent: null,
    })),
    open: [],
    points: [],
    repairs: [],
    skipped: [],
    findings: [],
  });
  const layers = { DIE: "opening", NOTES: "ignore" } as const;

  it("stay when a role is given by hand", () => {
    const laidOut = layOut(
      drawing(["DIE", "DIE", "NOTES", "DIE"]),
      settleJob({
        roles: { layers },
        features: {
          "opening-1": { role: "part" },
          "ignore-1": { role: "opening" },
          "opening-2": { role: "ignore" },
        },
      }),
    );
    expect(laidOut.features.map((f) => [f.id, f.role])).toEqual([
      ["opening-1", "part"],
      ["ignore-1", "opening"],
      ["opening-3", "opening"],
    ]);
    expect(laidOut.roles).toEqual(["part", "ignore", "opening", "opening"]);
  });

  it("that no outline has are an error that names those there are", () => {
    const { findings } = layOut(
      drawing(["DIE"]),
      settleJob({
        roles: { layers },
        features: { "opening-7": { tab: { at: [0, 0] } } },
      }),
    );
    const told = findings.find((f) => f.code === "feature/unknown");
    expect(told?.message).toContain("opening-1");
  });
});

describe("points in the job", () => {
  it("are in the job's own unit", () => {
    const job = settleJob({
      units: "in",
      features: { "opening-1": { startHole: [1, -0.5] } },
    });
    expect(job.features["opening-1"]?.startHole).toEqual({ x: 25.4, y: -12.7 });
  });

  it("must be two numbers", () => {
    expect(() =>
      settleJob({
        features: { "opening-1": { startHole: [1, 2, 3] } },
      } as JobFile),
    ).toThrow(/features.opening-1.startHole must be a point \[x, y\]/);
    expect(() =>
      settleJob({
        features: { "opening-1": { tabs: { at: [1, 2] } } },
      } as unknown as JobFile),
    ).toThrow(/did you mean "tab"/);
  });
});

describe("the lead of a triangle's opening", () => {
  it("stays away from the sharp corners", () => {
    const tri = polygonContour([vec(0, 0), vec(24, 0), vec(2, 9)]);
    const f = only(
      makePlan(
        layoutOf(feature("opening-1", "opening", tri)),
        settleJob(base),
        "x",
      ),
    );
    for (const corner of [vec(0, 0), vec(24, 0), vec(2, 9)])
      expect(distance(f.tab.at, corner)).toBeGreaterThan(2);
  });
});

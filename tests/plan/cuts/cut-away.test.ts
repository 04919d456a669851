import { describe, expect, it } from "vitest";
import {
  type Contour,
  circleContour,
  contourBox,
} from "../../../src/geometry/contour.js";
import {
  indexSegments,
  nearestOnSegment,
} from "../../../src/geometry/distance.js";
import { segmentBox, segmentLength } from "../../../src/geometry/segment.js";
import { distance, type Vec, vec } from "../../../src/geometry/vec.js";
import type { JobFile } from "../../../src/plan/job/file.js";
import { settleJob } from "../../../src/plan/job/job.js";
import { wanderIn } from "../../../src/plan/job/start-holes.js";
import { makePlan } from "../../../src/plan/make-plan.js";
import type { Cut } from "../../../src/plan/plan.js";
import { readProgram } from "../../../src/program/trace.js";
import { NEUTRAL } from "../../../src/program/words.js";
import { writeProgram } from "../../../src/program/write.js";
import { prove } from "../../../src/proof/prove.js";
import { feature, layoutOf, rectangle } from "../../helpers/layouts.js";
import { proved } from "../../helpers/proved.js";
import { gear, random, randomContour, rounded } from "../../helpers/shapes.js";

const base: JobFile = {
  passes: [
    { kind: "rough", gap: 0.03, leave: 0.055 },
    { kind: "skim", gap: 0.015, leave: 0.005 },
    { kind: "skim", gap: 0.01, leave: 0 },
  ],
  startHoles: { clearance: 0.2, grid: 0.1 },
  tabs: { minSlugArea: 200 },
};
/** Half the rough's kerf: 0.125 + 0.03. */
const REACH = 0.155;
/** 0.125 + 0.03 + 0.055. */
const ROUGH_OFFSET = 0.21;
/** Points of the grid each way. */
const FINE = 48;

const planned = (contour: Contour, file: JobFile = base) => {
  const layout = layoutOf(feature("opening-1", "opening", contour));
  const job = settleJob(file);
  const plan = makePlan(layout, job, "x");
  const proof = () =>
    prove(readProgram(writeProgram(plan, NEUTRAL), NEUTRAL), layout, plan.job);
  return { plan, proof };
};

/** mm of the wire's way over the inside. */
function sawn({ strokes }: Cut): number {
  return strokes
    .filter((s) => s.stretch === "inside")
    .flatMap((s) => s.path)
    .reduce((sum, s) => sum + segmentLength(s), 0);
}

/** What is left standing within the outline while pass 1 goes on, on a fine grid of points; nothing of the planner's. */
function replay(
  contour: Contour,
  cut: Cut,
  isGone: (p: Vec) => boolean = () => false,
) {
  const box = contourBox(contour);
  // The grid reaches a point beyond the outline all round: there the plate stands.
  const wide = (box.maxX - box.minX) / FINE;
  const high = (box.maxY - box.minY) / FINE;
  const side = FINE + 2;
  const points = Array.from({ length: side * side }, (_, k) =>
    vec(
      box.minX + wide * ((k % side) - 0.63),
      box.minY + high * (Math.floor(k / side) - 0.59),
    ),
  );
  const inside = points.map((p) => insideOf(contour, p.x, p.y));
  const standing = points.map((p) => !isGone(p));
  /** mm² of metal within the outline that hangs on nothing. */
  const loose = (): number => {
    const held = points.map((_, k) => !inside[k] && standing[k] === true);
    const rim = held.flatMap((h, k) => (h ? [k] : []));
    for (let k = rim.pop(); k !== undefined; k = rim.pop())
      for (const n of [k - 1, k + 1, k - side, k + side])
        if (standing[n] && !held[n]) {
          held[n] = true;
          rim.push(n);
        }
    return wide * high * standing.filter((s, k) => s && !held[k]).length;
  };
  let most = 0;
  for (const s of cut.strokes
    .filter((s) => s.pass === 1)
    .flatMap((s) => s.path)) {
    const b = segmentBox(s);
    points.forEach((p, k) => {
      const near =
        standing[k] &&
        p.x > b.minX - REACH &&
        p.x < b.maxX + REACH &&
        p.y > b.minY - REACH &&
        p.y < b.maxY + REACH;
      if (near && nearestOnSegment(s, p).distance <= REACH) standing[k] = false;
    });
    most = Math.max(most, loose());
  }
  const edge = indexSegments(contour.segments);
  const left = points.filter(
    (p, k) =>
      standing[k] &&
      inside[k] &&
      (edge.nearest(p)?.distance ?? 0) > ROUGH_OFFSET,
  );
  return { left, mostLoose: most };
}

/** By crossings of a ray with finely cut chords: not the house's winding number. */
function insideOf(c: Contour, x: number, y: number): boolean {
  let odd = false;
  for (const s of c.segments) {
    const n = s.kind === "line" ? 1 : 64;
    for (let k = 0; k < n; k++) {
      const at = (t: number) => {
        if (s.kind === "line")
          return {
            x: s.start.x + (s.end.x - s.start.x) * t,
            y: s.start.y + (s.end.y - s.start.y) * t,
          };
        const a =
          Math.atan2(s.start.y - s.center.y, s.start.x - s.center.x) +
          s.sweep * t;
        return {
          x: s.center.x + s.radius * Math.cos(a),
          y: s.center.y + s.radius * Math.sin(a),
        };
      };
      const a = at(k / n);
      const b = at((k + 1) / n);
      if (
        a.y > y !== b.y > y &&
        x < a.x + ((y - a.y) / (b.y - a.y)) * (b.x - a.x)
      )
        odd = !odd;
    }
  }
  return odd;
}

const SHAPES: Record<string, Contour> = {
  "a 3 mm hole": circleContour(vec(5, 5), 1.5),
  "a square with sharp corners": rectangle(0, 0, 3, 3),
  "a slot": rectangle(0, 0, 12, 1.4),
  "a sharp triangle": rounded([vec(0, 0), vec(9, 0), vec(0, 3)], 0.05),
  "an L": rounded(
    [vec(0, 0), vec(6, 0), vec(6, 1.6), vec(1.6, 1.6), vec(1.6, 6), vec(0, 6)],
    0.3,
  ),
  "a dumbbell whose middle is thin": rounded(
    [
      vec(0, 0),
      vec(3, 0),
      vec(3, 1),
      vec(5, 1),
      vec(5, 0),
      vec(8, 0),
      vec(8, 3),
      vec(5, 3),
      vec(5, 2),
      vec(3, 2),
      vec(3, 3),
      vec(0, 3),
    ],
    0.2,
  ),
  "a small gear": gear(8, 3, 2, 0.4),
  "three rooms off a passage": rounded(
    [
      [0, 0],
      [10, 0],
      [10, 1.2],
      [8.4, 1.2],
      [8.4, 2],
      [9.6, 2],
      [9.6, 5],
      [6.4, 5],
      [6.4, 2],
      [7.6, 2],
      [7.6, 1.2],
      [5.4, 1.2],
      [5.4, 2],
      [6.2, 2],
      [6.2, 4],
      [3.6, 4],
      [3.6, 2],
      [4.4, 2],
      [4.4, 1.2],
      [2, 1.2],
      [2, 2],
      [3.2, 2],
      [3.2, 5],
      [0.2, 5],
      [0.2, 2],
      [1, 2],
      [1, 1.2],
      [0, 1.2],
    ].map(([x, y]) => vec(x as number, y as number)),
    0.1,
  ),
};

describe("an opening whose slug would be too small", () => {
  it.each(Object.entries(SHAPES))(
    "is cut away whole, with no island left and nobody there: %s",
    (_, contour) => {
      const { plan, proof } = planned(contour);
      expect(plan.findings.filter((f) => f.severity === "error")).toEqual([]);
      expect(plan.findings.map((f) => f.code)).toContain("slug/cut-away");
      expect(plan.steps).toHaveLength(1);
      const cut = plan.steps[0] as Cut;
      expect(cut.attended).toBe(false);
      const { left, mostLoose } = replay(contour, cut);
      expect(left).toEqual([]);
      // mm²: crumbs that the next millimetre takes.
      expect(mostLoose).toBeLessThan(0.05);
      const proved = proof();
      expect(proved.findings.filter((f) => f.severity === "error")).toEqual([]);
      expect(proved.loosePieces).toEqual([]);
      expect(proved.ok).toBe(true);
    },
  );

  it("is cut away on a control that offsets the wire by itself too", () => {
    const { proof } = planned(circleContour(vec(5, 5), 1.5), {
      ...base,
      program: { compensation: "control" },
    });
    expect(proof().ok).toBe(true);
    expect(proof().loosePieces).toEqual([]);
  });

  it("is cut away from a drawn hole, wherever that is", () => {
    const contour = SHAPES["three rooms off a passage"] as Contour;
    for (const at of [vec(9.4, 0.6), vec(1.5, 4.4), vec(3.3, 0.5)]) {
      const layout = {
        ...layoutOf(feature("opening-1", "opening", contour)),
        holes: [{ at, diameter: 0.5 }],
      };
      const plan = makePlan(layout, settleJob(base), "x");
      const [cut] = plan.steps as Cut[];
      expect(plan.steps).toHaveLength(1);
      expect(cut?.thread).toEqual(at);
      const { left, mostLoose } = replay(contour, cut as Cut);
      expect(left).toEqual([]);
      expect(mostLoose).toBeLessThan(0.05);
    }
  });

  it("is not sawn where a drawn hole has taken the metal, as far as the drill did not wander", () => {
    // 12 mm deep, so that a drill wanders little; the hole of 3 mm stands in one of the rooms.
    const at = vec(8, 3.5);
    const job: JobFile = { ...base, stock: { thickness: 12 } };
    const wander = wanderIn(settleJob(job));
    expect(wander).toBeGreaterThan(0);
    for (const name of ["three rooms off a passage", "a small gear"]) {
      const contour = SHAPES[name] as Contour;
      const middle = name === "a small gear" ? vec(0, 0) : at;
      const cutFrom = (diameter: number): Cut => {
        const layout = {
          ...layoutOf(feature("opening-1", "opening", contour)),
          holes: [{ at: middle, diameter }],
        };
        const { plan, proof } = proved(layout, job);
        expect(proof.loosePieces).toEqual([]);
        return plan.steps[0] as Cut;
      };
      const small = cutFrom(0.5);
      const large = cutFrom(2.4);
      expect(sawn(large)).toBeLessThan(sawn(small) - 5);
      // Wherever the drill came through: the metal that is certainly gone lies about the middle.
      const gone = (p: Vec) => distance(p, middle) < 1.2 - wander;
      const { left, mostLoose } = replay(contour, large, gone);
      expect(left).toEqual([]);
      expect(mostLoose).toBeLessThan(0.05);
    }
  });

  it("has its lead-in where the job puts it", () => {
    const lead = { at: [6.5, 5] as [number, number] };
    const { plan, proof } = planned(circleContour(vec(5, 5), 1.5), {
      ...base,
      features: { "opening-1": { lead } },
    });
    expect(plan.features[0]?.tab).toBeNull();
    expect(plan.features[0]?.leadPoint.x).toBeCloseTo(6.5, 6);
    expect(proof().ok).toBe(true);
  });

  it("keeps its slug when somebody has placed a tab, and that is told", () => {
    const { plan } = planned(rectangle(0, 0, 6, 6), {
      ...base,
      features: { "opening-1": { tab: { at: [3, 0] } } },
    });
    expect(plan.features[0]?.tab?.at.x).toBeCloseTo(3, 6);
    const told = plan.findings.find((f) => f.code === "slug/small");
    expect(told?.message).toContain("its tab is placed by hand");
  });

  it("keeps its slug when another outline lies in it, and that is told", () => {
    const outer = feature("opening-1", "opening", rectangle(0, 0, 12, 12));
    const inner = feature("opening-2", "opening", rectangle(4, 4, 4, 4), outer);
    const plan = makePlan(layoutOf(outer, inner), settleJob(base), "x");
    const [kept, away] = plan.features;
    expect(kept?.tab).not.toBeNull();
    expect(away?.tab).toBeNull();
    const told = plan.findings.find((f) => f.code === "slug/small");
    expect(told?.message).toContain("other outlines lie in it");
  });

  it("keeps it when tabs.minSlugArea is smaller", () => {
    const { plan } = planned(rectangle(0, 0, 6, 6), {
      ...base,
      tabs: { minSlugArea: 5 },
    });
    expect(plan.features[0]?.tab).not.toBeNull();
  });
});

describe("a slug thinner than the wire", () => {
  it("is never left: the opening is cut away whole, whatever the job says", () => {
    // 0.9 wide, kerfs and stock take 2 · 0.365: 0.17 mm would be left.
    const { plan, proof } = planned(rectangle(0, 0, 15, 0.9), {
      ...base,
      tabs: { minSlugArea: 0 },
    });
    const told = plan.findings.find((f) => f.code === "slug/cut-away");
    expect(told?.message).toContain("0.17 mm thin");
    expect(proof().ok).toBe(true);
  });
});

describe("a slug too light for the flushing", () => {
  it("is cut away when it would weigh less than the process table's 0.1 g", () => {
    // A wire of 0.1 mm, gap 0.02, leaves 0.02: kerf 0.16 on each side; 0.68² · 25 mm³ of steel at 7.85 mg are 0.091 g.
    const thin: JobFile = {
      wire: { diameter: 0.1 },
      passes: [
        { kind: "rough", gap: 0.02, leave: 0.02 },
        { kind: "skim", gap: 0.01, leave: 0 },
      ],
      startHoles: { clearance: 0.1, grid: 0.1 },
    };
    const small = planned(rectangle(0, 0, 1, 1), thin);
    const told = small.plan.findings.find((f) => f.code === "slug/cut-away");
    expect(told?.message).toContain("0.091 g");
    expect(small.proof().ok).toBe(true);
    const larger = planned(rectangle(0, 0, 2, 2), thin);
    expect(larger.plan.features[0]?.tab).not.toBeNull();
  });
});

describe("random openings cut away whole", () => {
  it("leave nothing loose, or say why they keep a slug", () => {
    let done = 0;
    for (let seed = 1; seed <= 14; seed++) {
      const contour = randomContour(random(seed));
      if (!contour) continue;
      const { plan, proof } = planned(contour);
      if (!plan.findings.some((f) => f.code === "slug/cut-away")) continue;
      done++;
      const proved = proof();
      expect([
        seed,
        proved.findings.filter((f) => f.severity === "error"),
      ]).toEqual([seed, []]);
      expect([seed, proved.loosePieces]).toEqual([seed, []]);
    }
    expect(done).toBeGreaterThan(5);
  });
});

it("a small part without room for a start hole about it is refused: it is what is kept, and never cut away", () => {
  const ring = feature("opening-1", "opening", circleContour(vec(0, 0), 2.2));
  const pin = feature("part-1", "part", circleContour(vec(0, 0), 1), ring);
  const layout = layoutOf(ring, pin);
  // 1.2 mm of waste between them: a hole of 1 mm wants 0.5 mm of clearance on either side.
  const job = settleJob({ startHoles: { diameter: 1 } });
  const { findings } = makePlan(layout, job, "x");
  expect(
    findings.filter((f) => f.feature === "part-1").map((f) => f.code),
  ).toContain("start-hole/no-room");
});

import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import {
  type Contour,
  type JobFile,
  type PlannedFeature,
  planDrawing,
  replayWire,
  type Segment,
  segmentLength,
} from "../../src/index.js";
import { pointAlong, shareAlong } from "../../web/hand/along.js";
import { addDeed, deedsAt, deedsOn, edgeAt } from "../../web/hand/deeds.js";
import { type Grip, gripsOf, moved } from "../../web/hand/place.js";
import { beatAt, filmText, timelineOf } from "../../web/replay/timeline.js";
import { lessonOf } from "../../web/why/lesson.js";
import { dxfText, rectangleTags } from "../helpers/dxf.js";

const sample = (name: string) =>
  planDrawing({
    name,
    drawing: readFileSync(`samples/${name}/${name}.dxf`, "utf8"),
    job: readFileSync(`samples/${name}/job.json`, "utf8"),
  });
const hub = sample("hub-keyway");
const [bore] = hub.plan.features;
if (!bore) throw new Error("the hub has no bore");

describe("places along an outline", () => {
  it("are found again from their point", () => {
    for (const share of [0.01, 0.13, 0.5, 0.77, 0.99]) {
      const p = pointAlong(bore.contour, share);
      expect(shareAlong(bore.contour, p)).toBeCloseTo(share, 9);
    }
  });
});

describe("a large slug on several tabs", () => {
  const drawing = dxfText(rectangleTags(0, 0, 90, 60, "WINDOW"));
  const before = {
    stock: { thickness: 200 },
    roles: { layers: { WINDOW: "opening" as const } },
  };
  const plan = (job: JobFile) =>
    planDrawing({ name: "x", drawing, job: JSON.stringify(job) }).plan
      .features[0] as PlannedFeature;
  const tabs = (f: PlannedFeature) =>
    gripsOf(f, hub.plan.job).filter(({ kind }) => kind === "tab");
  const f = plan(before);

  it("lets each tab be moved, and all others stay", () => {
    expect(tabs(f).map(({ name }) => name)).toEqual(["tab 1", "tab 2"]);
    const [one, two] = tabs(f) as [Grip, Grip];
    const to = {
      x: two.at.x === 90 ? 90 : two.at.x + 3,
      y: two.at.x === 90 ? two.at.y + 3 : two.at.y,
    };
    const job = moved(before, f, two, to);
    const then = plan(job);
    expect(tabs(then)).toHaveLength(2);
    for (const at of [one.at, to])
      expect(
        Math.min(
          ...tabs(then).map((t) => Math.hypot(t.at.x - at.x, t.at.y - at.y)),
        ),
      ).toBeLessThan(0.001);
    // Once more: what the job says of the others is kept as it is.
    const again = moved(job, then, tabs(then)[0] as Grip, one.at);
    expect(again.features?.["opening-1"]?.tab).toHaveLength(2);
    expect(moved(again, then, tabs(then)[0] as Grip, undefined)).toEqual(
      before,
    );
  });

  it("keeps the length that the job says of a tab when it is moved", () => {
    const job = {
      ...before,
      features: {
        "opening-1": {
          tab: [
            { at: [45, 0] as [number, number], length: 3 },
            { at: [45, 60] as [number, number] },
          ],
        },
      },
    };
    const then = plan(job);
    const bottom = tabs(then).find(({ at }) => at.y === 0) as Grip;
    const said = moved(job, then, bottom, { x: 30, y: 0 });
    expect(said.features?.["opening-1"]?.tab).toEqual([
      { at: [30, 0], length: 3 },
      { at: [45, 60] },
    ]);
  });
});

describe("tabs, added and taken away by hand", () => {
  const drawing = dxfText(rectangleTags(0, 0, 60, 40, "WINDOW"));
  const begun: JobFile = {
    stock: { thickness: 25 },
    roles: { layers: { WINDOW: "opening" } },
  };
  const outcome = (job: JobFile) =>
    planDrawing({ name: "x", drawing, job: JSON.stringify(job) });
  const feature = (job: JobFile) =>
    outcome(job).plan.features[0] as PlannedFeature;
  const grips = (job: JobFile) => gripsOf(feature(job), outcome(job).plan.job);
  const tabs = (job: JobFile) => grips(job).filter((g) => g.kind === "tab");
  const added = (job: JobFile) =>
    addDeed(feature(job))?.change(job) ?? fail("nothing to add");
  const fail = (why: string): never => {
    throw new Error(why);
  };

  it("make a program that is proved, with one tab more, on another edge", () => {
    const [first] = tabs(begun);
    const two = added(begun);
    expect(outcome(two).ok).toBe(true);
    expect(tabs(two)).toHaveLength(2);
    const apart = tabs(two).map(({ at }) =>
      Math.hypot(at.x - (first?.at.x ?? 0), at.y - (first?.at.y ?? 0)),
    );
    expect(Math.min(...apart)).toBeLessThan(0.001);
    expect(Math.max(...apart)).toBeGreaterThan(20);
    const three = added(two);
    expect(outcome(three).ok).toBe(true);
    expect(tabs(three)).toHaveLength(3);
  });

  it("leave one fewer, and the others where they are", () => {
    const two = added(begun);
    const [gone, kept] = tabs(two) as [Grip, Grip];
    const away = deedsOn(feature(two), gone).find((d) => /away/.test(d.words));
    const one = away?.change(two) ?? fail("it cannot be taken away");
    const [left, ...more] = tabs(one);
    expect(more).toEqual([]);
    expect(left?.at.x).toBeCloseTo(kept.at.x, 3);
    expect(left?.at.y).toBeCloseTo(kept.at.y, 3);
    // The last one holds the slug: it cannot be taken away.
    const last = deedsOn(feature(one), left as Grip).map((d) => d.words);
    expect(last).toEqual(["No tab on this edge"]);
  });

  it("are put where the edge was clicked", () => {
    const at = { x: 20, y: 40 };
    const [add] = deedsAt(feature(begun), at);
    const two = add?.change(begun) ?? fail("nothing to add");
    expect(two.features?.["opening-1"]?.tab).toContainEqual({ at: [20, 40] });
    expect(tabs(two).some((t) => t.at.y === 40 && t.at.x === 20)).toBe(true);
  });

  it("do not stand on an edge that is forbidden, wherever it is moved to, until it is allowed again", () => {
    const [tab] = tabs(begun) as [Grip];
    const forbid = (job: JobFile, grip: Grip): JobFile =>
      deedsOn(feature(job), grip)
        .find((d) => d.words === "No tab on this edge")
        ?.change(job) ?? fail("it cannot be forbidden");
    const once = forbid(begun, tab);
    const free = edgeAt(feature(begun).contour, tab.at);
    expect(once.features?.["opening-1"]?.keepOff).toEqual([
      { from: [free.from.x, free.from.y], to: [free.to.x, free.to.y] },
    ]);
    const onEdge = ({ x, y }: { x: number; y: number }) =>
      free.from.x === free.to.x ? x === free.from.x : y === free.from.y;
    expect(onEdge(tab.at)).toBe(true);
    expect(tabs(once).some(({ at }) => onEdge(at))).toBe(false);
    // Put there by hand, it leaves too.
    const byHand = moved(begun, feature(begun), tab, tab.at);
    expect(forbid(byHand, tabs(byHand)[0] as Grip)).toEqual(once);

    const ends = grips(once).filter((g) => g.kind === "keepOff");
    expect(ends.map((g) => g.name)).toEqual(["no tab from", "no tab to"]);
    const middle = {
      x: (free.from.x + free.to.x) / 2,
      y: (free.from.y + free.to.y) / 2,
    };
    const shorter = moved(once, feature(once), ends[1] as Grip, middle);
    expect(shorter.features?.["opening-1"]?.keepOff).toEqual([
      { from: [free.from.x, free.from.y], to: [middle.x, middle.y] },
    ]);
    const [allow] = deedsOn(feature(once), ends[0] as Grip);
    expect(allow?.change(once)).toEqual(begun);
  });

  it("are kept off a quarter of an outline that is round all over", () => {
    const { from, to } = edgeAt(circle(10), { x: 10, y: 0 });
    // A quarter of a circle, half of it to either side of (10, 0).
    expect(from.x).toBeCloseTo(10 * Math.SQRT1_2, 9);
    expect(from.y).toBeCloseTo(-10 * Math.SQRT1_2, 9);
    expect(to.x).toBeCloseTo(10 * Math.SQRT1_2, 9);
    expect(to.y).toBeCloseTo(10 * Math.SQRT1_2, 9);
  });
});

function circle(radius: number): Contour {
  const half = (x: number): Segment => ({
    kind: "arc",
    start: { x, y: 0 },
    end: { x: -x, y: 0 },
    center: { x: 0, y: 0 },
    radius,
    sweep: Math.PI,
  });
  return { segments: [half(radius), half(-radius)], closed: true };
}

describe("the replay", () => {
  const read = hub.read;
  if (!read) throw new Error("the hub has no program");
  const replay = replayWire(read, hub.plan.job);
  const film = timelineOf(read, replay);

  it("burns exactly the way that the program says, in its order", () => {
    const burnt = film.beats
      .filter((b) => b.kind === "cut")
      .reduce((sum, b) => sum + (b.segment ? segmentLength(b.segment) : 0), 0);
    const said = replay.threads
      .flatMap((t) => t.moves)
      .reduce((sum, m) => sum + segmentLength(m.segment), 0);
    expect(burnt).toBeCloseTo(said, 9);
    const lines = film.beats.map((b) => b.line);
    expect(lines).toEqual([...lines].sort((a, b) => a - b));
  });

  it("stops wherever the program stops", () => {
    const stops = read.actions.filter((a) => a.kind === "stop").length;
    expect(film.beats.filter((b) => b.kind === "stop")).toHaveLength(stops);
  });

  it("of a program with thousands of stops is no longer than somebody watches, and says so in minutes", () => {
    const actions = Array.from({ length: 2000 }, () => read.actions).flat();
    const long = timelineOf({ ...read, actions }, { ...replay, threads: [] });
    expect(long.beats.filter((b) => b.kind === "stop").length).toBeGreaterThan(
      2000,
    );
    expect(long.length).toBeLessThan(5 * 60);
    expect(filmText(125.4)).toBe("2 min 5 s");
    expect(filmText(59.7)).toBe("1 min 0 s");
    expect(filmText(48)).toBe("48 s");
  });

  it("finds the beat of any moment", () => {
    for (const beat of film.beats)
      if (beat.to > beat.from)
        expect(film.beats[beatAt(film, (beat.from + beat.to) / 2)]).toBe(beat);
  });
});

describe("the lessons", () => {
  const { plan, program, laidOut } = hub;
  const wire = plan.job.wire.diameter;
  const gap = plan.job.passes.at(-1)?.gap ?? Number.NaN;
  const lesson = (kind: Parameters<typeof lessonOf>[0]["kind"], w = wire) => {
    const found = lessonOf(
      { kind, feature: bore.id, wire: w },
      plan,
      program,
      laidOut,
    );
    if (!found) throw new Error("no lesson");
    return found;
  };

  it("cut on the line: the opening is wider by one wire and two gaps (geometry)", () => {
    const { drawn, got } = lesson("on-the-line");
    expect((got?.width ?? 0) - drawn.width).toBeCloseTo(wire + 2 * gap, 9);
  });

  it("cut on the wrong side: the error is twice that", () => {
    const { drawn, got } = lesson("wrong-side");
    expect((got?.width ?? 0) - drawn.width).toBeCloseTo(
      2 * (wire + 2 * gap),
      9,
    );
  });

  it("let a tab go: the proof says that the piece falls with nobody there", () => {
    const { findings } = lesson("no-stop");
    expect(findings.map((f) => f.code)).toContain("proof/loose-unattended");
  });

  it("take a thick wire: more of it stays in the corners the thicker it is", () => {
    const areas = [wire, 1, 2, 4].map(
      (w) => lesson("thick-wire", w).got?.area ?? 0,
    );
    for (let i = 1; i < areas.length; i++)
      expect(areas[i]).toBeLessThan(areas[i - 1] ?? 0);
    expect(areas[0]).toBeCloseTo(bore.area, 6);
  });
});

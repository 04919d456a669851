import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import {
  type JobFile,
  type PlannedFeature,
  planDrawing,
  replayWire,
  segmentLength,
} from "../../src/index.js";
import { pointAlong, shareAlong } from "../../web/hand/along.js";
import { type Grip, gripsOf, moved } from "../../web/hand/place.js";
import { beatAt, timelineOf } from "../../web/replay/timeline.js";
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
    gripsOf(f).filter(({ kind }) => kind === "tab");
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

import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { planDrawing, replayWire, segmentLength } from "../../src/index.js";
import { pointAlong, shareAlong } from "../../web/hand/along.js";
import { beatAt, timelineOf } from "../../web/replay/timeline.js";
import { lessonOf } from "../../web/why/lesson.js";

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

/** A program that fits the drawing, but somewhere else: the shift is told once, and whatever else is wrong besides. */
import { readFileSync } from "node:fs";
import { beforeAll, describe, expect, test } from "vitest";
import {
  type Finding,
  type Job,
  NEUTRAL,
  planDrawing,
  prove,
  readProgram,
} from "../../src/index.js";
import type { Layout } from "../../src/plan/feature.js";
import {
  JOB,
  PUNCH,
  proveText,
  punchProgram,
  squareProgram,
} from "../helpers/programs.js";

interface Good {
  readonly text: string;
  readonly layout: Layout;
  readonly job: Job;
}

function sample(name: string, program: Record<string, unknown> = {}): Good {
  const file = (f: string): Uint8Array =>
    readFileSync(new URL(`../../samples/${name}/${f}`, import.meta.url));
  const job = JSON.parse(new TextDecoder().decode(file("job.json")));
  const made = planDrawing({
    name,
    drawing: file(`${name}.dxf`),
    job: JSON.stringify({ ...job, program: { ...job.program, ...program } }),
  });
  return {
    text: made.program as string,
    layout: made.laidOut,
    job: made.plan.job,
  };
}

const told = ({ layout, job }: Good, text: string): readonly Finding[] =>
  prove(readProgram(text, NEUTRAL), layout, job).findings.filter(
    (f) => f.severity !== "note",
  );

type Turn = (x: number, y: number) => readonly [number, number];

/** Every coordinate of a program laid elsewhere; one that turns the way round exchanges G02 and G03, G41 and G42. */
function laid(
  text: string,
  turn: Turn,
  by: readonly [number, number],
  mirror = false,
): string {
  const at = { x: 0, y: 0 };
  const zero = turn(0, 0);
  return text
    .split("\n")
    .map((l) => {
      if (!/[XY]-?\d/.test(l)) return l;
      const value = (letter: string): number | undefined => {
        const found = new RegExp(`${letter}(-?[\\d.]+)`).exec(l)?.[1];
        return found === undefined ? undefined : Number(found);
      };
      [at.x, at.y] = [value("X") ?? at.x, value("Y") ?? at.y];
      const [x, y] = turn(at.x, at.y);
      let typed = l
        .replace(/X-?[\d.]+/, `X${(x + by[0]).toFixed(5)}`)
        .replace(/Y-?[\d.]+/, `Y${(y + by[1]).toFixed(5)}`);
      const [i, j] = turn(value("I") ?? 0, value("J") ?? 0);
      typed = typed
        .replace(/I-?[\d.]+/, `I${(i - zero[0]).toFixed(5)}`)
        .replace(/J-?[\d.]+/, `J${(j - zero[1]).toFixed(5)}`);
      return mirror
        ? typed.replace(/G0([23])|G4([12])/, (_, arc, side) =>
            arc ? `G0${5 - Number(arc)}` : `G4${3 - Number(side)}`,
          )
        : typed;
    })
    .join("\n");
}

const same: Turn = (x, y) => [x, y];

describe("a program that lies elsewhere as a whole", () => {
  let bore: Good;
  let control: Good;
  let plate: Good;
  beforeAll(() => {
    bore = sample("hub-keyway");
    control = sample("hub-keyway", { compensation: "control" });
    plate = sample("inch-plate");
  });

  test.each([
    [10, -5, "moved by -10 mm in X and 5 mm in Y"],
    [22.5, 0, "moved by -22.5 mm in X:"],
    // No more than five hundredths of the wire: most of the path still looks right.
    [0, 0.01, "moved by -0.01 mm in Y:"],
  ])("by %d and %d mm is one error that says how to move it", (x, y, mend) => {
    for (const good of [bore, control]) {
      const found = told(good, laid(good.text, same, [x, y]));
      expect(found.map((f) => f.code)).toEqual(["proof/shifted"]);
      expect(found[0]?.severity).toBe("error");
      expect(found[0]?.message).toContain(mend);
    }
  });

  test("in inches, as a hundredth of an inch is 0.254 mm", () => {
    const [found, ...others] = told(plate, laid(plate.text, same, [0.01, 0]));
    expect(others).toEqual([]);
    expect(found?.code).toBe("proof/shifted");
    expect(found?.message).toContain("moved by -0.254 mm in X:");
  });

  test.each<[string, Turn, boolean, string]>([
    [
      "mirrored",
      (x, y) => [-x, y],
      true,
      "mirrored (every X with the other sign)",
    ],
    ["turned", (x, y) => [-y, x], false, "turned by 90° clockwise"],
  ])("%s, by what undoes it", (_, turn, mirror, mend) => {
    const found = told(plate, laid(plate.text, turn, [0, 0], mirror));
    expect(found.map((f) => f.code)).toEqual(["proof/turned"]);
    expect(found[0]?.message).toContain(mend);
  });

  test("and has another fault: both are told, each once", () => {
    // The slug's stop is gone.
    const without = bore.text.replace(/.*M00 \(opening-1: secure.*\n/, "");
    const found = told(bore, laid(without, same, [10, -5]));
    expect(found.map((f) => f.code)).toEqual([
      "proof/shifted",
      "proof/loose-unattended",
    ]);
  });

  test("as a bare outline of one square", () => {
    const found = proveText(
      laid(squareProgram().join("\n"), same, [3, 4]).split("\n"),
    ).findings.filter((f) => f.severity !== "note");
    expect(found.map((f) => f.code)).toEqual(["proof/shifted"]);
    expect(found[0]?.message).toContain("moved by -3 mm in X and -4 mm in Y");
  });
});

describe("what is no shift of the whole", () => {
  test("one stroke of three in the wrong place is told by its line", () => {
    const lines = squareProgram();
    const k = lines.findIndex((l) => l.includes("Y-4.8550"));
    const moved = lines.map((l, i) =>
      i >= k && i < k + 6
        ? l.replace(/X(-?[\d.]+)/, (_, x) => `X${(Number(x) + 0.5).toFixed(4)}`)
        : l,
    );
    const codes = proveText(moved).findings.map((f) => f.code);
    expect(codes).toContain("proof/in-kept-metal");
    expect(codes).not.toContain("proof/shifted");
  });

  test("a punch cut for an opening of the same size fits nowhere", () => {
    const codes = proveText(punchProgram()).findings.map((f) => f.code);
    expect(codes).not.toContain("proof/shifted");
    expect(codes).not.toContain("proof/turned");
  });

  test("a square the other way up is the same square", () => {
    const turned = laid(
      punchProgram(JOB).join("\n"),
      (x, y) => [-x, -y],
      [0, 0],
    );
    const proof = proveText(turned.split("\n"), PUNCH);
    expect(proof.findings.map((f) => f.code)).toEqual([]);
  });
});

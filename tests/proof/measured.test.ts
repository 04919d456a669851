/** What the proof measures of a program, one by one, each with a fault put into a good program. */
import { describe, expect, test } from "vitest";
import { circleContour, polygonContour } from "../../src/geometry/contour.js";
import { vec } from "../../src/geometry/vec.js";
import {
  CUT_WIRE,
  controlProgram,
  feature,
  HEAD,
  JOB,
  jobOf,
  layoutOf,
  proveText,
  ROUND,
  roundProgram,
  SQUARE,
  squareContour,
  squareProgram,
  squareStrokes,
  TAIL,
  threadAt,
} from "../helpers/programs.js";

const square = squareProgram();
const S = squareStrokes();

/** The first line that holds a text, with something else in its place. */
function changed(
  lines: readonly string[],
  part: string,
  from: string | RegExp,
  to: string,
): string[] {
  const k = lines.findIndex((l) => l.includes(part));
  const line = lines[k] as string;
  const other = line.replace(from, to);
  if (other === line) throw new Error(`nothing changed in ${line}`);
  return lines.with(k, other);
}

const found = (
  lines: readonly string[],
  code: string,
  layout = SQUARE,
  job = JOB,
) => proveText(lines, layout, job).findings.find((f) => f.code === code);

/** Line number, from 1, of the first line with a text. */
const lineOf = (lines: readonly string[], part: string): number =>
  lines.findIndex((l) => l.includes(part)) + 1;

describe("the greatest gouge", () => {
  test.each([0.0001, 0.0007, 0.0123])(
    "%d mm too deep is measured to 0.1 µm, with its place",
    (deep) => {
      const x = (4.865 + deep).toFixed(4);
      // Both ends of the right-hand side of the last pass.
      const lines = square.map((l) =>
        l.replace(/X4\.8650 Y(-?4\.8650)/, `X${x} Y$1`),
      );
      const proof = proveText(lines);
      expect(proof.maxGouge).toBeCloseTo(deep, 6);
      expect(proof.gougeAt?.[0]).toBeCloseTo(4.865 + deep, 3);
    },
  );
});

describe("the greatest excess", () => {
  test.each([0.0007, 0.0049])(
    "%d mm too much left is measured to 0.1 µm, with its place",
    (much) => {
      const x = (4.865 - much).toFixed(4);
      const lines = square.map((l) =>
        l.replace(/X4\.8650 Y(-?4\.8650)/, `X${x} Y$1`),
      );
      const proof = proveText(lines);
      // In the middle of the side as much as was left; towards its corners the round kerf leaves a little more.
      expect(proof.maxExcess).toBeGreaterThanOrEqual(much - 5e-8);
      expect(proof.maxExcess).toBeLessThan(much * 1.1);
      expect(proof.excessAt?.[0]).toBeCloseTo(5, 6);
    },
  );
});

describe("stretches that no pass reached, and why", () => {
  test("a corner tighter than the wire", () => {
    const corners = proveText(square).unreached;
    expect(corners.map((u) => u.why)).toEqual([
      "corner",
      "corner",
      "corner",
      "corner",
    ]);
    // √2 · 0.135 - 0.135 from the wire's round to the corner (plane geometry).
    expect(corners[0]?.stays).toBeCloseTo((Math.SQRT2 - 1) * 0.135, 6);
  });

  test("a tab that is not cut", () => {
    const short = square.slice(
      0,
      square.findIndex((l) => l.includes("secure")),
    );
    const tab = proveText([...short, ...TAIL]).unreached.find(
      (u) => u.why === "tab",
    );
    // From one end of the last pass to the other, but for the round ends of the kerf.
    expect(tab?.length).toBeCloseTo(1.4, 1);
    expect(tab?.at[1]).toBeCloseTo(-5, 6);
    expect(tab?.stays).toBeNull();
  });

  test("a block that is missing", () => {
    const k = square.findIndex((l) => l.includes("X4.8650 Y4.8650"));
    const left = proveText(square.toSpliced(k, 1)).unreached.filter(
      (u) => u.why === "left-out",
    );
    expect(left.length).toBeGreaterThan(0);
    // What the pass before left of it: 0.145 - 0.135, a little more towards the corner.
    for (const u of left) {
      expect(u.stays).toBeGreaterThan(0.01);
      expect(u.stays).toBeLessThan(0.011);
    }
  });
});

test("the finish left after each pass: 0.055, 0.005 and 0 mm", () => {
  const passes = proveText(square).passes;
  expect(passes.map((p) => p.pass)).toEqual([1, 2, 3]);
  passes.forEach((p, k) => {
    expect(p.left?.least).toBeCloseTo([0.055, 0.005, 0][k] as number, 7);
    expect(p.left?.most).toBeCloseTo([0.055, 0.005, 0][k] as number, 7);
  });
});

describe("the wire on the wrong side", () => {
  test("of an opening: a punch of the same shape is drawn", () => {
    const layout = layoutOf([feature("part-1", "part", squareContour(10))]);
    expect(found(square, "proof/wrong-side", layout)?.severity).toBe("error");
  });

  test("with G42 for G41, the line is named", () => {
    const lines = changed(controlProgram(), "G41", "G41", "G42");
    expect(found(lines, "proof/wrong-side")?.message).toMatch(
      /program line \d+: opening-1: .*kept side/,
    );
  });
});

test("G00 while threaded", () => {
  const lines = changed(square, "X4.7900 Y4.7900", "G01", "G00");
  const f = found(lines, "proof/rapid-threaded");
  expect(f?.severity).toBe("error");
  expect(f?.message).toContain(
    `program line ${lineOf(lines, "G00 X4.7900 Y4.7900")}`,
  );
});

test("crossing a finished opening", () => {
  // After opening-1 is finished the wire goes on from there through the web to opening-2, 2 mm beside it.
  const two = layoutOf([
    feature("opening-1", "opening", squareContour(10)),
    feature("opening-2", "opening", squareContour(10, vec(12, 0))),
  ]);
  const end = square.lastIndexOf("M09");
  const proof = proveText(
    square.toSpliced(end, 0, "G01 X0. Y0.", "G01 X12. Y0."),
    two,
  );
  const f = proof.findings.find((x) => x.code === "proof/in-kept-metal");
  expect(f?.severity).toBe("error");
  expect(f?.message).toContain(`program line ${end + 2}`);
  // In the middle of the web of 2 mm: 1 mm deep and half a kerf of 0.135 to 0.155 more.
  expect(proof.maxGouge).toBeGreaterThan(1.134);
  expect(proof.maxGouge).toBeLessThan(1.156);
});

test("crossing an opening in a punch that is still in its block", () => {
  // Ring of 30 about an opening of 10: the wire starts outside and goes right across both.
  const ring = layoutOf([
    feature("part-1", "part", squareContour(30)),
    feature("opening-1", "opening", squareContour(10), 1, "part-1"),
  ]);
  const across = [...threadAt(-20, 0), "G01 X20.0000 Y0.0000", ...CUT_WIRE];
  const lines = square.toSpliced(-2, 0, ...across);
  const f = found(lines, "proof/in-kept-metal", ring);
  expect(f?.message).toContain(`program line ${lines.length - 4}`);
});

test("cutting with the wire out", () => {
  const k = square.indexOf("T1 M06");
  const f = found(square.toSpliced(k, 1), "proof/feed-unthreaded");
  expect(f?.severity).toBe("error");
  expect(f?.message).toContain("no wire in");
});

describe("threading", () => {
  const holes = (at: [number, number], diameter: number) =>
    layoutOf(SQUARE.features, { holes: [{ at: vec(...at), diameter }] });

  test("where there is no hole, beside one that is", () => {
    expect(found(square, "proof/no-hole", holes([3, 0], 1))?.message).toContain(
      "(0.7, 0)",
    );
  });

  test("where there is no room: a hole thinner than the wire", () => {
    const f = found(square, "proof/no-room", holes([0.7, 0], 0.2));
    expect(f?.severity).toBe("error");
    expect(f?.message).toContain("hole of 0.2 mm");
  });

  test("where there is no room: on the rim of the hole", () => {
    // 0.45 mm off the middle of a hole of 1 mm: 0.05 mm from its rim, and the wire's radius is 0.125.
    const f = found(square, "proof/no-room", holes([1.15, 0], 1));
    expect(f?.severity).toBe("error");
    expect(proveText(square, holes([0.7, 0], 1)).ok).toBe(true);
  });

  test("in metal that is kept", () => {
    const lines = square.map((l) => l.replace("X0.7000 Y0.0000", "X7. Y0."));
    expect(found(lines, "proof/thread-in-kept-metal")?.severity).toBe("error");
  });

  test("against a finished edge", () => {
    const lines = square.map((l) => l.replace("X0.7000 Y0.0000", "X0.7 Y-4.9"));
    expect(found(lines, "proof/thread-in-kept-metal")?.message).toContain(
      "0.1000 mm from a finished edge",
    );
  });
});

test("travel outside the machine's box", () => {
  const job = jobOf({
    machine: {
      travel: [
        [-5, -5],
        [4, 5],
      ],
    },
  });
  const f = found(square, "proof/travel", SQUARE, job);
  // The last pass runs 4.865 mm from the middle.
  expect(f?.message).toContain("0.8650 mm");
  expect(f?.message).toContain(`program line ${lineOf(square, "X4.7900")}`);
});

describe("compensation where the lead is shorter than the offset", () => {
  test("on", () => {
    // The ramp of D1 = 0.21 from 0.1 mm in front of the edge.
    const lines = controlProgram().map((l) =>
      l.replace("Y-4.6900", "Y-4.9000"),
    );
    const f = found(lines, "proof/compensation");
    expect(f?.severity).toBe("error");
    expect(f?.message).toContain("the ramp is 0.1000 mm long, shorter than");
  });

  test("off", () => {
    const k = controlProgram().findIndex((l) => l.startsWith("G40 G01"));
    const lines = controlProgram().with(k, "G40 G01 X-0.7000 Y-4.9000");
    expect(found(lines, "proof/compensation")?.message).toContain(
      `program line ${k + 1}: the ramp of the G40 is 0.1000 mm long, shorter than the offset 0.2100`,
    );
  });
});

test("G40 without a way off: the wire moves onto the programmed edge, 0.155 mm too deep", () => {
  const k = controlProgram().findIndex((l) => l.startsWith("G40 G01"));
  const proof = proveText(
    controlProgram().with(k, "G40 G01 X-0.7000 Y-5.0000"),
  );
  const f = proof.findings.find((x) => x.code === "proof/gouge");
  expect(f?.message).toContain(`program line ${k + 1}`);
  // The wire's centre on the edge: its radius and the rough's gap, 0.125 + 0.03.
  expect(proof.maxGouge).toBeCloseTo(0.155, 6);
});

describe("what a control makes of G41 and G42 at sharp corners, and ours", () => {
  test("inside: d (1 - cos turn) too deep without look-ahead", () => {
    const { corners } = proveText(controlProgram());
    expect(corners).toMatchObject({ inside: 12, outside: 0 });
    expect(corners?.overcut).toBeCloseTo(0.21, 9);
  });

  test("outside: √2 d - d farther off where it runs on to a point", () => {
    const punch = layoutOf([feature("part-1", "part", squareContour(10))]);
    const lines = [
      ...HEAD,
      ...threadAt(0, -9),
      "G41 G01 X0. Y-5. D1",
      "X-5. Y-5.",
      "X-5. Y5.",
      "X5. Y5.",
      "X5. Y-5.",
      "X0. Y-5.",
      "G40 G01 X0. Y-6.",
      ...CUT_WIRE,
      ...TAIL,
    ];
    const { corners } = proveText(lines, punch);
    expect(corners).toMatchObject({ outside: 4, inside: 0 });
    expect(corners?.standOff).toBeCloseTo((Math.SQRT2 - 1) * 0.21, 9);
  });
});

test("every unknown word is named with line and column", () => {
  const lines = square.with(6, "G01 X0.7000 Y-4.6900 E5 G77");
  const messages = proveText(lines)
    .findings.filter((f) => f.code === "program/unknown-word")
    .map((f) => f.message);
  expect(messages.map((m) => m.split(":")[0])).toEqual([
    "line 7, column 22",
    "line 7, column 25",
  ]);
});

test("outlines that touch nowhere the program goes stay uncut, all of them", () => {
  const two = layoutOf([
    ...ROUND.features,
    feature("opening-2", "opening", circleContour(vec(40, 0), 5)),
  ]);
  const proof = proveText(roundProgram(), two);
  expect(proof.ok).toBe(false);
  expect(proof.coverage).toBe(0);
  expect(
    proof.findings
      .filter((f) => f.feature === "opening-2")
      .map((f) => f.code)
      .sort(),
  ).toEqual(["proof/excess", "proof/pass-missing", "proof/pass-missing"]);
});

test("a slot that the wire does not fit into is told, not passed over", () => {
  const slot = polygonContour([vec(0, 0), vec(9, 0), vec(9, 0.2), vec(0, 0.2)]);
  const layout = layoutOf([feature("opening-1", "opening", slot)]);
  expect(
    found(
      [...HEAD, ...S.hole, ...CUT_WIRE, ...TAIL],
      "proof/does-not-fit",
      layout,
    )?.severity,
  ).toBe("error");
});

/** What only the job can tell of a machine and its control, and where the wire is threaded. */
import { describe, expect, test } from "vitest";
import { vec } from "../../src/geometry/vec.js";
import { proofTable } from "../../src/report/proof-table.js";
import {
  CUT_WIRE,
  controlProgram,
  feature,
  HEAD,
  jobOf,
  layoutOf,
  PUNCH,
  proveText,
  punchProgram,
  SQUARE,
  squareContour,
  squareProgram,
  TAIL,
  threadAt,
} from "../helpers/programs.js";

const codes = (lines: readonly string[], job = jobOf({}), layout = SQUARE) =>
  proveText(lines, layout, job)
    .findings.filter((f) => f.severity !== "note")
    .map((f) => f.code);

describe("registers", () => {
  const registers = { D1: 0.21, D2: 0.145, D3: 0.135 };

  test("as the job says, the program holds", () => {
    expect(codes(controlProgram(), jobOf({ program: { registers } }))).toEqual(
      [],
    );
  });

  test("5 µm too much in D3 leaves stock standing", () => {
    const job = jobOf({ program: { registers: { ...registers, D3: 0.14 } } });
    expect(codes(controlProgram(), job)).toContain("proof/excess");
  });

  test("a register that the job does not know is an error that lists the known ones", () => {
    const job = jobOf({ program: { registers: { D1: 0.21, D3: 0.135 } } });
    const found = proveText(controlProgram(), SQUARE, job).findings.find(
      (f) => f.code === "proof/compensation",
    );
    expect(found?.message).toContain("D2");
    expect(found?.message).toContain("D1, D3");
  });

  test("inches in an inch job", () => {
    const inch = Object.fromEntries(
      Object.entries(registers).map(([k, v]) => [k, v / 25.4]),
    );
    const job = jobOf({ units: "in", program: { registers: inch } });
    expect(job.program.registers?.[1]).toBeCloseTo(0.21, 9);
  });
});

describe("the machine's travel", () => {
  test("a box that holds the whole path is no matter", () => {
    const job = jobOf({
      machine: {
        travel: [
          [-5, -5],
          [5, 5],
        ],
      },
    });
    expect(codes(squareProgram(), job)).toEqual([]);
  });

  test("a wire that leaves it by 0.865 mm is told, with the line", () => {
    // The last pass runs 4.865 mm from the middle.
    const job = jobOf({
      machine: {
        travel: [
          [-5, -5],
          [4, 5],
        ],
      },
    });
    const [found] = proveText(squareProgram(), SQUARE, job).findings.filter(
      (f) => f.code === "proof/travel",
    );
    expect(found?.severity).toBe("error");
    expect(found?.message).toContain("0.8650 mm");
    expect(found?.message).toMatch(/program line \d+/);
  });
});

describe("where the wire is threaded", () => {
  const lines = squareProgram();
  const thread = (nth: number): number =>
    lines.flatMap((l, k) => (l.startsWith("G00") ? [k] : []))[nth] as number;

  test("the holes that must be there before are listed", () => {
    expect(proveText(lines).threadPlaces).toEqual([
      { at: [0.7, 0], line: 4, threads: 3, room: "new", feature: "opening-1" },
    ]);
  });

  test("where no hole is, beside one that is, a second one is told", () => {
    const moved = lines.with(thread(1), "G00 X-2.0000 Y0.0000");
    expect(codes(moved)).toContain("proof/no-hole");
  });

  test("in the hole that is drawn there is room", () => {
    const layout = layoutOf(SQUARE.features, {
      holes: [{ at: vec(0.7, 0), diameter: 1 }],
    });
    expect(proveText(lines, layout).threadPlaces[0]?.room).toBe("drawn");
  });

  test("beside the drawn hole there is none", () => {
    const layout = layoutOf(SQUARE.features, {
      holes: [{ at: vec(3, 0), diameter: 1 }],
    });
    expect(codes(lines, jobOf({}), layout)).toContain("proof/no-hole");
  });

  describe("in the open beside the block", () => {
    // A punch of 10 mm in a block of 16 mm: its lower edge at y = -8. The rough's kerf reaches 0.155 mm.
    const beside = (y: string) => {
      const lines = punchProgram().map((l) =>
        l.startsWith("G00") ? `G00 X0.7000 Y${y}` : l,
      );
      return proveText(
        lines,
        layoutOf(PUNCH.features, { stock: squareContour(16) }),
      );
    };

    test("clear of its edge by a millimetre, all is well", () => {
      const proof = beside("-9.1550");
      expect(proof.findings.filter((f) => f.severity !== "note")).toEqual([]);
      expect(proof.threadPlaces[0]?.room).toBe("air");
    });

    test.each(["-8.0500", "-8.1400"])(
      "at y = %d it touches it: an error with line, place and how much is wanted",
      (y) => {
        const found = beside(y).findings.filter(
          (f) => f.code === "proof/no-room",
        );
        // Told once for the place, not once a thread.
        expect(found).toHaveLength(1);
        expect(found[0]?.severity).toBe("error");
        expect(found[0]?.message).toContain("program line 4:");
        expect(found[0]?.message).toContain(
          `${(-8 - Number(y)).toFixed(4)} mm from the block's edge, and wants 0.1550 mm`,
        );
      },
    );

    test("in the mouth of a kerf that opens there, there is room", () => {
      let nth = 0;
      const proof = proveText(
        punchProgram().map((l) =>
          l.startsWith("G00")
            ? `G00 X0.7000 Y${nth++ === 0 ? "-9.1550" : "-8.1000"}`
            : l,
        ),
        layoutOf(PUNCH.features, { stock: squareContour(16) }),
      );
      expect(proof.findings.filter((f) => f.severity !== "note")).toEqual([]);
    });
  });

  test("a hole of 10 mm does not fit in an opening of 10 mm beside its middle", () => {
    const job = jobOf({ startHoles: { diameter: 10 } });
    expect(codes(lines, job)).toContain("proof/thread-in-kept-metal");
  });
});

test("a stop that stands a whole cut before the loosening is too early", () => {
  const lines = squareProgram();
  const stop = lines.findIndex((l) => l.includes("secure"));
  const early = [
    ...lines.slice(0, 2),
    lines[stop] as string,
    ...lines.slice(2, stop),
    ...lines.slice(stop + 1),
  ];
  expect(codes(early)).toEqual(["proof/stop-early"]);
});

describe("a small opening cut away whole", () => {
  // 1 mm square; the wire's kerf is 0.31 wide, so two loops inside each other leave nothing standing.
  const layout = layoutOf([feature("opening-1", "opening", squareContour(1))]);
  const job = jobOf({ passes: [{ kind: "rough", gap: 0.03, leave: 0 }] });
  const loop = (s: number): string[] =>
    [
      [s, -s],
      [s, s],
      [-s, s],
      [-s, -s],
      [s, -s],
    ].map(([x, y]) => `G01 X${x?.toFixed(4)} Y${y?.toFixed(4)}`);
  const outer = 0.5 - 0.155;

  test("in nested loops frees nothing and needs nobody", () => {
    const proof = proveText(
      [
        ...HEAD,
        ...threadAt(0, 0),
        ...loop(0.1),
        ...loop(outer),
        ...CUT_WIRE,
        ...TAIL,
      ],
      layout,
      job,
    );
    expect(proof.findings.filter((f) => f.severity === "error")).toEqual([]);
    expect(proof.loosePieces).toEqual([]);
    expect(proof.ok).toBe(true);
  });

  test("with an island left in the middle, that is loose with nobody there", () => {
    const wide = layoutOf([feature("opening-1", "opening", squareContour(3))]);
    const proof = proveText(
      [
        ...HEAD,
        ...threadAt(1, 0),
        ...loop(1),
        ...loop(1.345),
        ...CUT_WIRE,
        ...TAIL,
      ],
      wide,
      job,
    );
    // The island, and the ring of 1.19 - 1.155 = 0.035 mm between the two kerfs.
    expect(proof.loosePieces.map((p) => p.attended)).toEqual([false, false]);
    expect(proof.findings.map((f) => f.code)).toContain(
      "proof/loose-unattended",
    );
  });
});

describe("the table", () => {
  test("says what stays after each pass and how controls differ at corners", () => {
    const proof = proveText(controlProgram());
    const table = proofTable(proof, jobOf({}));
    expect(table).toContain("THE PROOF HOLDS");
    // Pass 1: 0.21 - 0.125 - 0.03 = 0.055 mm left; pass 2: 0.145 - 0.125 - 0.015 = 0.005.
    const left = [0.055, 0.005, 0];
    proof.passes.forEach((p, k) => {
      expect(p.left?.least).toBeCloseTo(left[k] as number, 9);
      expect(p.left?.most).toBeCloseTo(left[k] as number, 9);
    });
    // Four square corners on each of three passes; without look-ahead D1 = 0.21 mm goes wrong.
    expect(proof.corners).toMatchObject({ inside: 12, outside: 0 });
    expect(proof.corners?.overcut).toBeCloseTo(0.21, 9);
    expect(table).toContain("12 inside corners");
  });

  test("says which stretch was left out, and which was never cut", () => {
    const lines = squareProgram();
    const short = lines.slice(
      0,
      lines.findIndex((l) => l.includes("secure")),
    );
    const why = (text: readonly string[]): string[] =>
      proveText(text)
        .unreached.map((u) => u.why)
        .filter((w) => w !== "corner");
    expect(why([...short, ...TAIL])).toEqual(["tab"]);
    const corner = lines.findIndex((l) => l.includes("X4.8650 Y4.8650"));
    // On either side of the corner, which no wire reaches.
    expect(why(lines.toSpliced(corner, 1))).toEqual(["left-out", "left-out"]);
  });
});

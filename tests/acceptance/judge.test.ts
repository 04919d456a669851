import { describe, expect, it } from "vitest";
import { names } from "./checks/track.js";
import {
  type ByHand,
  circleByHand,
  programByHand,
  RECIPE,
  type Recipe,
  rectangleByHand,
} from "./formula.js";
import { judge, type Verdict } from "./judge.js";
import { loosened } from "./material.js";
import { type Piece, pt, straight } from "./plane.js";
import { type Asked, ownPasses, type Paper } from "./printed.js";
import { burntLength, replay } from "./replay.js";
import { MAKERS, type Maker, randomFrom } from "./shapes.js";
import { programTraced } from "./traced.js";
import { knowTruth } from "./truth.js";

const paperOf = (b: ByHand): Paper => ({
  holes: b.printed.features.map((f) => ({
    at: pt(...f.startHole),
    diameter: b.holes[f.id] as number,
  })),
  own: [],
});

/** Judges the program after `spoil` has had its way with the lines. */
function verdictOn(
  b: ByHand,
  spoil: (lines: readonly string[]) => readonly string[] = (l) => l,
  asked: Partial<Asked> = {},
): Verdict {
  const text = `${spoil(b.lines).join("\n")}\n`;
  const registers = Object.fromEntries(
    b.printed.passes.map((p) => [p.number, p.offset]),
  );
  const r = replay(text, registers);
  const printed = {
    ...b.printed,
    totals: {
      cutLength: burntLength(r),
      threads: r.threadings.length,
      stops: r.stops.length,
    },
    proof: { ...b.printed.proof, blocks: r.blocks },
  };
  return judge(
    knowTruth(b.outlines),
    text,
    printed,
    { ...b.asked, ...asked },
    paperOf(b),
  );
}

const checks = (v: Verdict): string[] => [
  ...new Set(v.complaints.map((c) => c.check)),
];

const opening = (r: Recipe = RECIPE): ByHand =>
  programByHand([rectangleByHand(r, 12, 9, "opening", "opening-1")], r);
const punch = (r: Recipe = RECIPE): ByHand =>
  programByHand([rectangleByHand(r, 12, 9, "part", "part-1")], r);
const bore = (r: Recipe = RECIPE): ByHand =>
  programByHand([circleByHand(r, 4.3, "opening-1")], r);

const swap =
  (from: string | RegExp, to: string) =>
  (lines: readonly string[]): string[] => {
    const done = lines.map((l) => l.replace(from, to));
    expect(done, "the spoiling must change something").not.toEqual(lines);
    return done;
  };

describe("the judge finds nothing wrong with programs worked out by hand", () => {
  for (const inch of [false, true])
    for (const control of [false, true])
      for (const n of [1, 3]) {
        const r: Recipe = {
          ...RECIPE,
          inch,
          control,
          passes: RECIPE.passes.slice(3 - n),
        };
        const how = `${inch ? "inch" : "mm"}, ${control ? "control" : "path"} compensation, ${n} passes`;
        it(`rectangle opening, rectangle part and bore; ${how}`, () => {
          for (const b of [opening(r), punch(r), bore(r)]) {
            const v = verdictOn(b);
            expect(v.complaints).toEqual([]);
            expect(v.pieces).toBe(1);
            expect(v.gouge).toBeLessThan(inch ? 0.0003 : 0.0001);
          }
        });
      }

  it("a part with a bore in it", () => {
    const b = programByHand(
      [
        circleByHand(RECIPE, 3.1, "opening-1"),
        rectangleByHand(RECIPE, 16, 14, "part", "part-1"),
      ],
      RECIPE,
    );
    const v = verdictOn(b);
    expect(v.complaints).toEqual([]);
    expect(v.pieces).toBe(2);
  });
});

describe("the judge finds nothing wrong with chords through the true offset curve", () => {
  for (const [name, role] of [
    ["star", "opening"],
    ["keyhole", "part"],
    ["ellipse", "part"],
    ["arc-polygon", "opening"],
  ] as const)
    it(`${name} as ${role}`, () => {
      const d = (MAKERS[name] as Maker)(randomFrom(393));
      const b = programTraced(
        { kind: d.kind, spans: d.spans, role, layer: "0" },
        RECIPE,
      );
      expect(b).not.toBeNull();
      const v = verdictOn(b as ByHand);
      // The chords say nothing of the corners they leave uncut: that is the planner's to find.
      expect(v.complaints.filter((c) => c.check !== "n")).toEqual([]);
      expect(v.pieces).toBe(1);
    });
});

describe("the judge finds what was spoiled", () => {
  it("a skim 1 µm too deep on one side", () => {
    // Bottom of the final pass: y = -4.5 + 0.135.
    const v = verdictOn(opening(), swap(/Y-4\.3650/g, "Y-4.3660"));
    expect(checks(v)).toContain("a");
    expect(v.gouge).toBeCloseTo(0.001, 6);
  });

  it("a skim 0.4 µm too shallow on one side", () => {
    const v = verdictOn(opening(), swap(/Y-4\.3650/g, "Y-4.3646"));
    expect(checks(v)).toContain("b");
    expect(checks(v)).not.toContain("a");
  });

  it("an arc taken the wrong way round", () => {
    const v = verdictOn(bore(), swap(/^(N0080) G03/, "$1 G02"));
    expect(checks(v)).toEqual(expect.arrayContaining(["b", "d"]));
  });

  it("compensation on the wrong side", () => {
    const r = { ...RECIPE, control: true };
    const v = verdictOn(opening(r), swap("G41", "G42"));
    expect(checks(v)).toEqual(expect.arrayContaining(["a", "c"]));
  });

  it("passes in the wrong order", () => {
    const v = verdictOn(opening({ ...RECIPE, control: true }), (lines) =>
      lines.map((l) =>
        l.includes(" D1 ")
          ? l.replace(" D1 ", " D3 ")
          : l.replace(" D3 ", " D1 "),
      ),
    );
    expect(v.complaints.some((c) => c.text.includes("comes before"))).toBe(
      true,
    );
  });

  it("no stop before the slug comes loose", () => {
    const v = verdictOn(opening(), (lines) =>
      lines.filter((l) => !l.includes("secure")),
    );
    expect(checks(v)).toContain("d");
  });

  it("a stop that names another feature with a longer number", () => {
    const v = verdictOn(
      opening(),
      swap("(opening-1: secure", "(opening-12: secure"),
    );
    expect(checks(v)).toContain("d");
  });

  it("a rough that leaves no tab, and one that leaves half the tab", () => {
    // The rough of the bore and of the rectangle end left of P, at x = -(tab + kerf).
    const none = verdictOn(
      opening(),
      swap(/X-1\.3100 Y-4\.2900/, "X0.0000 Y-4.2900"),
    );
    expect(checks(none)).toContain("d");
    const half = verdictOn(opening(), swap(/X-1\.3100/g, "X-0.8100"));
    expect(half.complaints.some((c) => c.text.includes("metal left"))).toBe(
      true,
    );
  });

  it("a slug left lying in its opening while the skims of its tab's place are cut", () => {
    const v = verdictOn(opening(), (lines) =>
      lines.filter((l) => !l.includes("take the slug out")),
    );
    expect(v.complaints.map((c) => c.text)).toContainEqual(
      expect.stringContaining("no stop to take out what came loose"),
    );
  });

  it("a tab as long as said, whose metal the lead-in has cut thin", () => {
    // The rough comes in to P = (0, -4.29) by way of (-0.8, -3.9), over the tab that stands from -0.155 to -1.155.
    const v = verdictOn(opening(), (lines) => {
      const first = lines.findIndex((l) => l.includes("G01"));
      return [
        ...lines.slice(0, first),
        "N0065 G01 X-0.8000 Y-3.9000",
        ...lines.slice(first),
      ];
    });
    expect(v.complaints.map((c) => c.text)).toContainEqual(
      expect.stringContaining("where it is narrowest"),
    );
  });

  it("an opening said to be cut away whole of which an island is left", () => {
    const b = opening({ ...RECIPE, passes: RECIPE.passes.slice(2) });
    const f = {
      ...(b.printed.features[0] as (typeof b.printed.features)[number]),
      tab: null,
    };
    const v = verdictOn({ ...b, printed: { ...b.printed, features: [f] } });
    expect(v.complaints.map((c) => c.text)).toContainEqual(
      expect.stringMatching(/cut away whole, but .* still stand/),
    );
  });

  it("G00 with the wire in, an R arc, a word of another dialect, 81 columns, a letter that is not ASCII", () => {
    const one = (from: string | RegExp, to: string): string[] =>
      verdictOn(opening(), swap(from, to)).complaints.map(
        (c) => `${c.check} ${c.text}`,
      );
    expect(one(/^(N0070) G01/, "$1 G00")).toContain(
      "f line 8: G00 with the wire in",
    );
    expect(one(/^(N0070 .*)$/, "$1 R2.0")).toContain(
      "f line 8: word R2.0 is not allowed",
    );
    expect(one("M08", "M08 M50")).toContain(
      "f line 6: word M50 is not allowed",
    );
    expect(one(/^(N0020.*)$/, `$1 (${"x".repeat(70)})`)).toEqual([
      expect.stringContaining("columns"),
    ]);
    expect(one("secure", "sécure")).toEqual([
      expect.stringContaining("not plain ASCII"),
    ]);
  });

  it("radii that disagree by 0.6 µm, and a whole circle in one block", () => {
    const text = verdictOn(
      bore(),
      swap(/^(N0080 .*) J(\d\.\d{3})\d$/, "$1 J4.0906"),
    );
    expect(text.complaints.some((c) => c.text.includes("radii differ"))).toBe(
      true,
    );
    const whole = replay(
      "%\nN1 G71\nN2 G90\nN3 G00 X0.0 Y0.0\nN4 T1 M06\nN5 G02 X0.0 Y0.0 I1.0 J0.0\nN6 T0 M06\nN7 M30\n",
    );
    expect(whole.faults).toEqual(["line 6: a whole circle in one block"]);
  });

  it("a start hole too near the edge, off the grid, in the kept metal", () => {
    const b = opening();
    const moved = (x: number, y: number): string[] => {
      const hole = [x, y] as const;
      const f = {
        ...(b.printed.features[0] as (typeof b.printed.features)[number]),
        startHole: hole,
      };
      return checks(
        verdictOn({ ...b, printed: { ...b.printed, features: [f] } }),
      );
    };
    expect(moved(0, -3.6)).toContain("e");
    expect(moved(0.3, 0)).toContain("e");
    expect(moved(0, -8)).toContain("e");
  });

  it("a corner of the final pass cut short by a chamfer", () => {
    const v = verdictOn(punch(), (lines) => {
      // The rolled corner of the last pass becomes a straight line.
      const at = lines
        .map((l) => l.includes("J4.5000") || /G03.* I0\.0000 J0\.1350/.test(l))
        .lastIndexOf(true);
      return lines.map((l, i) =>
        i === at ? l.replace("G03", "G01").replace(/ I.*$/, "") : l,
      );
    });
    expect(checks(v)).toEqual(expect.arrayContaining(["a", "b"]));
  });
});

describe("passes that leave less for one feature", () => {
  const cells = (...texts: string[]): string =>
    `<tr>${texts.map((t) => `<td>${t}</td>`).join("")}</tr>`;

  it("are read from the sheet's table of offsets, with their register", () => {
    const sheet = [
      cells(
        "1",
        "rough",
        "0.1250",
        "0.0365",
        "0.0559",
        "0.2174",
        "D1 = 0.2174",
      ),
      cells(
        "1, opening-1 only",
        "rough",
        "0.1250",
        "0.0365",
        "0.0150",
        "0.1765",
        "D4 = 0.1765",
      ),
    ].join("\n");
    expect(ownPasses(sheet, 1)).toEqual([
      {
        feature: "opening-1",
        pass: 1,
        gap: 0.0365,
        leave: 0.015,
        offset: 0.1765,
        register: 4,
      },
    ]);
  });

  it("must leave less than usual, by the same sum, and be told", () => {
    const own = { feature: "opening-1", pass: 1, gap: 0.03, register: null };
    const said = (leave: number, offset: number): string[] => {
      const b = opening();
      return judge(
        knowTruth(b.outlines),
        `${b.lines.join("\n")}\n`,
        b.printed,
        b.asked,
        { ...paperOf(b), own: [{ ...own, leave, offset }] },
      ).complaints.map((c) => `${c.check} ${c.text}`);
    };
    expect(said(0.06, 0.215)).toContainEqual(
      expect.stringMatching(/^j .*leaves 0.06, usual 0.055/),
    );
    expect(said(0.02, 0.185)).toContainEqual(
      expect.stringMatching(/^j .*is not radius, gap and leave/),
    );
    expect(said(0.02, 0.175)).toContainEqual(
      expect.stringMatching(/^n .*no finding says so/),
    );
    // And the rough must then run there.
    expect(said(0.02, 0.175)).toContainEqual(expect.stringMatching(/^b /));
  });
});

describe("material", () => {
  const box = { x0: -6, y0: -6, x1: 6, y1: 6 };
  const ring = (half: number, gap: number): Piece[] => [
    straight(pt(gap, -half), pt(half, -half)),
    straight(pt(half, -half), pt(half, half)),
    straight(pt(half, half), pt(-half, half)),
    straight(pt(-half, half), pt(-half, -half)),
    straight(pt(-half, -half), pt(0, -half)),
  ];

  it("a square with a tab of 0.1 mm left is held, without it comes loose with its area", () => {
    // Kerf 0.3: centre lines 0.4 apart leave 0.1 of metal.
    expect(loosened(box, [ring(3, 0.4)], 0.15, [], true)).toEqual([]);
    expect(loosened(box, [ring(3, 0.4)], 0.15, [], false)).toEqual([]);
    const [piece, ...more] = loosened(box, [ring(3, 0)], 0.15, [], true);
    expect(more).toEqual([]);
    // 5.7 x 5.7, painted a little larger by the thin kerf.
    expect(piece?.area).toBeCloseTo(5.7 * 5.7, 0);
  });

  it("two lobes joined by a neck that the kerf fills come loose apart, the one without the tab at once", () => {
    const lobes = [
      ...[
        pt(-5, -2),
        pt(-1, -2),
        pt(-1, -0.2),
        pt(1, -0.2),
        pt(1, -2),
        pt(5, -2),
        pt(5, 2),
        pt(1, 2),
        pt(1, 0.2),
        pt(-1, 0.2),
        pt(-1, 2),
        pt(-5, 2),
        pt(-5, 0),
      ],
    ];
    const run = lobes.slice(1).map((b, i) => straight(lobes[i] as typeof b, b));
    const tab = straight(pt(-5, 0), pt(-5, -2));
    const out = loosened(box, [run, [tab]], 0.22, [], true);
    expect(out.map((o) => o.cut)).toEqual([0, 1]);
  });
});

describe("names", () => {
  it("takes a feature's name whole", () => {
    expect(names("opening-1: secure the slug", "opening-1")).toBe(true);
    expect(names("opening-12: secure the slug", "opening-1")).toBe(false);
    expect(names("secure part-2.", "part-2")).toBe(true);
  });
});

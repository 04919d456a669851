/** Messages are built in mm and told in the unit of whoever reads them. One inch is 25.4 mm (yard and pound agreement, 1959). */
import { readdirSync, readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { messageIn, nameText, quoted } from "../src/base/message.js";
import { placeText } from "../src/base/numbers.js";

const inches = (message: string): string => messageIn(message, "in");

describe("a message in a job in inches", () => {
  it.each([
    [
      "a tab of 2.54 mm is shortened to 1.27 mm",
      "a tab of 0.1 in is shortened to 0.05 in",
    ],
    [
      "the mark at (25.4, -12.7) lies on no outline",
      "the mark at (1, -0.5) lies on no outline",
    ],
    ["the size of A4, 254 × 12.7 mm", "the size of A4, 10 × 0.5 in"],
    ["z from -1.27 to 2.54 mm; all", "z from -0.05 to 0.1 in; all"],
    // 645.16 mm² are a square inch.
    [
      "less than tabs.minSlugArea (322.58 mm²)",
      "less than tabs.minSlugArea (0.5 in²)",
    ],
  ])("%s: %s", (mm, inch) => {
    expect(inches(mm)).toBe(inch);
    expect(messageIn(mm, "mm")).toBe(mm);
  });

  it.each([
    "program line 12, column 3: X5 and 4 more",
    "pass 2 of 3, opening-1, burns 12 min at 10 m/min with 43.4 g on it",
    "lies 1.5 m from the origin, at 0.5 MPa, 98.6 % of it",
    "read as mm; say it with --units mm or --units in",
    "c1 (layer 5) and c2 (layer 6)",
    "already told: 0.02 in",
  ])("keeps what is no length: %s", (text) => {
    expect(inches(text)).toBe(text);
  });

  it.each([
    // A thickness, a hole, a corner: inch figures as a job has them, written to 1 µm and read back.
    ["0.0313 in", 3],
    ["0.0079 in", 4],
    ["0.5005 in", 3],
    ["0.04 in", 3],
    ["0.0005 in", 4],
  ])("gives back the %s that a job in inches asked for", (asked, decimals) => {
    const mm = (Number.parseFloat(asked) * 25.4).toFixed(decimals);
    expect(inches(`${mm} mm`)).toBe(asked);
  });

  it.each([
    // Usual wires, 0.25, 0.1 and 0.02 mm, as wire lists have them in inches.
    ["0.25 mm", "0.00984 in"],
    ["0.1 mm", "0.00394 in"],
    ["0.02 mm", "0.00079 in"],
    // What the proof measures, in tenths of a micrometre: millionths of an inch.
    ["0.0004 mm", "0.000016 in"],
    ["0.0035 mm", "0.00014 in"],
  ])("shows enough digits of %s: %s", (mm, inch) => {
    expect(inches(mm)).toBe(inch);
  });

  it("is as fine as it is in mm: off by no more than its last digit there, and never nothing", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 10_000_000 }),
        fc.integer({ min: 0, max: 6 }),
        (digits, decimals) => {
          const mm = digits / 10 ** decimals;
          const told = inches(`${mm.toFixed(decimals)} mm`);
          const inch = Number.parseFloat(told);
          expect(told).toMatch(/^\d+(\.\d+)? in$/);
          expect(inch).toBeGreaterThan(0);
          expect(Math.abs(inch * 25.4 - mm)).toBeLessThanOrEqual(
            Math.max(10 ** -decimals, 0.00127) * (1 + 1e-9),
          );
        },
      ),
      { seed: 254 },
    );
  });
});

describe("a name from a drawing", () => {
  const names = fc.oneof(
    fc.string({ unit: "binary" }),
    fc
      .array(
        fc.constantFrom(
          "5",
          " ",
          "mm",
          "mm²",
          '"',
          "\\",
          "(",
          "1, 2",
          ")",
          "×",
          "to",
          "in",
          ".5",
          "-",
          "A",
        ),
        { maxLength: 8 },
      )
      .map((parts) => parts.join("")),
    fc.constantFrom(
      "5 mm",
      "(40, 12.5)",
      '3" 5 mm',
      "mm",
      "1 × 2 mm",
      "\\",
      '"',
    ),
  );

  it("stays as it is, whatever it is, and the lengths about it are told in inches", () => {
    fc.assert(
      fc.property(names, names, (a, b) => {
        const told = (length: string, place: string): string =>
          `An outline on layer ${nameText(a)} is open by ${length}, from ${place}; its end meets layers ${nameText(b)}, ${nameText(a)} (the block ${quoted(b)}): ${length}`;
        expect(inches(told("2.54 mm", "(25.4, 0)"))).toBe(
          told("0.1 in", "(1, 0)"),
        );
      }),
      { seed: 25, numRuns: 2000 },
    );
  });

  it("is cited only where it would read as a length or a place", () => {
    for (const plain of ["DIE", "Schnitt 5mm", "0", "KONTUR-2 (alt)", "5 in"])
      expect(nameText(plain)).toBe(plain);
    expect(nameText("5 mm")).toBe('"5 mm"');
    expect(nameText(placeText([40, 12.5]))).toBe('"(40, 12.5)"');
  });
});

const SRC = new URL("../src/", import.meta.url);

/** Texts of the files of these floors, by their paths. */
const sources = (floors: readonly string[]): [path: string, text: string][] =>
  floors.flatMap((floor) =>
    readdirSync(new URL(floor, SRC), { recursive: true, encoding: "utf8" })
      .filter((file) => file.endsWith(".ts"))
      .map((file): [string, string] => [
        `${floor}/${file}`,
        readFileSync(new URL(`${floor}/${file}`, SRC), "utf8"),
      ]),
  );

describe("every layer in a message", () => {
  it("comes in by nameText, so that no name is taken for a length", () => {
    const named = sources(["drawing", "plan", "proof"]).flatMap(
      ([path, text]) =>
        [...text.matchAll(/[lL]ayers? \$\{[^}]*/g)].map(
          (m) => `${path}: ${m[0]}`,
        ),
    );
    expect(named.length).toBeGreaterThan(20);
    expect(named.filter((n) => !/(?:name|names|option)Text/.test(n))).toEqual(
      [],
    );
  });
});

describe("every figure in a message", () => {
  /** Floors whose texts are messages; `report` and `cli` write figures in the unit they are read in. */
  const FLOORS = ["drawing", "plan", "program", "proof", "process", "geometry"];
  const FIGURE = String.raw`\$\{(?:[^{}]|\{[^{}]*\})*\b(?:trimmed|fixed|Math\.\w+)\((?:[^{}]|\{[^{}]*\})*\}`;
  const WITH_UNIT = new RegExp(
    String.raw`^(?:(?: × | to )${FIGURE})? (?:mm²?|m|g|kg|MPa|%|times|is usual for)(?![\p{L}\d])`,
    "u",
  );

  it("has its unit behind it, so that it can be told in another", () => {
    const bare: string[] = [];
    let figures = 0;
    for (const [path, text] of sources(FLOORS)) {
      for (const m of text.matchAll(new RegExp(FIGURE, "g"))) {
        figures++;
        const rest = text.slice(m.index + m[0].length);
        const before = text.slice(0, m.index);
        // Behind "×" a factor, or the second of two lengths whose unit follows; ${unit} is the job's own.
        const told =
          WITH_UNIT.test(rest) ||
          / × $/.test(before) ||
          rest.startsWith(" ${unit");
        if (!told) bare.push(`${path}: ${m[0]}`);
      }
    }
    expect(figures).toBeGreaterThan(100);
    expect(bare).toEqual([]);
  });
});

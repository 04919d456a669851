import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { numberFrom } from "../../../src/drawing/dxf/number-text.js";

const digits = (most: number) =>
  fc
    .array(fc.integer({ min: 0, max: 9 }), { maxLength: most })
    .map((d) => d.join(""));

/** As drawing programs write them, and longer than any of them does. */
const decimal = fc
  .tuple(
    fc.constantFrom("", "-", "+"),
    digits(20),
    fc.constantFrom("", "."),
    digits(30),
    fc.constantFrom("", "", "E-5", "e+12"),
  )
  .filter(([, whole, , part]) => whole + part !== "")
  .map((parts) => parts.join(""));

describe("a number in a file", () => {
  it("is the double nearest to it, as the language's own reading gives it (ECMA-262, StringToNumber)", () => {
    fc.assert(
      fc.property(decimal, (text) => {
        expect(numberFrom(text)).toBe(Number(text));
      }),
      { numRuns: 5000 },
    );
    fc.assert(
      fc.property(
        fc.double({
          noNaN: true,
          noDefaultInfinity: true,
          min: -1e9,
          max: 1e9,
        }),
        fc.integer({ min: 0, max: 16 }),
        (n, places) => {
          const text = n.toFixed(places);
          expect(numberFrom(text)).toBe(Number(text));
        },
      ),
      { numRuns: 5000 },
    );
  });

  it.each([
    "",
    ".",
    "-",
    "+.",
    "1,5",
    "1.2.3",
    "--1",
    "0x10",
    "1e",
    "nan",
    "Infinity",
    "1_000",
    "1 2",
    "١",
  ])("is not what cannot be one: %j", (text) => {
    expect(numberFrom(text)).toBeNaN();
  });

  it("too large for a double is not finite", () => {
    expect(Number.isFinite(numberFrom("1e999"))).toBe(false);
  });
});

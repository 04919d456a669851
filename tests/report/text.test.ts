import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  countText,
  escapeMarkup,
  finestText,
  lengthFigure,
  lengthText,
  massText,
  mostText,
  rangesText,
  timeText,
} from "../../src/report/text.js";

describe("text for people", () => {
  it("writes lengths in the job's unit, mm to 0.1 µm, inches to 0.00001", () => {
    expect(lengthText(0.25, "mm")).toBe("0.25 mm");
    expect(lengthText(0.254, "in")).toBe("0.01 in");
    expect(lengthFigure(0.21, "mm")).toBe("0.2100");
    expect(lengthFigure(-25.4, "in")).toBe("-1.00000");
  });

  it("tells what should be next to nothing in millionths, and what is not in the unit itself", () => {
    expect(finestText(0.000121, "mm", 2)).toBe("0.12 µm");
    expect(finestText(0.3571, "mm", 1)).toBe("357.1 µm");
    expect(finestText(1.2344, "mm", 1)).toBe("1.234 mm");
    // 0.0001 in are 100 millionths; 0.014 in would be 14,000 of them.
    expect(finestText(0.00254, "in", 1)).toBe("100 µin");
    expect(finestText(0.014 * 25.4, "in", 1)).toBe("0.01400 in");
  });

  it("claims no more than was measured where a figure rounds to nothing", () => {
    // Half of the last digit: 0.1 µm / 2, 0.01 µm / 2, 1 µin / 2.
    expect(finestText(0, "mm", 1)).toBe("under 0.05 µm");
    expect(finestText(0.000004, "mm", 2)).toBe("under 0.005 µm");
    expect(finestText(0.000005, "mm", 2)).toBe("0.01 µm");
    expect(finestText(1e-8, "in", 1)).toBe("under 0.5 µin");
    // "At most" is told in whole steps.
    expect(mostText(0, "mm", 1)).toBe("0.1 µm");
    expect(mostText(1e-9, "mm", 2)).toBe("0.01 µm");
  });

  it("rounds up what is said to be the most", () => {
    expect(mostText(0.000121, "mm", 2)).toBe("0.13 µm");
    expect(mostText(0.0005, "mm", 2)).toBe("0.50 µm");
    expect(mostText(1.2341, "mm", 1)).toBe("1.235 mm");
    expect(mostText(0.014001 * 25.4, "in", 1)).toBe("0.01401 in");
    expect(mostText(0, "in", 1)).toBe("1 µin");
  });

  it("writes masses in grams below a kilogram", () => {
    expect(massText(0.00042)).toBe("0.42 g");
    expect(massText(0.00779)).toBe("7.8 g");
    expect(massText(0.0391)).toBe("39.1 g");
    expect(massText(0.4567)).toBe("457 g");
    expect(massText(1.2345)).toBe("1.23 kg");
  });

  it("writes minutes as hours and minutes", () => {
    expect(timeText(0)).toBe("0 min");
    expect(timeText(0.4)).toBe("under 1 min");
    expect(timeText(59.4)).toBe("59 min");
    expect(timeText(59.6)).toBe("1 h 0 min");
    expect(timeText(307)).toBe("5 h 7 min");
  });

  it("counts", () => {
    expect(countText(1, "pass")).toBe("1 pass");
    expect(countText(3, "pass")).toBe("3 passes");
    expect(countText(2, "stop")).toBe("2 stops");
  });

  it("draws runs of step numbers together", () => {
    expect(rangesText([])).toBe("");
    expect(rangesText([4])).toBe("4");
    expect(rangesText([4, 5, 6, 9, 11, 12])).toBe("4-6, 9, 11-12");
  });

  it("leaves no mark of markup and nothing XML forbids, whatever a layer is called", () => {
    expect(escapeMarkup(`<b a='1' c="2">&`)).toBe(
      "&lt;b a=&#39;1&#39; c=&quot;2&quot;&gt;&amp;",
    );
    fc.assert(
      fc.property(fc.string({ unit: "binary" }), (name) => {
        const safe = escapeMarkup(`${name}\u0000\ud800<`);
        expect(safe).not.toMatch(/[<>"']/);
        expect(safe).not.toMatch(/&(?!(amp|lt|gt|quot|#39);)/);
        // XML 1.0, production 2: characters a document may hold.
        expect(safe).toMatch(
          /^[\t\n\r\u{20}-\u{D7FF}\u{E000}-\u{FFFD}\u{10000}-\u{10FFFF}]*$/u,
        );
      }),
    );
  });
});

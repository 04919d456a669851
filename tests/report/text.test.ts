import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  countText,
  escapeMarkup,
  lengthFigure,
  lengthText,
  massText,
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

  it("writes masses in grams below a kilogram", () => {
    expect(massText(0.00042)).toBe("0.42 g");
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

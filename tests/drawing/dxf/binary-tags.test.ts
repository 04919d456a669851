import { describe, expect, it } from "vitest";
import { InputError } from "../../../src/base/finding.js";
import { readDxf } from "../../../src/drawing/read-dxf.js";
import { binaryDxf } from "../../helpers/binary-dxf.js";
import {
  circleTags,
  dxfText,
  insertTags,
  rectangleTags,
  type Tags,
  tagText,
} from "../../helpers/dxf.js";

/** One of each kind of value: extended data, binary chunks, integers of 8, 16, 32 and 64 bits. */
const odd: Tags = [
  ...[0, "PROXY", 8, "NOTES", 290, 1, 160, 9_007_199_254_740, 310, "0A0D00FF"],
  ...[90, 70_000, 370, -3, 420, 16_711_680, 1001, "ACAD", 1070, 5, 1071, -9],
  ...[1040, 2.5, 1004, "00"],
];
const text = dxfText(
  [...rectangleTags(0, 0, 20, 10, "CUT"), insertTags("DOT", 5, 5), odd],
  { blocks: { DOT: [circleTags(0, 0, 1.25)] } },
);

describe("a binary DXF", () => {
  it.each([
    ["one", true],
    ["two", false],
  ])(
    "with group codes of %s byte(s) gives the same drawing as its text form",
    (_, narrow) => {
      const plain = readDxf(text);
      const binary = readDxf(binaryDxf(text, narrow));
      expect(binary.findings.map((f) => f.code)).toContain(
        "drawing/binary-dxf",
      );
      expect({ ...binary, findings: [] }).toEqual({ ...plain, findings: [] });
      expect(binary.outlines).toHaveLength(2);
    },
  );

  it("may lie anywhere in a larger buffer", () => {
    const bytes = binaryDxf(text);
    const wide = new Uint8Array(bytes.length + 7);
    wide.set(bytes, 7);
    expect(readDxf(wide.subarray(7)).outlines).toHaveLength(2);
  });

  it("names layers in its code page, or in UTF-8", () => {
    // Code page 850: byte 9D is Ø, byte 8E is Ä (Unicode Consortium, CP850).
    const named = (name: string) =>
      dxfText([circleTags(0, 0, 1, name)], {
        header: [["$DWGCODEPAGE", 3, "dos850"]],
      });
    const layer = (bytes: Uint8Array) => readDxf(bytes).outlines[0]?.layer;
    expect(layer(binaryDxf(named("L\x9d\x8e"), true))).toBe("LØÄ");
    expect(layer(binaryDxf(named("L\xc3\x98")))).toBe("LØ");
  });

  it("cut short anywhere is refused as cut short, or was whole", () => {
    const bytes = binaryDxf(text);
    for (let n = 22; n < bytes.length - 12; n += 7) {
      try {
        readDxf(bytes.subarray(0, n));
        expect.unreachable(`accepted ${n} of ${bytes.length} bytes`);
      } catch (error) {
        expect(error).toBeInstanceOf(InputError);
        expect((error as InputError).code).toBe("drawing/truncated");
      }
    }
  });

  it("with a group code that does not exist is refused with its place", () => {
    const bytes = binaryDxf(`${tagText([0, "SECTION"])}185\nx\n`);
    expect(() => readDxf(bytes)).toThrow(
      /^Byte 32: there is no group code 185/,
    );
  });

  it("with a number that is none is refused", () => {
    const bytes = binaryDxf(text.replace("\n40\n1.25\n", "\n40\nNaN\n"));
    expect(() => readDxf(bytes)).toThrow(/"NaN" is not a number/);
  });
});

describe("names", () => {
  it.each([
    ["by the number of a character", "FR\\U+00C4SEN", "FRÄSEN"],
    // Shift JIS 8C 8A is 穴 (hole), GBK BF D7 is 孔 (hole).
    ["by the bytes of page 932", "A\\M+18C8A", "A穴"],
    ["by the bytes of page 936", "\\M+5BFD7", "孔"],
  ])("may write letters %s", (_, written, name) => {
    const drawing = readDxf(dxfText([circleTags(0, 0, 1, written)]));
    expect(drawing.outlines[0]?.layer).toBe(name);
  });

  it("of an unknown code page are read, and a note says so", () => {
    const page = dxfText([circleTags(0, 0, 1, "L?")], {
      header: [["$DWGCODEPAGE", 3, "KLINGON"]],
    });
    const bytes = Uint8Array.from(page.replace("L?", "L\xd8"), (c) =>
      c.charCodeAt(0),
    );
    const { outlines, findings } = readDxf(bytes);
    expect(outlines[0]?.layer).toBe("LØ");
    expect(findings.map((f) => [f.code, f.severity])).toEqual([
      ["drawing/code-page", "note"],
    ]);
  });
});

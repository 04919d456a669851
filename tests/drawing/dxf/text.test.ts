import { describe, expect, it } from "vitest";
import { InputError } from "../../../src/base/finding.js";
import { decodeDrawing } from "../../../src/drawing/dxf/text.js";
import { dxfText, lineTags } from "../../helpers/dxf.js";

/** The values of a drawing's tags, one a line. */
function values(source: Uint8Array | string): string {
  const found: (string | number)[] = [];
  decodeDrawing(source).tags((_, value) => found.push(value) > 0);
  return found.join("\n");
}

const bytesOf = (text: string) => Uint8Array.from(text, (c) => c.charCodeAt(0));

function refusal(source: Uint8Array | string): [string, string] {
  try {
    decodeDrawing(source);
  } catch (error) {
    expect(error).toBeInstanceOf(InputError);
    return [(error as InputError).code, (error as InputError).message];
  }
  return ["accepted", ""];
}

describe("a file that is no DXF in text form", () => {
  it.each([
    ["an empty file", "", "drawing/empty-file", "empty"],
    ["blank lines only", "\r\n \r\n", "drawing/empty-file", "empty"],
    ["a PNG picture", "\x89PNG\r\n\x1a\n\x00\x00", "drawing/not-dxf", "PNG"],
    [
      "a JPEG picture",
      "\xff\xd8\xff\xe0\x00\x10JFIF",
      "drawing/not-dxf",
      "JPEG",
    ],
    ["a PDF", "%PDF-1.7\n", "drawing/not-dxf", "PDF"],
    ["a DWG", "AC1032\x00\x00\x00\x00", "drawing/not-dxf", "DWG"],
    ["an archive", "PK\x03\x04\x14\x00", "drawing/not-dxf", "ZIP"],
    ["an SVG", '<?xml version="1.0"?><svg/>', "drawing/not-dxf", "SVG"],
    ["a STEP model", "ISO-10303-21;\nHEADER;", "drawing/not-dxf", "STEP"],
    ["other binary data", "\x01\x02\x00\x03", "drawing/not-dxf", "binary data"],
    [
      "a binary DXF with its line ends changed",
      "AutoCAD Binary DXF\n\x1a\x00\x00",
      "drawing/binary-dxf",
      "spoils",
    ],
  ])("such as %s is told apart in one sentence", (_, content, code, word) => {
    const [gotCode, message] = refusal(bytesOf(content));
    expect(gotCode).toBe(code);
    expect(message).toContain(word);
  });
});

describe("the text of a drawing", () => {
  const layerLine = (text: string) =>
    text.split("\n").find((l) => l.includes("slag") || l.includes("LAG"));

  it("is UTF-8 when it can be, with or without its mark", () => {
    const text = dxfText([lineTags(0, 0, 1, 0, "Durchschlag Ø")]);
    const utf8 = new TextEncoder().encode(text);
    expect(values(utf8)).toBe(values(text));
    expect(values(Uint8Array.of(0xef, 0xbb, 0xbf, ...utf8))).toBe(values(text));
  });

  it.each([
    ["ANSI_1252", 0xd8, "Ø"],
    ["ANSI_1250", 0xd8, "Ř"],
    ["ANSI_1251", 0xd8, "Ш"],
    ["ANSI_1253", 0xd8, "Ψ"],
  ])(
    "is read by the code page it names: byte D8 in %s",
    (page, byte, letter) => {
      // Code charts of the Windows code pages.
      const text = dxfText([lineTags(0, 0, 1, 0, "LAG_?")], {
        header: [["$DWGCODEPAGE", 3, page]],
      });
      const bytes = bytesOf(text);
      bytes[text.indexOf("LAG_?") + 4] = byte;
      expect(layerLine(values(bytes))).toBe(`LAG_${letter}`);
    },
  );

  it("may be in double-byte characters", () => {
    // Shift JIS 8C 8A is 穴 (hole).
    const text = dxfText([lineTags(0, 0, 1, 0, "LAG??")], {
      header: [["$DWGCODEPAGE", 3, "ANSI_932"]],
    });
    const bytes = bytesOf(text);
    bytes.set([0x8c, 0x8a], text.indexOf("LAG??") + 3);
    expect(layerLine(values(bytes))).toBe("LAG穴");
  });

  it("may be UTF-16 with its mark", () => {
    const text = dxfText([lineTags(0, 0, 1, 0)]);
    const wide = new Uint8Array(2 + 2 * text.length);
    wide.set([0xff, 0xfe]);
    [...text].forEach((c, i) => {
      wide[2 + 2 * i] = c.charCodeAt(0);
    });
    expect(values(wide)).toBe(values(text));
  });
});

import { describe, expect, it } from "vitest";
import { InputError } from "../../../src/base/finding.js";
import { parseDxf } from "../../../src/drawing/dxf/dxf.js";
import { textTags } from "../../../src/drawing/dxf/tags.js";
import { dxfText, lineTags, tagText } from "../../helpers/dxf.js";

const parse = (text: string) => parseDxf(textTags(text));
const good = dxfText([lineTags(0, 0, 10, 0)]);

function refusal(text: string): [string, string] {
  try {
    parse(text);
  } catch (error) {
    expect(error).toBeInstanceOf(InputError);
    return [(error as InputError).code, (error as InputError).message];
  }
  return ["accepted", ""];
}

describe("a DXF text", () => {
  it("may have any line endings, comments in front, and spaces round its codes", () => {
    for (const text of [
      good,
      good.replaceAll("\n", "\r\n"),
      good.replaceAll("\n", "\r"),
      `999\nmade by hand\n${good}`,
      good.replace(/^(\d+)$/gm, "  $1"),
    ])
      expect(parse(text).entities.map((e) => e.type)).toEqual(["LINE"]);
  });

  it("without its end mark is read when its entities are complete, and a note says so", () => {
    const { findings } = parse(good.replace("0\nEOF\n", ""));
    expect(findings.map((f) => [f.code, f.severity])).toEqual([
      ["drawing/no-end-mark", "note"],
    ]);
  });

  it("is read up to its end mark, and a note says that something follows", () => {
    expect(parse(`${good}\n0\nLINE\n`).findings.map((f) => f.code)).toEqual([
      "drawing/after-end-mark",
    ]);
    expect(parse(`${good}\n\n\x1a`).entities.length).toBe(1);
    expect(parse(`${good}\n\n`).findings).toEqual([]);
  });

  it("that breaks off anywhere in its entities is refused as cut short", () => {
    const from = good.indexOf("LINE");
    const to = good.indexOf("ENDSEC", from) + "ENDSEC".length;
    const lines = good.slice(0, to).split("\n");
    const first = good.slice(0, from).split("\n").length;
    for (let n = first; n < lines.length - 1; n++)
      expect(refusal(lines.slice(0, n).join("\n"))[0]).toBe(
        "drawing/truncated",
      );
  });

  it("that breaks off before its entities is refused as cut short", () => {
    expect(
      refusal(good.slice(0, good.indexOf("0\nSECTION\n2\nENTITIES")))[0],
    ).toBe("drawing/truncated");
  });

  it("of another kind is refused as no DXF, with how it begins", () => {
    expect(refusal("Dear colleague,\nplease find")[0]).toBe("drawing/not-dxf");
    expect(refusal("Dear colleague,\nplease find")[1]).toContain(
      '"Dear colleague,"',
    );
    expect(refusal("0\nVERSION\n1\n2\n")[0]).toBe("drawing/not-dxf");
    expect(refusal("N10 G90\nN20 G01 X1\n")[0]).toBe("drawing/not-dxf");
  });

  it.each(["1,5", "nan", "inf", "0x10", "", "1.2.3", "--1", "1e999", "ten"])(
    "with %j for a coordinate is refused with its line",
    (value) => {
      const text = dxfText([lineTags(0, 0, 10, 0)]).replace(
        "\n11\n10\n",
        `\n11\n${value}\n`,
      );
      const line = text.split("\n").indexOf("11") + 2;
      const [code, message] = refusal(text);
      expect(code).toBe("drawing/bad-number");
      expect(message).toMatch(new RegExp(`^Line ${line}: `));
    },
  );

  it.each(["1.5e-3", "+2", "-.5", "7.", "1E+2", "  3  "])(
    "takes %j for a number",
    (value) => {
      expect(refusal(good.replace("\n11\n10\n", `\n11\n${value}\n`))[0]).toBe(
        "accepted",
      );
    },
  );

  it("with a bad number where no outline hangs on it is read", () => {
    const text = dxfText([
      [0, "TEXT", 8, "0", 10, "1,5", 20, "x", 1, "note"],
      lineTags(0, 0, 1, 0),
    ]);
    expect(refusal(text)[0]).toBe("accepted");
  });

  it("with a group code that is no number is refused with its line", () => {
    expect(refusal(good.replace("\n20\n0\n", "\nxx\n0\n"))).toEqual([
      "drawing/damaged",
      expect.stringMatching(
        /^Line \d+: a group code should stand here, not "xx"/,
      ),
    ]);
  });

  it.each([
    [
      "a block in a block",
      [0, "BLOCK", 2, "A", 0, "BLOCK", 2, "B", 0, "ENDBLK", 0, "ENDBLK"],
    ],
    ["a block without an end", [0, "BLOCK", 2, "A"]],
    ["an end without a block", [0, "ENDBLK"]],
  ])("with %s is refused as damaged", (_, tags) => {
    const text = tagText([
      0,
      "SECTION",
      2,
      "BLOCKS",
      ...tags,
      0,
      "ENDSEC",
      0,
      "EOF",
    ]);
    expect(refusal(text)[0]).toBe("drawing/damaged");
  });
});

describe("layers", () => {
  it("are frozen by flag 1 and off by a negative colour; flag 2 only concerns new viewports", () => {
    const { layers } = parse(
      dxfText([], {
        layers: [
          ["A", 0, 7],
          ["B", 1, 7],
          ["C", 0, -7],
          ["D", 2, 7],
          ["E", 64, 3],
        ],
      }),
    );
    expect(layers.map((l) => l.state)).toEqual([
      "on",
      "frozen",
      "off",
      "on",
      "on",
    ]);
  });
});

import { describe, expect, it } from "vitest";
import { InputError } from "../../../src/base/finding.js";
import type { JobFile } from "../../../src/plan/job/file.js";
import { inspectionText } from "../../../src/report/inspection-text.js";
import { inspect } from "../../../src/run.js";
import {
  circleTags,
  dxfText,
  insertTags,
  lineTags,
  type Tags,
  textTags,
} from "../../helpers/dxf.js";

/** Group 6 names the line type of an entity. */
const typed = (lineType: string, tags: Tags): Tags => [...tags, 6, lineType];
const look = (drawing: string, job: JobFile = {}) =>
  inspect({
    name: "sheet",
    drawing,
    job: JSON.stringify({ roles: { outer: "opening" }, ...job }),
  });

const holes = [0, 40, 80, 120].map((x) => circleTags(x, 0, 10));
const crosses = [0, 40, 80, 120].flatMap((x) => [
  typed("CENTER", lineTags(x - 13, 0, x + 13, 0)),
  typed("center", lineTags(x, -13, x, 13)),
]);

describe("a drawing that has everything on layer 0", () => {
  const drawing = dxfText([...holes, ...crosses]);

  it("with centre lines tells of them in one error, and how to leave them out", () => {
    const { ok, findings } = look(drawing);
    expect(ok).toBe(false);
    expect(findings.map((f) => f.code)).toEqual(["outline/not-closed"]);
    expect(findings[0]?.message).toMatch(
      /^8 lines on layer 0 with line type CENTER do not close, .*If they are centre lines.*--skip-line-type CENTER/,
    );
  });

  it("is the outlines alone without that line type, and says what was left out", () => {
    const { ok, contours, findings } = look(drawing, {
      drawing: { skipLineTypes: ["Center"] },
    });
    expect([ok, contours.length]).toEqual([true, 4]);
    expect(findings.map((f) => [f.severity, f.message])).toEqual([
      [
        "note",
        "8 entities on layer 0 left out: line type CENTER was to be skipped.",
      ],
    ]);
  });

  it("lists its line types with counts where there are several", () => {
    const seen = look(drawing);
    expect(seen.lineTypes).toEqual([
      { name: "Continuous", entities: 4 },
      { name: "CENTER", entities: 8 },
    ]);
    expect(inspectionText("sheet", seen)).toMatch(
      /Line types\n {2}Continuous {2}4 entities\n {2}CENTER {6}8 entities/,
    );
    expect(inspectionText("sheet", look(dxfText(holes)))).not.toContain(
      "Line types",
    );
  });

  it("with an outline that just fails to close names its gap first, beside the centre lines", () => {
    const open = dxfText([
      ...crosses,
      lineTags(200, 0, 230, 0),
      lineTags(230, 0, 230, 30),
      lineTags(230, 30, 200, 0.05),
      circleTags(260, 0, 5),
    ]);
    const [gap, centres] = look(open).findings;
    expect(gap?.message).toMatch(/is open by 0\.05 mm/);
    expect(centres?.message).toMatch(/^8 lines on layer 0 with line type/);
  });

  it("with a pitch circle through the holes tells what of each crossing may be left out", () => {
    const pitch = typed("CENTER", circleTags(60, 0, 60));
    const { findings } = look(dxfText([...holes, ...crosses, pitch]));
    const crossing = findings.filter((f) => f.code.includes("crosses"));
    expect(crossing.length).toBeGreaterThan(0);
    for (const f of crossing)
      expect(f.message).toMatch(
        /or leave out c5, drawn with line type CENTER as centre lines are, with --skip-line-type\.$/,
      );
    expect(
      findings.filter((f) => f.code === "outline/not-closed"),
    ).toHaveLength(1);
  });

  it("and text is not told to leave that layer out, and its gaps are told", () => {
    const gap = [lineTags(200, 0, 230, 0), lineTags(230, 0.05, 200, 9)];
    const { findings } = look(
      dxfText([...holes, ...crosses, ...gap, textTags(0, 50, "plate")]),
    );
    expect(findings.map((f) => [f.code, f.severity])).toEqual([
      ["role/sheet-layer", "warning"],
      ["outline/not-closed", "error"],
      ["outline/not-closed", "error"],
      ["outline/not-closed", "error"],
    ]);
    expect(findings[0]?.message).toMatch(/^Everything is drawn on layer 0/);
    expect(findings[0]?.message).not.toContain("--skip-layer");
    expect(findings[1]?.message).toContain("open by 0.05 mm");
  });

  it("is told that it has no line type of a misspelt name", () => {
    const wrong = () =>
      look(drawing, { drawing: { skipLineTypes: ["CENTRE"] } });
    expect(wrong).toThrow(InputError);
    expect(wrong).toThrow(
      'the drawing has no line type "CENTRE", did you mean "CENTER"?; it has Continuous, CENTER',
    );
  });
});

describe("the line type of an entity", () => {
  // DXF reference, group 6: BYLAYER is the layer's, and the default; BYBLOCK that of the insertion.
  const skipped = (drawing: string): number =>
    look(drawing, { drawing: { skipLineTypes: ["HIDDEN"] } }).contours.length;
  const hiddenLayer = (text: string): string =>
    text.replace("CONTINUOUS", "HIDDEN");
  const other = circleTags(90, 0, 5, "A");

  it("is that of its layer unless it has its own", () => {
    const drawing = dxfText(
      [
        circleTags(0, 0, 5, "AXES"),
        typed("ByLayer", circleTags(20, 0, 5, "AXES")),
        typed("Continuous", circleTags(40, 0, 5, "AXES")),
        other,
      ],
      { layers: [["AXES", 0, 1]] },
    );
    expect(skipped(hiddenLayer(drawing))).toBe(2);
  });

  it("in a block is that of the insertion where it says so", () => {
    const drawing = dxfText(
      [
        typed("HIDDEN", insertTags("B", 0, 0)),
        insertTags("B", 50, 0),
        typed("HIDDEN", other),
      ],
      {
        blocks: {
          B: [
            typed("BYBLOCK", circleTags(0, 0, 5)),
            typed("HIDDEN", circleTags(20, 0, 5)),
          ],
        },
      },
    );
    expect(skipped(drawing)).toBe(1);
  });
});

describe("a closed outline drawn as a centre line", () => {
  const pitch = typed("ACAD_ISO10W100", circleTags(60, 0, 3));

  it("is told to be cut like the others", () => {
    const { ok, findings } = look(dxfText([...holes, pitch]));
    expect([ok, findings[0]?.code]).toEqual([true, "role/line-type"]);
    expect(findings[0]?.message).toMatch(
      /as centre lines are, but would be cut/,
    );
  });

  it("around the work stops the plan, for it would turn openings into parts", () => {
    const around = typed("PHANTOM", circleTags(60, 0, 200));
    const { ok, findings } = look(dxfText([...holes, around]));
    expect([ok, findings[0]?.severity]).toEqual([false, "error"]);
    expect(findings[0]?.message).toMatch(/cut the other way round/);
  });

  it("is no matter once its layer has a role", () => {
    const { findings } = look(dxfText([...holes, pitch]), {
      roles: { layers: { "0": "opening" } },
    });
    expect(findings).toEqual([]);
  });
});

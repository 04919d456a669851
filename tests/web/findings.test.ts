import { describe, expect, it } from "vitest";
import { type Finding, planDrawing } from "../../src/index.js";
import { inPageWords, toldAgain, worstFirst } from "../../web/findings.js";
import {
  circleTags,
  dxfText,
  lineTags,
  type Tags,
  textTags,
} from "../helpers/dxf.js";

const corner = (x: number, message = "tight"): Finding => ({
  code: "corner/too-tight",
  severity: "note",
  message,
  where: [x, 0],
  feature: "opening-1",
});

describe("a finding that is chosen", () => {
  it("stays chosen when the same is told again with other figures", () => {
    const [left, right] = [corner(0, "0.05 mm stay"), corner(10)];
    expect(toldAgain([right, left], corner(0.02, "0.04 mm stay"))).toBe(left);
  });

  it("is the nearest of several of its kind", () => {
    const [near, nearer] = [corner(0.3), corner(0.1)];
    expect(toldAgain([near, nearer], corner(0))).toBe(nearer);
  });

  it("is let go when nothing of its kind is told of its place or its outline", () => {
    expect(toldAgain([corner(5)], corner(0))).toBeNull();
    expect(
      toldAgain([{ ...corner(0), feature: "opening-2" }], corner(0)),
    ).toBeNull();
    expect(
      toldAgain([{ ...corner(0), code: "slot/too-narrow" }], corner(0)),
    ).toBeNull();
    expect(toldAgain([corner(0)], null)).toBeNull();
  });

  it("needs no place", () => {
    const all: Finding = { code: "a/b", severity: "note", message: "" };
    expect(toldAgain([{ ...corner(0), code: "a/b" }, all], { ...all })).toBe(
      all,
    );
  });
});

it("reads what stops the work first, the rest in its order", () => {
  const of = (severity: Finding["severity"], x: number): Finding => ({
    ...corner(x),
    severity,
  });
  const list = [of("note", 1), of("error", 2), of("note", 3), of("warning", 4)];
  expect(worstFirst(list).map((f) => f.where?.[0])).toEqual([2, 4, 1, 3]);
});

describe("a message on the page", () => {
  const sheet = (tags: readonly Tags[]): string[] =>
    planDrawing({
      name: "sheet",
      drawing: dxfText(tags),
      job: JSON.stringify({ roles: { outer: "opening" } }),
    }).findings.map((f) => inPageWords(f.message));
  const typed = (tags: Tags): Tags => [...tags, 6, "CENTER"];

  it("names no option of the command line, but the step where it is chosen", () => {
    const open = sheet([circleTags(0, 0, 10), typed(lineTags(-13, 0, 13, 0))]);
    expect(open.join(" ")).toContain("not reading line type CENTER");
    const closed = sheet([circleTags(0, 0, 10), typed(circleTags(0, 0, 30))]);
    expect(closed.join(" ")).toContain("Leave such lines out in step 1;");
    const text = sheet([circleTags(0, 0, 10), textTags(0, 20, "Sheet 1")]);
    expect(text.join(" ")).toContain("a role for layer 0 says so");
    for (const message of [...open, ...closed, ...text])
      expect(message).not.toMatch(/--\w/);
  });
});

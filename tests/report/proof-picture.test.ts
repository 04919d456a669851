import { expect, test } from "vitest";
import { readProgram } from "../../src/program/trace.js";
import { NEUTRAL } from "../../src/program/words.js";
import { proveMoves } from "../../src/proof/prove.js";
import { drawProof } from "../../src/report/proof-picture.js";
import { tagsOf } from "../helpers/markup.js";
import { JOB, SQUARE, squareProgram } from "../helpers/programs.js";

const picture = (lines: readonly string[]): string => {
  const { proof, moves } = proveMoves(
    readProgram(lines.join("\n"), NEUTRAL),
    SQUARE,
    JOB,
  );
  return drawProof("<square>.iso", SQUARE, moves, proof);
};

test("the kerf of every move is drawn as wide as it is: 0.25 + 2 · gap", () => {
  const widths = tagsOf(picture(squareProgram())).flatMap((t) =>
    t.attributes["stroke-opacity"] === ".35"
      ? [t.attributes["stroke-width"]]
      : [],
  );
  expect(new Set(widths)).toEqual(new Set(["0.31", "0.28", "0.27"]));
});

test("each fault has its number at its place and its words below", () => {
  const good = picture(squareProgram());
  expect(good).toContain("no errors and no warnings");
  const bad = picture(squareProgram().filter((l) => !l.includes("secure")));
  expect(bad).toContain("THE PROOF FAILS");
  expect(bad).toContain("[proof/loose-unattended]");
  const numbers = bad.match(/text-anchor="middle">\d+</g) ?? [];
  expect(numbers).toContain('text-anchor="middle">1<');
});

test("a name that looks like markup stays text", () => {
  expect(picture(squareProgram())).toContain("&lt;square&gt;.iso");
});

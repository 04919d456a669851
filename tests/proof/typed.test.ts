/** Programs in the habits of other people: whatever way they are typed, what they cut is what is judged. */
import { describe, expect, test } from "vitest";
import { PUNCH, proveText, punchProgram } from "../helpers/programs.js";

const codes = (lines: readonly string[], layout = PUNCH): string[] =>
  proveText(lines, layout)
    .findings.filter((f) => f.severity !== "note")
    .map((f) => f.code);

/** The punch with its corners run on to a point instead of rolled round, as one types it without arcs. */
function pointedPunch(): string[] {
  const lines: string[] = [];
  let [x0, y0] = [0, 0];
  for (const l of punchProgram()) {
    const [x, y] = numbers(l, "X", "Y");
    const [i, j] = numbers(l, "I", "J");
    // Start, end and centre of a quarter turn are three corners of a square; the fourth is where its tangents meet.
    if (i === undefined || j === undefined) lines.push(l);
    else
      lines[lines.length - 1] =
        `G01 X${n(x0 + (x as number) - (x0 + i))} Y${n(y0 + (y as number) - (y0 + j))}`;
    [x0, y0] = [x ?? x0, y ?? y0];
  }
  return lines;
}

const n = (value: number): string => value.toFixed(4);
const numbers = (line: string, ...letters: string[]): (number | undefined)[] =>
  letters.map((letter) => {
    const found = new RegExp(`${letter}(-?[\\d.]+)`).exec(line)?.[1];
    return found === undefined ? undefined : Number(found);
  });

describe("outside corners", () => {
  test("run on to a point finish the corner as well: no alarm", () => {
    const proof = proveText(pointedPunch(), PUNCH);
    expect(codes(pointedPunch())).toEqual([]);
    expect(proof.ok).toBe(true);
    expect(proof.maxExcess).toBe(0);
  });
});

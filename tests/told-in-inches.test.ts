/** What a shop that works in inches reads: no length in mm anywhere, and each the same length. One inch is 25.4 mm. */
import { readdirSync, readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { type Finding, InputError } from "../src/base/finding.js";
import { messageIn } from "../src/base/message.js";
import { inspectionText } from "../src/report/inspection-text.js";
import {
  checkInFull,
  inspect,
  inspectWithPicture,
  type Order,
  outputFiles,
  planDrawing,
} from "../src/run.js";
import { FAULTS } from "./acceptance/faults.js";
import { textOf } from "./helpers/markup.js";
import {
  controlProgram,
  PUNCH,
  proveText,
  punchProgram,
  squareProgram,
} from "./helpers/programs.js";

const SAMPLES = new URL("../samples/", import.meta.url);

function orderOf(folder: string, file: string, job: string | null): Order {
  const read = (f: string): Buffer =>
    readFileSync(new URL(`${folder}/${f}`, SAMPLES));
  return {
    name: file.replace(/\.\w+$/, ""),
    drawing: new Uint8Array(read(file)),
    job: job === null ? undefined : read(job).toString("utf8"),
  };
}

const drawingsIn = (folder: string): string[] =>
  readdirSync(new URL(folder, SAMPLES)).filter((f) => /\.(dxf|svg)$/.test(f));

/** All that planning and inspection find; a drawing that cannot be read at all finds nothing. */
function found(order: Order): readonly Finding[] {
  try {
    return [...planDrawing(order).findings, ...inspect(order).findings];
  } catch (error) {
    if (error instanceof InputError) return [];
    throw error;
  }
}

/** A program with one line left out, or its first coordinate 0.3 mm off, for each line. */
function* spoiled(lines: readonly string[]): Generator<string[]> {
  for (const [i, line] of lines.entries()) {
    yield lines.toSpliced(i, 1);
    const off = line.replace(/(?<=[XY])-?[\d.]+/, (n) =>
      (Number(n) + 0.3).toFixed(4),
    );
    if (off !== line) yield lines.toSpliced(i, 1, off);
  }
}

/** All that stands under the key `source`, the longest first. */
function sourcesOf(node: unknown): string[] {
  if (typeof node !== "object" || node === null) return [];
  return Object.entries(node)
    .flatMap(([key, inner]) =>
      key === "source" && typeof inner === "string"
        ? [inner]
        : sourcesOf(inner),
    )
    .sort((a, b) => b.length - a.length);
}

const CITED = /"(?:[^"\\]|\\.)*"/g;
const NUMBER = /-?\d+(?:\.\d+)?/g;

/** Pairs of the figures of a message in mm and in inches, with what stands behind the one in mm. */
function figurePairs(
  mm: string,
  inch: string,
): { mm: string; inch: string; behind: string }[] {
  const bare = mm.replace(CITED, "");
  const there = [...inch.replace(CITED, "").matchAll(NUMBER)].map((m) => m[0]);
  const here = [...bare.matchAll(NUMBER)];
  expect(there, inch).toHaveLength(here.length);
  return here.map((m, i) => ({
    mm: m[0],
    inch: there[i] as string,
    behind: bare.slice(m.index + m[0].length),
  }));
}

describe("every finding of the samples, of drawings at fault and of spoilt programs", () => {
  const findings = [
    ...readdirSync(SAMPLES, { withFileTypes: true })
      .filter((d) => d.isDirectory())
      .flatMap(({ name }) =>
        drawingsIn(name).map((file) =>
          orderOf(name, file, name === "faulty" ? null : "job.json"),
        ),
      )
      .flatMap(found),
    ...FAULTS.flatMap(({ drawing, job }) =>
      drawing === null ? [] : found({ name: "fault", drawing, job }),
    ),
    ...[...spoiled(squareProgram()), ...spoiled(controlProgram())].flatMap(
      (lines) => proveText(lines).findings,
    ),
    ...[...spoiled(punchProgram())].flatMap(
      (lines) => proveText(lines, PUNCH).findings,
    ),
  ];

  it("leaves no length in mm, and each length, area and place is the same in inches", () => {
    expect(new Set(findings.map((f) => f.code)).size).toBeGreaterThan(40);
    let lengths = 0;
    for (const { message } of findings) {
      const inch = messageIn(message, "in");
      expect(inch.replace(CITED, "")).not.toMatch(/\d mm/);
      for (const pair of figurePairs(message, inch)) {
        const unit = /^(?: (?:×|to) -?[\d.]+)? mm(²?)/.exec(pair.behind);
        const place = /^(?:, -?[\d.]+)?\)/.test(pair.behind);
        if (pair.mm === pair.inch) {
          // Nothing is as long in inches as in mm but nothing.
          if (unit) expect(Number(pair.mm), message).toBe(0);
          continue;
        }
        expect(unit !== null || place, `${pair.mm} of: ${message}`).toBe(true);
        lengths++;
        const per = unit?.[1] ? 25.4 ** 2 : 25.4;
        const decimals = pair.mm.split(".")[1]?.length ?? 0;
        // Half a ten-thousandth of an inch, or better where the mm are given better.
        const finest = Math.min(0.00005, 0.5 * 10 ** -decimals);
        expect(
          Math.abs(Number(pair.inch) - Number(pair.mm) / per),
          `${message}\n${inch}`,
        ).toBeLessThanOrEqual(finest * 1.001);
      }
    }
    expect(lengths).toBeGreaterThan(500);
  });
});

describe("a layer that is called like a length", () => {
  it("keeps its name in every finding about it", () => {
    let told = 0;
    for (const { drawing, job } of FAULTS) {
      if (typeof drawing !== "string") continue;
      const rename = (text: string): string =>
        text.replaceAll("DIE", "DIE 5 mm");
      for (const { message } of found({
        name: "fault",
        drawing: rename(drawing),
        job: job && rename(job),
      })) {
        const mentions = (text: string): number => text.split("DIE").length;
        const inch = messageIn(message, "in");
        expect(inch.split("DIE 5 mm").length).toBe(mentions(message));
        if (mentions(message) > 1) told++;
      }
    }
    expect(told).toBeGreaterThan(0);
  });
});

describe("the stripper plate in inches", () => {
  const order = orderOf("inch-plate", "inch-plate.dxf", "job.json");
  const outcome = planDrawing(order);
  const files = outputFiles(outcome);
  const fileText = (ending: string): string =>
    files.find((f) => f.name.endsWith(ending))?.text ?? "";

  it("says on sheet and preview what its job says in inches, and nothing in mm but what is cited", () => {
    const preview = textOf(fileText(".svg"));
    // Where figures are from is cited as the process table has it, which is in mm.
    const sheet = sourcesOf(outcome.plan.job.process).reduce(
      (text, source) => text.replaceAll(source, ""),
      textOf(fileText(".setup.html")),
    );
    for (const text of [preview, sheet]) {
      expect(text).toContain("tabs.minSlugArea (0.005 in²)");
      // The round window stands about (2.75, 0.75) with a radius of 0.05.
      expect(text).toMatch(/opening-4 at \(2\.75, 0\.7\)/);
      expect(text).not.toMatch(/\d mm²?\b/);
    }
  });

  it("keeps mm in the plan as data", () => {
    expect(fileText(".plan.json")).toContain("tabs.minSlugArea (3.226 mm²)");
  });

  it("is told in inches by inspection, in text and picture", () => {
    const { inspection, picture } = inspectWithPicture(order);
    for (const text of [inspectionText("p.dxf", inspection), textOf(picture)])
      expect(text).not.toMatch(/\d mm²?\b/);
  });

  it("is told in inches by the check of a spoilt program, in findings, table and picture", () => {
    const program = outcome.program as string;
    // The first skim of a window's side, a hundredth of an inch too far into the edge.
    const lines = program.split("\n");
    const at = lines.findIndex((l) => /pass 2 skim, offset/.test(l)) + 2;
    const spoilt = lines.with(
      at,
      (lines[at] as string).replace(
        /X(-?[\d.]+)/,
        (_, x) => `X${(Number(x) + 0.01).toFixed(5)}`,
      ),
    );
    const { proof, table, picture } = checkInFull(order, spoilt.join("\n"));
    expect(proof.ok).toBe(false);
    for (const text of [table, textOf(picture())]) {
      expect(text).not.toMatch(/\d mm²?\b|µm/);
      expect(text).toMatch(/greatest gouge +\d+ µin/);
    }
    expect(table).toMatch(/opening-1 +1 rough +0\.00820 +/);
  });
});

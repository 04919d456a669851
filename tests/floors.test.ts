import { execFileSync } from "node:child_process";
import { describe, expect, it } from "vitest";

describe("the floors of src/", () => {
  it("are climbed by no import, and only the command line knows Node (dependency-cruiser)", () => {
    const report = execFileSync(
      "npx",
      [
        "depcruise",
        "--config",
        ".dependency-cruiser.cjs",
        "--output-type",
        "json",
        "src",
      ],
      { encoding: "utf8", maxBuffer: 64 * 1024 * 1024 },
    );
    const { summary } = JSON.parse(report) as {
      summary: {
        totalCruised: number;
        violations: { rule: { name: string }; from: string; to: string }[];
      };
    };
    expect(summary.totalCruised).toBeGreaterThan(50);
    expect(
      summary.violations.map((v) => `${v.rule.name}: ${v.from} → ${v.to}`),
    ).toEqual([]);
    // A process of its own that reads every file: slow where the machine is busy.
  }, 300_000);
});

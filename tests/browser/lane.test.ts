/// <reference lib="dom" />
import { build } from "esbuild";
import { type Browser, chromium, type Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";

/** A lane of the page, with workers that answer at once, think for ever or fail. */
type Lanes = typeof import("../../web/worker/lane.js");

describe("a worker of the page", () => {
  let browser: Browser;
  let page: Page;
  beforeAll(async () => {
    const bundle = await build({
      entryPoints: ["web/worker/lane.ts"],
      bundle: true,
      format: "iife",
      globalName: "lanes",
      platform: "browser",
      write: false,
    });
    browser = await chromium.launch({
      executablePath: "/usr/bin/chromium",
      args: [
        "--no-sandbox",
        "--disable-gpu",
        "--disable-background-networking",
      ],
    });
    page = await browser.newPage();
    await page.addScriptTag({ content: bundle.outputFiles[0]?.text ?? "" });
  });
  afterAll(() => browser?.close());

  /** Asks one lane for one task after the other; how each ended, and how many workers that took. */
  const endings = (
    names: readonly string[],
    longest: number,
  ): Promise<{ readonly ends: readonly string[]; readonly workers: number }> =>
    page.evaluate(
      async ({ names, longest }) => {
        const { startLane } = (globalThis as unknown as { lanes: Lanes }).lanes;
        const script = `onmessage = ({ data: { id, task: { desk } } }) => {
          while (desk.name === "hangs");
          if (desk.name === "breaks") throw new Error("broken");
          postMessage({ id, kind: "done", answer: null });
        }`;
        let workers = 0;
        const lane = startLane(() => {
          workers++;
          return new Worker(URL.createObjectURL(new Blob([script])));
        }, longest);
        const ends: string[] = [];
        for (const [i, name] of names.entries()) {
          const task = { kind: "draft", desk: { name }, order: null } as never;
          const ask = { desk: i, drawing: i, task };
          await new Promise<void>((resolve) =>
            lane.ask({
              ask,
              onStage: () => undefined,
              end(ending) {
                ends.push(
                  ending.kind === "fault"
                    ? `${ending.fault.code}: ${ending.fault.message}`
                    : ending.kind,
                );
                resolve();
              },
            }),
          );
        }
        return { ends, workers };
      },
      { names, longest },
    );

  it("is stopped when a task takes too long, says so, and the next task is done by another", async () => {
    const { ends, workers } = await endings(["quick", "hangs", "quick"], 300);
    expect(ends[0]).toBe("done");
    expect(ends[1]).toMatch(
      /^page\/took-too-long: this took longer than 0.3 s and was stopped; leave layers out/,
    );
    expect(ends[2]).toBe("done");
    expect(workers).toBe(2);
  });

  it("that stops by itself is told of, and another goes on", async () => {
    const { ends } = await endings(["breaks", "quick"], 60_000);
    expect(ends[0]).toMatch(/^page\/worker-stopped: .*broken/);
    expect(ends[1]).toBe("done");
  });
});

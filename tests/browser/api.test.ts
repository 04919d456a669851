import { existsSync, readFileSync } from "node:fs";
import { build } from "esbuild";
import { type Browser, chromium } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { outputFiles, planDrawing } from "../../src/index.js";

const CHROMIUM = "/usr/bin/chromium";
const sample = (file: string): string =>
  readFileSync(`samples/hub-keyway/${file}`, "utf8");

describe("the public API in a browser", () => {
  let browser: Browser;
  let script: string;

  beforeAll(async () => {
    if (!existsSync(CHROMIUM))
      throw new Error("Chromium is missing: npm run setup:browser");
    const bundle = await build({
      entryPoints: ["src/index.ts"],
      bundle: true,
      format: "iife",
      globalName: "kerfwright",
      platform: "browser",
      write: false,
    });
    script = bundle.outputFiles[0]?.text ?? "";
    browser = await chromium.launch({
      executablePath: CHROMIUM,
      args: [
        "--no-sandbox",
        "--disable-gpu",
        "--disable-background-networking",
      ],
    });
  });
  afterAll(() => browser?.close());

  it("makes the same bytes as in Node, from drawing to proven program", async () => {
    const order = {
      name: "hub",
      drawing: sample("hub-keyway.dxf"),
      job: sample("job.json"),
    };
    const page = await browser.newPage();
    await page.addScriptTag({ content: script });
    const there = await page.evaluate((given) => {
      const k = (
        globalThis as unknown as {
          kerfwright: typeof import("../../src/index.js");
        }
      ).kerfwright;
      return k.outputFiles(k.planDrawing(given));
    }, order);
    const here = outputFiles(planDrawing(order));
    expect(here.map((f) => f.name)).toContain("hub.iso");
    // Two engines may differ in the last bit of a sine; what people and machines read may not.
    const rounded = (text: string): string =>
      text.replace(/-?\d+\.\d{8,}(e-?\d+)?/g, (n) => Number(n).toFixed(9));
    expect(there.map((f) => f.name)).toEqual(here.map((f) => f.name));
    there.forEach((file, i) => {
      const twin = here[i]?.text ?? "";
      if (file.name.endsWith(".plan.json"))
        expect(rounded(file.text)).toBe(rounded(twin));
      else expect(file.text, file.name).toBe(twin);
    });
  });
});

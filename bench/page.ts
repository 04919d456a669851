/// <reference lib="dom" />
/** How smoothly the page pans and zooms over 400 openings, and how long its first picture takes. Run: npm run bench -- page */
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { chromium } from "playwright-core";
import { build } from "vite";
import { dxfText, rectangleTags } from "../tests/helpers/dxf.js";

const SIDE = 20;
const FRAMES = 120;

const openings = Array.from({ length: SIDE * SIDE }, (_, i) =>
  rectangleTags(12 * (i % SIDE), 12 * Math.floor(i / SIDE), 8, 6),
).flat();
const drawing = dxfText([...openings, ...rectangleTags(-10, -10, 260, 260)]);

const folder = mkdtempSync(join(tmpdir(), "kerfwright-bench-"));
await build({
  build: { outDir: folder, emptyOutDir: true },
  logLevel: "error",
});
const browser = await chromium.launch({
  executablePath: "/usr/bin/chromium",
  args: ["--no-sandbox", "--disable-gpu"],
});
const page = await browser.newPage({ viewport: { width: 1280, height: 800 } });
// The runner names functions by a helper of its own, which the page does not have.
await page.addInitScript("globalThis.__name = (f) => f");
const url = pathToFileURL(join(folder, "index.html")).href;
await page.goto(url);
const first = await page.evaluate(
  () =>
    new Promise<number>((resolve) => {
      const look = (): void => {
        if (document.querySelector(".world .outline"))
          resolve(performance.now());
        else requestAnimationFrame(look);
      };
      look();
    }),
);
console.log(
  `first picture of a sample: ${first.toFixed(0)} ms after the page was asked for`,
);

await page.setInputFiles("#file", {
  name: "plate.dxf",
  mimeType: "text/plain",
  buffer: Buffer.from(drawing),
});
await page.waitForFunction(
  () => document.querySelectorAll(".world .hole").length >= 400,
  undefined,
  { timeout: 120_000 },
);
for (const step of ["drawing", "wire", "order"]) {
  await page.evaluate(
    (name) => document.getElementById(`s-${name}`)?.scrollIntoView(),
    step,
  );
  await page.waitForTimeout(500);
  for (const [name, deltas] of [
    ["pan", null],
    ["zoom", [-60, 60]],
  ] as const) {
    const times = await page.evaluate(
      ({ frames, wheel }) =>
        new Promise<number[]>((resolve) => {
          const picture = document.getElementById("picture") as HTMLElement;
          const box = picture.getBoundingClientRect();
          const at = {
            clientX: box.left + box.width / 2,
            clientY: box.top + box.height / 2,
          };
          const stamps: number[] = [];
          if (!wheel)
            picture.dispatchEvent(
              new PointerEvent("pointerdown", {
                ...at,
                pointerId: 1,
                bubbles: true,
              }),
            );
          const frame = (now: number): void => {
            stamps.push(now);
            if (stamps.length > frames) {
              if (!wheel)
                picture.dispatchEvent(
                  new PointerEvent("pointerup", {
                    ...at,
                    pointerId: 1,
                    bubbles: true,
                  }),
                );
              resolve(stamps);
              return;
            }
            if (wheel)
              picture.dispatchEvent(
                new WheelEvent("wheel", {
                  ...at,
                  deltaY: wheel[stamps.length % 40 < 20 ? 0 : 1] ?? 0,
                  bubbles: true,
                  cancelable: true,
                }),
              );
            else {
              const swing = 120 * Math.sin(stamps.length / 10);
              picture.dispatchEvent(
                new PointerEvent("pointermove", {
                  clientX: at.clientX + swing,
                  clientY: at.clientY,
                  pointerId: 1,
                  bubbles: true,
                }),
              );
            }
            requestAnimationFrame(frame);
          };
          requestAnimationFrame(frame);
        }),
      { frames: FRAMES, wheel: deltas },
    );
    const gaps = times
      .slice(1)
      .map((t, i) => t - (times[i] as number))
      .sort((a, b) => a - b);
    const mean = gaps.reduce((sum, g) => sum + g, 0) / gaps.length;
    const late = gaps[Math.floor(0.95 * gaps.length)] ?? 0;
    console.log(
      `${name} over 400 openings, step "${step}": ${(1000 / mean).toFixed(0)} frames a second on average, slowest twentieth over ${late.toFixed(0)} ms a frame`,
    );
  }
}
await browser.close();
rmSync(folder, { recursive: true, force: true });

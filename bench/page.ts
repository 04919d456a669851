/// <reference lib="dom" />
/**
 * The page in a real browser: its first picture, a change of the wire, and panning and zooming over 400 openings. Run:
 * npm run bench -- page. Frames a second hang on what else the machine does and, without a display, on drawing by
 * software; processor time of the page's own thread does not, so both are told.
 */
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { chromium, type Page } from "playwright-core";
import { build } from "vite";
import { dxfText, rectangleTags } from "../tests/helpers/dxf.js";

const SIDE = 20;
const FRAMES = 120;
const CHANGES = 15;

const openings = Array.from({ length: SIDE * SIDE }, (_, i) =>
  rectangleTags(12 * (i % SIDE), 12 * Math.floor(i / SIDE), 8, 6),
).flat();
const block = dxfText([...openings, ...rectangleTags(-10, -10, 260, 260)]);
const job = JSON.stringify({ roles: { outer: "stock" } });

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

const settled = (): Promise<unknown> =>
  page.waitForSelector(".verdict:not(.busy)", { timeout: 300_000 });
const load = (name: string, text: string): Promise<void> =>
  page.setInputFiles("#file", {
    name,
    mimeType: "text/plain",
    buffer: Buffer.from(text),
  });

const first = await measured(page, async () => {
  await page.goto(pathToFileURL(join(folder, "index.html")).href);
  await page.waitForSelector(".world .outline", { state: "attached" });
});
tell("first picture of a sample, 187 segments", first);

await settled();
const changes: number[] = [];
for (let i = 0; i < CHANGES; i++) {
  changes.push(await change(["0.2", "0.22", "0.25"][i % 3] as string));
  await settled();
  await page.waitForTimeout(200);
}
changes.sort((a, b) => a - b);
const [best, median] = [changes[0] ?? 0, changes[CHANGES >> 1] ?? 0];
console.log(
  `from another wire to a new picture that is painted, of ${CHANGES}: best ${best.toFixed(0)}, median ${median.toFixed(0)} ms by the clock`,
);
tell("one of them", await measured(page, () => change("0.21")));
await settled();

await load("block.json", job);
await load("block.dxf", block);
await page.waitForFunction(
  () =>
    Array.from(document.querySelectorAll(".world .hole"))
      .map((hole) => hole.getAttribute("d")?.length ?? 0)
      .reduce((sum, length) => sum + length, 0) > 20_000,
  undefined,
  { timeout: 300_000 },
);
await settled();
for (const step of ["drawing", "wire", "slugs", "order", "proof"]) {
  await page.evaluate(
    (name) => document.getElementById(`s-${name}`)?.scrollIntoView(),
    step,
  );
  await page.waitForTimeout(500);
  for (const way of ["pan", "zoom"] as const) {
    let stamps: number[] = [];
    const { main } = await measured(page, async () => {
      stamps = await frames(page, way);
    });
    const gaps = stamps.slice(1).map((t, i) => t - (stamps[i] as number));
    const mean = gaps.reduce((sum, g) => sum + g, 0) / gaps.length;
    const sorted = [...gaps].sort((a, b) => a - b);
    const late = sorted[Math.floor(0.95 * sorted.length)] ?? 0;
    console.log(
      `${way} over 400 openings, step "${step}": ${(1000 / mean).toFixed(0)} frames a second on average, slowest twentieth over ${late.toFixed(0)} ms a frame; the page’s thread works ${(main / gaps.length).toFixed(1)} ms a frame`,
    );
  }
}
await browser.close();
rmSync(folder, { recursive: true, force: true });

/** Types another wire; ms by the page's own clock until the picture of it has been painted. */
function change(wire: string): Promise<number> {
  return page.evaluate(
    (text) =>
      new Promise<number>((resolve) => {
        const input = Array.from(document.querySelectorAll("input")).find(
          (i) => i.labels?.[0]?.textContent === "Wire diameter",
        ) as HTMLInputElement;
        const shapes = document.querySelector(".world g") as Element;
        input.focus();
        const since = performance.now();
        new MutationObserver((_, watcher) => {
          watcher.disconnect();
          // A task after the frame that paints it.
          requestAnimationFrame(() =>
            setTimeout(() => resolve(performance.now() - since)),
          );
        }).observe(shapes, { childList: true });
        input.value = text;
        input.dispatchEvent(new Event("input", { bubbles: true }));
      }),
    wire,
  );
}

interface Measured {
  /** ms by the clock. */
  readonly clock: number;
  /** ms of processor time of the page's own thread, and of its workers. */
  readonly main: number;
  readonly workers: number;
}

function tell(what: string, { clock, main, workers }: Measured): void {
  console.log(
    `${what}: ${clock.toFixed(0)} ms by the clock; processor time ${main.toFixed(0)} ms of the page’s thread, ${workers.toFixed(0)} ms of its workers`,
  );
}

/** Runs something and reads from the browser's own trace how long each thread was at work. */
async function measured(
  on: Page,
  act: () => Promise<unknown>,
): Promise<Measured> {
  const path = join(folder, "trace.json");
  await browser.startTracing(on, {
    path,
    categories: ["toplevel", "devtools.timeline"],
  });
  const since = performance.now();
  await act();
  const clock = performance.now() - since;
  await browser.stopTracing();
  const { traceEvents } = JSON.parse(readFileSync(path, "utf8")) as {
    traceEvents: readonly TraceEvent[];
  };
  const threads = new Map(
    traceEvents
      .filter((e) => e.name === "thread_name")
      .map((e) => [`${e.pid} ${e.tid}`, e.args?.name ?? ""]),
  );
  const work = (name: RegExp): number =>
    traceEvents
      .filter(
        (e) =>
          e.name === "ThreadControllerImpl::RunTask" &&
          name.test(threads.get(`${e.pid} ${e.tid}`) ?? ""),
      )
      .reduce((sum, e) => sum + (e.tdur ?? 0) / 1000, 0);
  return {
    clock,
    main: work(/^CrRendererMain$/),
    workers: work(/^DedicatedWorker/),
  };
}

interface TraceEvent {
  readonly name: string;
  readonly pid: number;
  readonly tid: number;
  /** Processor time, µs. */
  readonly tdur?: number;
  readonly args?: { readonly name?: string };
}

/** Pans or zooms a little before every frame; when each frame began, ms. */
function frames(on: Page, way: "pan" | "zoom"): Promise<number[]> {
  return on.evaluate(
    ({ count, pans }) =>
      new Promise<number[]>((resolve) => {
        const picture = document.getElementById("picture") as HTMLElement;
        const box = picture.getBoundingClientRect();
        const x = box.left + box.width / 2;
        const y = box.top + box.height / 2;
        const pointer = (kind: string, dx = 0): void => {
          picture.dispatchEvent(
            new PointerEvent(kind, {
              clientX: x + dx,
              clientY: y,
              pointerId: 1,
              buttons: kind === "pointermove" ? 1 : 0,
              bubbles: true,
            }),
          );
        };
        const stamps: number[] = [];
        if (pans) pointer("pointerdown");
        const frame = (now: number): void => {
          stamps.push(now);
          if (stamps.length > count) {
            if (pans) pointer("pointerup");
            resolve(stamps);
            return;
          }
          if (pans) pointer("pointermove", 120 * Math.sin(stamps.length / 10));
          else
            picture.dispatchEvent(
              new WheelEvent("wheel", {
                clientX: x,
                clientY: y,
                deltaY: stamps.length % 40 < 20 ? -60 : 60,
                bubbles: true,
                cancelable: true,
              }),
            );
          requestAnimationFrame(frame);
        };
        requestAnimationFrame(frame);
      }),
    { count: FRAMES, pans: way === "pan" },
  );
}

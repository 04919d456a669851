/**
 * The offset beside other libraries, on gears of 100 to 100,000 segments. Run: npm run bench -- offset
 *
 * Libraries that know no arcs get chords within 0.1 µm; cutting into chords, handing over and reading back count.
 * Times are medians; the processor's (with the collector's threads) are compared, as other work disturbs them less.
 * Errors are distances from the exact outline, sampled.
 * Memory is what the peak of a fresh process rises by during one offset.
 */
import { execFileSync } from "node:child_process";
import { join } from "node:path";
import type { Contour } from "../src/geometry/contour.js";
import { indexSegments } from "../src/geometry/distance.js";
import { pointAt, type Segment } from "../src/geometry/segment.js";
import {
  type Answer,
  type Contender,
  contenders,
} from "./offset.contenders.js";
import { type Gear, gearOutline } from "./offset.gears.js";

const SIZES = [100, 1000, 10_000, 100_000];
const D = 0.15;
const MOST_RUNS = 9;
/** No further run of one library at one size after this, ms. */
const ENOUGH = 2000;
/** What takes longer than this, ms, is not run once more to see its memory. */
const PATIENCE = 30_000;

const all = await contenders();

interface Timing {
  readonly wall: number;
  readonly cpu: number;
}

for (const gear of ["clean", "vanish"] as const) {
  console.log(`\n${gear} gear, inward by ${D} mm`);
  console.log(
    row("segments", "", [
      "cpu ms",
      "wall ms",
      "MB",
      "vertices",
      "error nm",
      "× kernel",
      "growth",
    ]),
  );
  const past = new Map<Contender, { segments: number; cpu: number }>();
  for (const segments of SIZES) {
    const outline = gearOutline(gear, segments);
    let kernel = 0;
    for (const contender of all) {
      const { name } = contender;
      const before = past.get(contender);
      if (before && segments > contender.largest) {
        const why = `left out: ${(before.cpu / 1000).toFixed(1)} s at ${before.segments}`;
        console.log(row(segments, name, [why]));
        continue;
      }
      const { wall, cpu, answer } = measure(contender, outline);
      if (kernel === 0) kernel = cpu;
      console.log(
        row(segments, name, [
          cpu.toFixed(1),
          wall.toFixed(1),
          wall > PATIENCE
            ? "-"
            : (memory(name, gear, segments) / 1e6).toFixed(0),
          vertices(answer),
          (largestError(answer, outline) * 1e6).toPrecision(3),
          (cpu / kernel).toFixed(1),
          before ? (cpu / before.cpu).toFixed(1) : "",
        ]),
      );
      past.set(contender, { segments, cpu });
    }
  }
}

function measure(
  contender: Contender,
  outline: Contour,
): Timing & { answer: Answer } {
  const timings: Timing[] = [];
  const begin = performance.now();
  let answer: Answer = [];
  do {
    globalThis.gc?.();
    const cpu = process.cpuUsage();
    const from = performance.now();
    answer = contender.inward(outline, D);
    const wall = performance.now() - from;
    const { user, system } = process.cpuUsage(cpu);
    timings.push({ wall, cpu: (user + system) / 1000 });
  } while (timings.length < MOST_RUNS && performance.now() - begin < ENOUGH);
  return {
    wall: median(timings.map((t) => t.wall)),
    cpu: median(timings.map((t) => t.cpu)),
    answer,
  };
}

function memory(name: string, gear: Gear, segments: number): number {
  const script = join(import.meta.dirname, "offset.memory.ts");
  const args = [...process.execArgv, script, name, gear, `${segments}`, `${D}`];
  return Number(execFileSync(process.execPath, args, { encoding: "utf8" }));
}

function vertices(answer: Answer): number {
  return answer.reduce(
    (sum, loop) =>
      sum + (loop instanceof Float64Array ? loop.length / 2 : loop.length),
    0,
  );
}

/** Largest difference from D of the distance to the outline, at five places of each of some 4,000 pieces. */
function largestError(answer: Answer, outline: Contour): number {
  const pieces = answer.flatMap((loop) =>
    loop instanceof Float64Array ? chords(loop) : loop,
  );
  const step = Math.ceil(pieces.length / 4000);
  const index = indexSegments(outline.segments);
  let worst = 0;
  for (let i = 0; i < pieces.length; i += step) {
    for (const t of [0, 0.25, 0.5, 0.75, 1]) {
      const near = index.nearest(pointAt(pieces[i] as Segment, t), 2 * D);
      worst = Math.max(worst, Math.abs((near?.distance ?? 2 * D) - D));
    }
  }
  return worst;
}

function chords(xy: Float64Array): Segment[] {
  const n = xy.length / 2;
  const at = (i: number): { x: number; y: number } => ({
    x: xy[2 * (i % n)] as number,
    y: xy[2 * (i % n) + 1] as number,
  });
  return Array.from({ length: n }, (_, i) => ({
    kind: "line",
    start: at(i),
    end: at(i + 1),
  }));
}

function median(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[values.length >> 1] ?? 0;
}

function row(
  segments: number | string,
  name: string,
  cells: readonly (number | string)[],
): string {
  return [
    `${segments}`.padStart(8),
    name.padEnd(14),
    ...cells.map((c) => `${c}`.padStart(9)),
  ].join(" ");
}

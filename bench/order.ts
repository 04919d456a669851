/**
 * Short tours against proven optima, and how long 5,000 holes take.
 * Run: npm run bench -- order DIR   (or TSPLIB=DIR), DIR holding .tsp files of TSPLIB.
 */
import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import type { Vec } from "../src/geometry/vec.js";
import { shortTour, tourLength } from "../src/plan/order/tour/tour.js";
import { timed } from "./run.processor-time.js";

/** Proven shortest closed tours (TSPLIB: Reinelt, ORSA Journal on Computing 3 (1991) 376-384). */
const OPTIMA = { berlin52: 7542, a280: 2579, d198: 15_780, u1060: 224_094 };

const directory = process.env.TSPLIB;
for (const [name, optimum] of Object.entries(OPTIMA)) {
  const file = join(directory ?? ".", `${name}.tsp`);
  if (!directory || !existsSync(file)) {
    console.log(
      `${name}: fetch ${name}.tsp from TSPLIB (Reinelt 1991) and name its folder: TSPLIB=folder npm run bench -- order`,
    );
    continue;
  }
  const points = coordinates(readFileSync(file, "utf8"));
  const [first, ...rest] = points as [Vec, ...Vec[]];
  const [order, took] = timedWarm(() =>
    shortTour({
      points: rest,
      ranks: rest.map(() => 0),
      start: first,
      end: first,
    }),
  );
  const tour = [first, ...order.map((i) => rest[i] as Vec)];
  const length = tour.reduce((sum, p, i) => {
    const q = tour[(i + 1) % tour.length] as Vec;
    return sum + Math.floor(Math.hypot(p.x - q.x, p.y - q.y) + 0.5);
  }, 0);
  const over = (100 * (length - optimum)) / optimum;
  console.log(
    `${name}: ${points.length} points, ${length}, ${over.toFixed(2)} % over the proven ${optimum}; ${took}`,
  );
}

for (const n of [400, 5000, 10_000]) {
  let state = 1;
  const random = (): number => {
    state = (state * 16_807) % 2_147_483_647;
    return state / 2_147_483_647;
  };
  const points = Array.from({ length: n }, () => ({
    x: 1000 * random(),
    y: 1000 * random(),
  }));
  const visits = {
    points,
    ranks: points.map(() => 0),
    start: { x: 0, y: 0 },
    end: null,
  };
  const [order, took] = timedWarm(() => shortTour(visits));
  // For n random points in an area A the shortest tour comes near 0.7124·√(nA) (Johnson & McGeoch 1997).
  const expected = 0.7124 * Math.sqrt(n * 1e6);
  const over = 100 * (tourLength(visits, order) / expected - 1);
  console.log(
    `${n} random holes from the corner: ${over.toFixed(1)} % over 0.7124·√(nA); ${took}`,
  );
}

function coordinates(text: string): Vec[] {
  return text
    .split("\n")
    .map((row) => row.trim().split(/\s+/).map(Number))
    .filter((row) => row.length === 3 && row.every(Number.isFinite))
    .map(([, x, y]) => ({ x: x as number, y: y as number }));
}

/** Runs twice, so that what is timed is compiled. */
function timedWarm<T>(run: () => T): [T, string] {
  run();
  const [seconds, result] = timed(run);
  return [result, `${(1000 * seconds).toFixed(0)} ms of processor time`];
}

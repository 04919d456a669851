/**
 * In which order the features are cut: what lies deeper first (a slug is cut out of before it falls), openings
 * before parts, and within such a group a short way from hole to hole. The whole order is an open tour from the
 * origin: nearest neighbour, then 2-opt until nothing gets shorter (Croes, Operations Research 6 (1958)).
 */
import { distance, type Vec } from "../geometry/vec.js";

export interface Orderable {
  readonly depth: number;
  readonly role: "opening" | "part";
  readonly hole: Vec;
}

/** Indices in cutting order. Same input, same order: ties go to the lower index. */
export function cuttingOrder(items: readonly Orderable[]): number[] {
  const groups = new Map<string, number[]>();
  items.forEach((item, i) => {
    const key = groupKey(item);
    groups.set(key, [...(groups.get(key) ?? []), i]);
  });
  const order: number[] = [];
  let from: Vec = { x: 0, y: 0 };
  for (const key of [...groups.keys()].sort()) {
    const tour = shortTour(
      groups.get(key) as number[],
      (i) => (items[i] as Orderable).hole,
      from,
    );
    order.push(...tour);
    from = (items[tour.at(-1) as number] as Orderable).hole;
  }
  return order;
}

/** Deeper first, then openings before parts; sorts as text. */
function groupKey({ depth, role }: Orderable): string {
  return `${String(99999 - depth).padStart(5, "0")} ${role}`;
}

function shortTour(
  members: readonly number[],
  place: (i: number) => Vec,
  from: Vec,
): number[] {
  const tour: number[] = [];
  const rest = new Set(members);
  let at = from;
  while (rest.size > 0) {
    let best = -1;
    let bestDistance = Number.POSITIVE_INFINITY;
    for (const i of rest) {
      const d = distance(at, place(i));
      if (d < bestDistance) {
        best = i;
        bestDistance = d;
      }
    }
    tour.push(best);
    rest.delete(best);
    at = place(best);
  }
  return twoOpt(tour, place, from);
}

/** Rounds of 2-opt at most: each round is O(n²), and later rounds gain next to nothing. */
const ROUNDS = 20;

/** Gains under this (mm) are rounding, and chasing them may never end. */
const LEAST_GAIN = 1e-6;

function twoOpt(
  tour: number[],
  place: (i: number) => Vec,
  from: Vec,
): number[] {
  const at = (k: number): Vec => (k < 0 ? from : place(tour[k] as number));
  const n = tour.length;
  for (let round = 0; round < ROUNDS; round++) {
    let better = false;
    for (let i = 0; i < n - 1; i++) {
      for (let j = i + 1; j < n; j++) {
        const before =
          distance(at(i - 1), at(i)) +
          (j + 1 < n ? distance(at(j), at(j + 1)) : 0);
        const after =
          distance(at(i - 1), at(j)) +
          (j + 1 < n ? distance(at(i), at(j + 1)) : 0);
        if (after < before - LEAST_GAIN) {
          reverseRange(tour, i, j);
          better = true;
        }
      }
    }
    if (!better) break;
  }
  return tour;
}

function reverseRange(a: number[], i: number, j: number): void {
  for (let lo = i, hi = j; lo < hi; lo++, hi--) {
    const kept = a[lo] as number;
    a[lo] = a[hi] as number;
    a[hi] = kept;
  }
}

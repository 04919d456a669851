/** Makes a failing case small: as few outlines, corners, arcs and digits as still fail. */
import { isValid } from "./families.js";
import type { Corner, OffsetCase } from "./offset-case.js";

/** `fails` is asked only of valid cases. Greedy: a smaller case that still fails is taken and shrunk on. */
export function shrink(
  failing: OffsetCase,
  fails: (c: OffsetCase) => boolean,
): OffsetCase {
  let best = failing;
  for (;;) {
    const smaller = [...simpler(best)].find(
      (c) => isValid(c.outlines) && fails(c),
    );
    if (!smaller) return best;
    best = smaller;
  }
}

function* simpler(c: OffsetCase): Generator<OffsetCase> {
  const { outlines, d } = c;
  const put = (k: number, corners: readonly Corner[]): OffsetCase => ({
    ...c,
    outlines: outlines.map((o, i) => (i === k ? corners : o)),
  });
  for (let k = 1; k < outlines.length; k++)
    yield { ...c, outlines: outlines.filter((_, i) => i !== k) };
  for (const [k, corners] of outlines.entries())
    for (let run = corners.length >> 1; run >= 1; run >>= 1)
      for (let i = 0; i < corners.length; i += run)
        if (corners.length - run >= 2)
          yield put(k, [...corners.slice(0, i), ...corners.slice(i + run)]);
  for (const [k, corners] of outlines.entries())
    for (const [i, [x, y, bulge]] of corners.entries())
      if (bulge !== 0) yield put(k, corners.with(i, [x, y, 0]));
  const [[ox, oy] = [0, 0]] = outlines[0] as readonly Corner[];
  if (ox !== 0 || oy !== 0)
    yield {
      ...c,
      outlines: outlines.map((o) =>
        o.map(([x, y, b]): Corner => [x - ox, y - oy, b]),
      ),
    };
  for (const digits of [0, 1, 2, 3, 4, 6, 8, 10]) {
    const r = (v: number): number => Number(v.toFixed(digits));
    const rounded = outlines.map((o) =>
      o.map(([x, y, b]): Corner => [r(x), r(y), r(b)]),
    );
    if (JSON.stringify(rounded) !== JSON.stringify(outlines))
      yield { ...c, outlines: rounded };
    if (r(d) > 0 && r(d) !== d) yield { ...c, d: r(d) };
    for (const [k, corners] of outlines.entries())
      for (const [i, corner] of corners.entries())
        for (const axis of [0, 1, 2]) {
          const rough = corner.map((v, a) =>
            a === axis ? r(v) : v,
          ) as unknown as Corner;
          if (rough[axis] !== corner[axis])
            yield put(k, corners.with(i, rough));
        }
  }
}

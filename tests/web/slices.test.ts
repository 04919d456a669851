import fc from "fast-check";
import { expect, it } from "vitest";
import { joined, sliced } from "../../web/worker/slices.js";

it("an answer that goes in slices comes together as it was, whatever it holds", () => {
  const list = fc.array(fc.record({ at: fc.integer() }), {
    minLength: 150,
    maxLength: 900,
  });
  const answer = fc.record({
    plan: fc.record({ features: list, steps: list, name: fc.string() }),
    scene: fc.record({ shapes: list, deep: fc.record({ deeper: list }) }),
    findings: list,
    none: fc.constant(null),
    ok: fc.boolean(),
  });
  fc.assert(
    fc.property(answer, (whole) => {
      const parts = sliced(whole);
      for (const { items } of parts.slices)
        expect(items.length).toBeLessThanOrEqual(200);
      // As a message: nothing of the sender's is written to.
      expect(joined(structuredClone(parts))).toEqual(whole);
      expect(sliced(whole)).toEqual(parts);
    }),
    { numRuns: 30 },
  );
});

it("small answers, and lists that are the whole answer, go as they are", () => {
  const files = Array.from({ length: 500 }, (_, i) => i);
  expect(sliced(files)).toEqual({ slices: [], rest: files });
  expect(sliced(null)).toEqual({ slices: [], rest: null });
});

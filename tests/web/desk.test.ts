import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { InputError, type JobFile, settleJob } from "../../src/index.js";
import { bundleText, readBundle } from "../../web/desk/bundle.js";
import { valueAt, withValue } from "../../web/desk/desk.js";
import { begin, change, redo, undo } from "../../web/desk/history.js";
import { inUnits } from "../../web/desk/units.js";

const JOB: JobFile = {
  stock: { material: "copper", thickness: 25.4 },
  wire: { diameter: 0.2 },
  passes: [
    { kind: "rough", gap: 0.03, leave: 0.05 },
    { kind: "skim", gap: 0.01, leave: 0 },
  ],
  startHoles: { diameter: 1, clearance: 0.4 },
  tabs: { length: 2, minSlugArea: 3 },
  lead: { kind: "arc", overlap: 0.5, radius: 2, spread: 0.5 },
  program: { compensation: "control", registers: { D1: 0.155 } },
  machine: {
    travel: [
      [-127, -127],
      [127, 127],
    ],
  },
  features: {
    "opening-1": { startHole: [50.8, 2], tab: { at: [1, 2], length: 3 } },
  },
};

describe("the desk", () => {
  it("takes a value out of the job together with the group it leaves empty", () => {
    const with_ = withValue({}, ["roles", "layers", "DIE"], "opening");
    expect(with_).toEqual({ roles: { layers: { DIE: "opening" } } });
    expect(valueAt(with_, ["roles", "layers", "DIE"])).toBe("opening");
    expect(withValue(with_, ["roles", "layers", "DIE"], undefined)).toEqual({});
  });

  it("says the same lengths in inches, and comes back to the same job", () => {
    const inch = inUnits(JOB, "in");
    expect(inch.units).toBe("in");
    expect(inch.stock?.thickness).toBe(1);
    const there = settleJob(inch);
    const here = settleJob(JOB);
    expect(there.wire.diameter).toBeCloseTo(here.wire.diameter, 8);
    expect(there.tabs.minSlugArea).toBeCloseTo(here.tabs.minSlugArea, 6);
    there.passes.forEach((p, i) => {
      expect(p.offset).toBeCloseTo(here.passes[i]?.offset ?? Number.NaN, 8);
    });
    expect(inch.features?.["opening-1"]?.startHole?.[0]).toBe(2);
    expect(inUnits(inch, "mm")).toEqual({ ...JOB, units: "mm" });
  });

  it("is saved as one file and opened again, byte for byte", () => {
    fc.assert(
      fc.property(
        fc.uint8Array({ maxLength: 200 }),
        fc.string(),
        (drawing, name) => {
          const desk = {
            name,
            drawing,
            drawingUnit: "in" as const,
            beside: { "shop.json": "{}" },
            job: JOB,
          };
          const back = readBundle(bundleText(desk));
          expect(back.name).toBe(name);
          expect([...back.drawing]).toEqual([...drawing]);
          expect(back.job).toEqual(JOB);
          expect(back.beside["shop.json"]).toBe("{}");
        },
      ),
    );
  });

  it.each([
    ["", "it is not JSON"],
    ["{}", "format"],
    ['{"format":"kerfwright-desk-1","name":"a"}', "drawing"],
    ['{"format":"kerfwright-desk-1","name":"a","drawing":"%"}', "base64"],
    [
      '{"format":"kerfwright-desk-1","name":"a","drawing":"","job":{"wir":1}}',
      "wir",
    ],
  ])("refuses the file %j with a reason", (text, reason) => {
    expect(() => readBundle(text)).toThrowError(InputError);
    expect(() => readBundle(text)).toThrowError(reason);
  });
});

describe("undo and redo", () => {
  it("come back to where one was, whatever was done", () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer(), { minLength: 1, maxLength: 50 }),
        (values) => {
          const done = values.reduce((h, v) => change(h, v, null), begin(-1));
          const undone = values.reduce((h) => undo(h), done);
          expect(undone.now).toBe(-1);
          const again = values.reduce((h) => redo(h), undone);
          expect(again.now).toBe(values.at(-1));
        },
      ),
    );
  });

  it("take a run of changes to one thing as one", () => {
    const typed = [1, 2, 3].reduce(
      (h, v) => change(h, v, "wire.diameter"),
      begin(0),
    );
    expect(undo(typed).now).toBe(0);
  });

  it("a new change ends what could be redone", () => {
    const back = undo(change(begin(0), 1, null));
    expect(redo(change(back, 2, null)).now).toBe(2);
  });
});

import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { InputError } from "../../../src/base/finding.js";
import { jsonFault } from "../../../src/base/json-fault.js";
import { checkJobFile, readJobFile } from "../../../src/plan/job/file.js";

/** The error a text or a value ends in. */
function fault(input: unknown): InputError {
  try {
    if (typeof input === "string") readJobFile(input);
    else checkJobFile(input);
  } catch (e) {
    if (e instanceof InputError) return e;
    throw e;
  }
  throw new Error("the job was taken");
}

const DESIGN_EXAMPLE = `{ "units": "mm",
  "stock":  { "material": "tool-steel", "thickness": 25 },
  "wire":   { "diameter": 0.25, "material": "brass" },
  "passes": [ { "kind": "rough", "gap": 0.03, "leave": 0.055 }, { "kind": "skim", "gap": 0.015, "leave": 0.005 }, { "kind": "skim", "gap": 0.01, "leave": 0 } ],
  "roles":  { "outer": "part", "layers": { "DIE": "opening", "BLOCK": "stock", "NOTES": "ignore" } },
  "startHoles": { "diameter": 1.0, "clearance": 0.5, "grid": 0.5, "layer": "HOLES" },
  "lead":   { "kind": "straight", "overlap": 0.5 },
  "tabs":   { "length": "auto", "minSlugArea": 0 },
  "order":  "unattended-first",
  "program":{ "compensation": "path", "words": "neutral", "resolution": 0.0001 }
}`;

describe("a job file", () => {
  it("may hold everything the design shows", () => {
    expect(readJobFile(DESIGN_EXAMPLE)).toEqual(JSON.parse(DESIGN_EXAMPLE));
  });

  it("may be empty, for every key is optional", () => {
    expect(readJobFile("{}")).toEqual({});
  });

  it("may begin with a byte order mark", () => {
    expect(readJobFile('\uFEFF{"passes": 2}')).toEqual({ passes: 2 });
  });

  it.each([
    ['{ "wires": {} }', '"wires"', '"wire"'],
    [
      '{ "wire": { "diametre": 0.25 } }',
      '"wire.diametre"',
      'did you mean "diameter"',
    ],
    [
      '{ "stock": { "thicknes": 3 } }',
      '"stock.thicknes"',
      'did you mean "thickness"',
    ],
    [
      '{ "startHoles": { "Clearance": 3 } }',
      '"startHoles.Clearance"',
      'did you mean "clearance"',
    ],
    [
      '{ "passes": [ { "kind": "rough", "gpa": 0.03 } ] }',
      '"passes[0].gpa"',
      'did you mean "gap"',
    ],
    [
      '{ "drawing": { "onyl": ["DIE"] } }',
      '"drawing.onyl"',
      'did you mean "only"',
    ],
    ['{ "qqqqqqqqqq": 1 }', '"qqqqqqqqqq"', "may hold units, stock, wire"],
  ])("%s: names the unknown key and the nearest one", (text, key, hint) => {
    const e = fault(text);
    expect(e.code).toBe("job/unknown-key");
    expect(e.message).toContain(key);
    expect(e.message).toContain(hint);
  });

  it.each([
    [{ units: "cm" }, 'units must be "mm" or "in", not "cm"'],
    [
      { stock: { thickness: -1 } },
      "stock.thickness must be a number above 0, not -1",
    ],
    [
      { stock: { thickness: "25" } },
      'stock.thickness must be a number above 0, not "25"',
    ],
    [{ flushing: "wet" }, 'flushing must be "sealed" or "open", not "wet"'],
    [{ process: "" }, 'process must be a text, not ""'],
    [{ rates: { wireKg: -1 } }, "rates.wireKg must be a number, 0 or more"],
    [{ passes: 7 }, "passes must be a whole number from 1 to 6"],
    [{ passes: 2.5 }, "passes must be a whole number from 1 to 6"],
    [
      { passes: "three" },
      "passes must be a whole number from 1 to 6, or a list",
    ],
    [{ passes: [] }, "passes must be a list of 1 to 12 passes"],
    [
      { passes: [{ kind: "rough", gap: 0 }] },
      "passes[0].gap must be a number above 0, not 0",
    ],
    [
      { passes: [{ kind: "rough" }, { kind: "polish" }] },
      'passes[1].kind must be "rough" or "skim", not "polish"',
    ],
    [
      { roles: { layers: { DIE: "hole" } } },
      'roles.layers.DIE must be "opening" or "part" or "slit" or "stock" or "ignore", not "hole"',
    ],
    [{ tabs: { length: "long" } }, 'tabs.length must be "auto" or a number'],
    [
      { lead: { kind: "curve" } },
      'lead.kind must be "straight" or "arc", not "curve"',
    ],
    [{ wire: 0.25 }, "wire must be a group in braces, not 0.25"],
    [[], "the job must be a group in braces"],
    [{ wire: [] }, "wire must be a group in braces, not []"],
    [{ passes: [[]] }, "passes[0] must be a group in braces, not []"],
    [null, "the job must be a group in braces, not null"],
    [
      { order: "fast" },
      'order must be "unattended-first" or "one-by-one", a list of features, or a group in braces, not "fast"',
    ],
    [{ order: [3] }, "order[0] must be the name of a feature, not 3"],
    [
      { order: { rule: "fast" } },
      'order.rule must be "unattended-first" or "one-by-one", not "fast"',
    ],
    [
      { order: { features: "opening-1" } },
      'order.features must be a list of features, not "opening-1"',
    ],
  ])("%j: says where, and what is allowed", (value, message) => {
    const e = fault(value);
    expect(e.code).toBe("job/bad-value");
    expect(e.message).toContain(message);
  });

  it("says so when a layer's name cannot be kept, rather than lose its role", () => {
    const e = fault('{ "roles": { "layers": { "constructor": "ignore" } } }');
    expect(e.code).toBe("job/bad-value");
    expect(e.message).toContain('cannot hold the name "constructor"');
  });

  it("names every fault, the misspelt key first", () => {
    const e = fault({ units: "cm", stok: {} });
    expect(e.code).toBe("job/unknown-key");
    expect(e.message).toMatch(/^unknown key "stok".*; units must be/);
  });

  it("takes slit as the role of a layer and of a feature", () => {
    const roles = { layers: { CUT: "slit" } } as const;
    const features = { "slit-1": { role: "slit" } } as const;
    expect(checkJobFile({ roles, features })).toEqual({ roles, features });
  });

  it.each([
    ["", 1, 1, "the text ends"],
    ['{ "units": "mm",\n  "passes": }', 2, 13, '"}" stands here'],
    ['{ "units": "mm"\n  "passes": 3 }', 2, 3, '"," or "}" is expected'],
    ["{ units: 1 }", 1, 3, "a key in double quotes is expected"],
    ['{ "wire": { "diameter": 0,25 } }', 1, 27, "a key in double quotes"],
    ['{ "passes": 3, }', 1, 16, "a key in double quotes"],
    ['{ "passes": 3 } x', 1, 17, "the end of the text is expected"],
    ['{ "units": "mm', 1, 15, "a closing double quote"],
    ['{ "units": "\\q" }', 1, 13, "an escape"],
    ["[1, 2", 1, 6, '"," or "]" is expected'],
    ['{ "a" 1 }', 1, 7, '":" is expected'],
    ["\r\n\r\n{ 'a': 1 }", 3, 3, "a key in double quotes"],
  ])("%j is no JSON: line %d, column %d, %s", (text, line, column, says) => {
    const e = fault(text);
    expect(e.code).toBe("job/not-json");
    expect(e.message).toContain(`line ${line}, column ${column}`);
    expect(e.message).toContain(says);
  });

  it.each([
    [
      '{ "passes": 3,\n  "wire": {}, "passes": 4 }',
      2,
      15,
      'the key "passes" stands here a second time',
    ],
    ['{ "wire": { "a": 1, "\\u0061": 2 } }', 1, 21, 'the key "a"'],
    ["[".repeat(100_000), 1, 201, "more than 200 groups and lists"],
    [`${"[".repeat(1e5)}${"]".repeat(1e5)}`, 1, 201, "more than 200"],
  ])("JSON to be refused all the same: %#", (text, line, column, says) => {
    const e = fault(text);
    expect(e.code).toBe("job/not-json");
    expect(e.message).toContain(`line ${line}, column ${column}`);
    expect(e.message).toContain(says);
  });

  it("finds a fault exactly in the texts that JSON.parse refuses", () => {
    const piece = fc.constantFrom(
      ...'{ } [ ] , : 1 -0.5e3 01 "a" true nul \\ \n'.split(" "),
      " ",
    );
    fc.assert(
      fc.property(fc.array(piece, { maxLength: 8 }), (pieces) => {
        const text = pieces.join("");
        let refused = false;
        try {
          JSON.parse(text);
        } catch {
          refused = true;
        }
        const found = jsonFault(text);
        // A key said twice is JSON, but one of its values would be lost.
        if (found?.message.includes("a second time"))
          expect(text.split('"a"').length).toBeGreaterThan(2);
        else expect(found !== null).toBe(refused);
      }),
      { numRuns: 2000 },
    );
  });
});

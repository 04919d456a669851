import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { InputError } from "../../src/base/finding.js";
import { NEUTRAL, readWordTable } from "../../src/program/words.js";

const template = readFileSync(
  new URL("../../src/program/words.template.json", import.meta.url),
  "utf8",
);

const changed = (change: (table: Record<string, unknown>) => void): string => {
  const table = JSON.parse(template);
  change(table);
  return JSON.stringify(table);
};

function faultOf(text: string): InputError {
  try {
    readWordTable(text);
  } catch (error) {
    expect(error).toBeInstanceOf(InputError);
    return error as InputError;
  }
  throw new Error("the table was taken");
}

describe("a word table of one's own", () => {
  test("the template loads and says what the neutral table says", () => {
    expect(readWordTable(template)).toEqual({ ...NEUTRAL, name: "my control" });
  });

  test("an event that is not there is named", () => {
    const fault = faultOf(changed((t) => delete t.cutWire));
    expect(fault.code).toBe("words/missing-event");
    expect(fault.message).toContain('"cutWire"');
  });

  test("an event that does not exist is named", () => {
    const fault = faultOf(
      changed((t) => {
        t.threadWire = "M60";
      }),
    );
    expect(fault.code).toBe("words/unknown-event");
    expect(fault.message).toContain('"threadWire"');
  });

  test.each([
    ["thread", "wire in"],
    ["thread", ""],
    ["end", 30],
    ["register", "DD"],
    ["rapid", "X0"],
    ["stop", "D1"],
  ])("%s cannot be %j", (event, text) => {
    const fault = faultOf(
      changed((t) => {
        t[event] = text;
      }),
    );
    expect(fault.code).toBe("words/bad-text");
    expect(fault.message).toContain(`"${event}"`);
  });

  test("two events with the same words are refused, in whatever order the words stand", () => {
    const fault = faultOf(
      changed((t) => {
        t.cutWire = "M6 T1";
      }),
    );
    expect(fault.code).toBe("words/same-text");
    expect(fault.message).toContain("cutWire");
    expect(fault.message).toContain("thread");
  });

  test("a control without flushing words may leave them empty", () => {
    const table = readWordTable(
      changed((t) => {
        t.flushingOn = "";
        t.flushingOff = "";
      }),
    );
    expect(table.flushingOn).toBe("");
  });

  test.each(["", "[1, 2", "7", "null"])("%j is no table", (text) => {
    expect(faultOf(text).code).toBe("words/not-json");
  });
});

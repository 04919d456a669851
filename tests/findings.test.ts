import { readdirSync, readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";

const SRC = new URL("../src/", import.meta.url);

/** "room/what" in double quotes, of the rooms that the table knows, and whatever stands behind `code:`. */
function codesOfSource(rooms: ReadonlySet<string>): Set<string> {
  const found = new Set<string>();
  for (const file of readdirSync(SRC, { recursive: true, encoding: "utf8" })) {
    if (!file.endsWith(".ts")) continue;
    const text = readFileSync(new URL(file, SRC), "utf8");
    for (const [, code] of text.matchAll(/"([a-z-]+\/[a-z][a-z0-9-]*)"/g))
      if (rooms.has(code?.split("/")[0] ?? "")) found.add(code as string);
    for (const [, code] of text.matchAll(/code: "([^"]+)"/g))
      found.add(code as string);
  }
  return found;
}

describe("the table of findings", () => {
  const told = new Set(
    Array.from(
      readFileSync(
        new URL("../src/base/findings.md", import.meta.url),
        "utf8",
      ).matchAll(/`([a-z-]+\/[a-z][a-z0-9-]*)`/g),
      (m) => m[1] as string,
    ),
  );
  const rooms = new Set([...told].map((code) => code.split("/")[0] as string));
  const given = codesOfSource(rooms);

  it("tells of every code that the source gives", () => {
    // A look for a kind of findings by the beginning of their codes gives none.
    const looked = new Set(["outline/crosses"]);
    expect(
      [...given].filter((c) => !told.has(c) && !looked.has(c)).sort(),
    ).toEqual([]);
  });

  it("tells of no code that the source does not give", () => {
    // Put together from the room and the fault where files of JSON are read.
    const composed = new Set(["job/unknown-key", "process/unknown-key"]);
    expect(
      [...told].filter((c) => !given.has(c) && !composed.has(c)).sort(),
    ).toEqual([]);
  });
});

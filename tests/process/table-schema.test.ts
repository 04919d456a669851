import { readFileSync, writeFileSync } from "node:fs";
import { toJsonSchema } from "@valibot/to-json-schema";
import { describe, expect, it } from "vitest";
import { OwnTableSchema } from "../../src/process/table-schema.js";

const FILE = new URL("../../src/process/process.schema.json", import.meta.url);

/** Run with REWRITE_PROCESS_SCHEMA=1 after a change to the schema. */
function schemaText(): string {
  const schema = {
    ...toJsonSchema(OwnTableSchema),
    title: "kerfwright process table",
    description:
      "A shop's own rows over the built-in process table. Lengths mm, masses kg, rates mm²/min, times min, stresses MPa, Ra µm. A row that is not built in must hold every key.",
  };
  return `${JSON.stringify(schema, null, 2)}\n`;
}

describe("the published schema of process tables", () => {
  if (process.env.REWRITE_PROCESS_SCHEMA) writeFileSync(FILE, schemaText());

  it("says what the reader of process tables checks", () => {
    expect(JSON.parse(readFileSync(FILE, "utf8"))).toEqual(
      JSON.parse(schemaText()),
    );
  });
});

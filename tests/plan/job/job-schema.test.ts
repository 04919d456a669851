import { readFileSync, writeFileSync } from "node:fs";
import { toJsonSchema } from "@valibot/to-json-schema";
import { describe, expect, it } from "vitest";
import { JobFileSchema } from "../../../src/plan/job/file.js";

const FILE = new URL("../../../src/plan/job/job.schema.json", import.meta.url);

/** Run with REWRITE_JOB_SCHEMA=1 after a change to the schema. */
function schemaText(): string {
  const schema = {
    ...toJsonSchema(JobFileSchema),
    title: "kerfwright job",
    description:
      "What a kerfwright job file may say. Lengths in `units`; every key is optional.",
  };
  return `${JSON.stringify(schema, null, 2)}\n`;
}

describe("the published job schema", () => {
  if (process.env.REWRITE_JOB_SCHEMA) writeFileSync(FILE, schemaText());

  it("says what the reader of job files checks", () => {
    const committed = JSON.parse(readFileSync(FILE, "utf8"));
    expect(committed).toEqual(JSON.parse(schemaText()));
  });

  it("allows no unknown key at any level", () => {
    const { properties, additionalProperties } = JSON.parse(schemaText());
    expect(additionalProperties).toBe(false);
    for (const group of [
      "stock",
      "wire",
      "roles",
      "startHoles",
      "lead",
      "tabs",
      "program",
      "machine",
    ])
      expect(properties[group].additionalProperties).toBe(false);
  });
});

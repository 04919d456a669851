/** `npm run bench -- NAME`: runs one benchmark, or all of them when no name is given. Each lives in `bench/<name>.ts`. */
import { readdirSync } from "node:fs";

const known = readdirSync(import.meta.dirname)
  .map((file) => file.replace(/\.ts$/, ""))
  .filter((name) => name !== "run" && !name.includes("."));
const asked = process.argv.slice(2).filter((word) => !word.startsWith("-"));
const unknown = asked.find((name) => !known.includes(name));
if (unknown !== undefined) {
  console.error(
    `There is no benchmark "${unknown}". There are: ${known.join(", ")}.`,
  );
  process.exit(2);
}
for (const name of asked.length > 0 ? asked : known) {
  console.log(`\n## ${name}`);
  await import(`./${name}.ts`);
}

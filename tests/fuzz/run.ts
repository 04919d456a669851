/**
 * `npm run fuzz -- [NAME …] [--seed N] [--count N]`: long random runs that the test command does not have the time for.
 * Each lives in `tests/fuzz/<name>.fuzz.ts` and exports `fuzz({ seed, count })`, which returns the failures as text.
 */
import { readdirSync } from "node:fs";
import { parseArgs } from "node:util";

export interface FuzzRun {
  readonly seed: number;
  readonly count: number;
}

interface Fuzz {
  /** Runs `count` random cases from `seed`; each failure as one line that lets it be run again. */
  readonly fuzz: (
    run: FuzzRun,
  ) => readonly string[] | Promise<readonly string[]>;
}

const { values, positionals } = parseArgs({
  options: {
    seed: { type: "string", default: "1" },
    count: { type: "string", default: "20000" },
  },
  allowPositionals: true,
});
const known = readdirSync(import.meta.dirname)
  .filter((file) => file.endsWith(".fuzz.ts"))
  .map((file) => file.replace(/\.fuzz\.ts$/, ""));
const unknown = positionals.find((name) => !known.includes(name));
if (unknown !== undefined) {
  console.error(`There is no "${unknown}". There are: ${known.join(", ")}.`);
  process.exit(2);
}
let failures = 0;
for (const name of positionals.length > 0 ? positionals : known) {
  const { fuzz } = (await import(`./${name}.fuzz.ts`)) as Fuzz;
  const begin = performance.now();
  const found = await fuzz({
    seed: Number(values.seed),
    count: Number(values.count),
  });
  for (const line of found) console.log(`${name}: ${line}`);
  console.log(
    `${name}: ${values.count} cases from seed ${values.seed}, ${found.length} failures, ${((performance.now() - begin) / 1000).toFixed(1)} s`,
  );
  failures += found.length;
}
process.exit(failures > 0 ? 1 : 0);

/** The outside judge by hand: plans unseen drawings with the built command line, replays the programs, prints a table. */
import { tmpdir } from "node:os";
import { join } from "node:path";
import { parseArgs } from "node:util";
import { caseOf, FAMILIES } from "./cases.js";
import { FAULTS, judgeFault } from "./faults.js";
import type { Case } from "./sheets.js";
import { ensureBuilt, planAndJudge } from "./tool.js";

const HELP = `npx tsx tests/acceptance/run.ts [options]
Judges unseen drawings by the built command line (npm run build), and prints a table and every complaint.

  --seed n     the first seed (1)
  --count n    how many seeds of each family (1)
  --only name  a family or the beginning of one, "faults" or "many"
  --once       leave out the second run that must give the same bytes
  --path       every job asks for the wire's path
  --dir D      folder that keeps what each run read and wrote
  --help       this

Families: ${Object.keys(FAMILIES).join(", ")}`;

const { values } = parseArgs({
  options: {
    help: { type: "boolean", default: false },
    seed: { type: "string", default: "1" },
    count: { type: "string", default: "1" },
    only: { type: "string", default: "" },
    once: { type: "boolean", default: false },
    path: { type: "boolean", default: false },
    dir: { type: "string", default: join(tmpdir(), "acceptance") },
  },
});

if (values.help) {
  console.log(HELP);
  process.exit(0);
}
ensureBuilt();
const root = values.dir;
const seed = Number(values.seed);
const count = Number(values.count);
let bad = 0;
let done = 0;

const withPath = (c: Case): Case =>
  c.job
    ? {
        ...c,
        job: { ...c.job, program: { compensation: "path" } },
        asked: { ...c.asked, control: false },
      }
    : c;

const pad = (text: string, n: number): string => text.padEnd(n);
const num = (v: number, n: number): string => v.toFixed(3).padStart(n);

console.log(
  `${pad("drawing", 26)}${pad("seed", 6)}${pad("gouge µm", 10)}${pad("miss µm", 10)}${pad("pieces", 8)}${pad("blocks", 8)}${pad("ms", 8)}verdict`,
);
for (const name of Object.keys(FAMILIES)) {
  if (!name.startsWith(values.only)) continue;
  // The large block is slow to judge: once is enough, unless it is asked for.
  const n = name === "many" && values.only !== "many" ? 1 : count;
  for (let s = seed; s < seed + n; s++) {
    const drawn = caseOf(name, s);
    const c = values.path ? withPath(drawn) : drawn;
    const dir = join(root, `${name}-${s}`);
    const v = planAndJudge(c, dir, !values.once);
    done++;
    if (v.complaints.length > 0) bad++;
    console.log(
      `${pad(name, 26)}${pad(String(s), 6)}${num(v.gouge * 1000, 8)}  ${num(v.miss * 1000, 7)}   ${pad(String(v.pieces), 8)}${pad(String(v.blocks), 8)}${pad(v.ms.toFixed(0), 8)}${v.complaints.length > 0 ? "WRONG" : v.refused ? "refused" : "ok"}`,
    );
    if (v.refused) console.log(`    ${v.refused.slice(0, 200)}`);
    for (const k of v.complaints) console.log(`    (${k.check}) ${k.text}`);
    if (name === "many" && v.ms > 10_000)
      console.log(
        `    (h) 400 openings took ${(v.ms / 1000).toFixed(1)} s, wanted under 10 s`,
      );
  }
}
if ("faults".startsWith(values.only) || values.only === "faults")
  for (const f of FAULTS) {
    const wrong = judgeFault(f, join(root, f.name.replace(/\W+/g, "-")));
    done++;
    if (wrong.length > 0) bad++;
    console.log(
      `${pad(`fault: ${f.name}`, 76)}${wrong.length === 0 ? "ok" : "WRONG"}`,
    );
    for (const k of wrong) console.log(`    (${k.check}) ${k.text}`);
  }
console.log(`\n${done} judged, ${bad} with complaints; files in ${root}`);
process.exitCode = bad > 0 ? 1 : 0;

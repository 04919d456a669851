/**
 * `npm run mutate -- [--seed N] [--count N] [--kind NAME]`: good programs spoiled in many ways, and whether the proof
 * catches each and names it rightly. Survivors, misnamed ones and false alarms are listed; exit code 1 with any.
 */
import { parseArgs } from "node:util";
import { goodPrograms } from "./good-programs.js";
import { alarms, benchOf, judgeMutant, type Verdict } from "./judge.js";
import { KINDS } from "./kinds.js";
import { drawFrom } from "./lines.js";

const { values } = parseArgs({
  options: {
    seed: { type: "string", default: "1" },
    count: { type: "string", default: "5000" },
    kind: { type: "string" },
  },
});
const only = KINDS.find((k) => k.name === values.kind);
if (values.kind !== undefined && !only) {
  console.error(
    `There is no kind "${values.kind}". There are: ${KINDS.map((k) => k.name).join(", ")}.`,
  );
  process.exit(2);
}
const benches = goodPrograms().map(benchOf);
const lots = benches.flatMap((b) =>
  Array.from({ length: b.good.share }, () => b),
);
const falseOnGood = benches.flatMap(alarms);
for (const a of falseOnGood) console.log(`ALARM ON A GOOD PROGRAM ${a}`);

const verdicts: Verdict[] = [];
const draw = drawFrom(Number(values.seed));
while (verdicts.length < Number(values.count)) {
  const bench = draw.one(lots);
  const verdict = judgeMutant(bench, draw.below(2 ** 31), only);
  if (!verdict) continue;
  verdicts.push(verdict);
  if (!["caught", "equivalent"].includes(verdict.outcome))
    console.log(
      `${verdict.outcome.toUpperCase()} ${verdict.kind} [${verdict.program}, seed ${verdict.seed}] ${verdict.line}\n    ${verdict.effects.map((e) => `${e.effect}: ${e.what}`).join("\n    ")}\n    told: ${verdict.codes.join(", ")}`,
    );
}
const count = (list: readonly Verdict[], o: Verdict["outcome"]): number =>
  list.filter((v) => v.outcome === o).length;
console.log(
  `\n${"kind".padEnd(38)}mutants  caught  survive  misnamed  false  equivalent`,
);
for (const { name } of KINDS) {
  const of = verdicts.filter((v) => v.kind === name);
  if (of.length === 0) continue;
  console.log(
    name.padEnd(38) +
      [
        of.length,
        count(of, "caught"),
        count(of, "survivor"),
        count(of, "misnamed"),
        count(of, "false alarm"),
        count(of, "equivalent"),
      ]
        .map((n, k) => String(n).padStart([7, 8, 9, 10, 7, 12][k] as number))
        .join(""),
  );
}
const changing = verdicts.length - count(verdicts, "equivalent");
const wrong = changing - count(verdicts, "caught") + falseOnGood.length;
console.log(
  `\n${verdicts.length} mutants of ${benches.length} programs in ${new Set(verdicts.map((v) => v.kind)).size} kinds, seed ${values.seed}: ${count(verdicts, "caught")} of ${changing} that change something caught and named; ${count(verdicts, "survivor")} survivors, ${count(verdicts, "misnamed")} misnamed, ${count(verdicts, "false alarm")} false alarms, ${falseOnGood.length} alarms on good programs; ${count(verdicts, "equivalent")} change nothing`,
);
process.exitCode = wrong > 0 ? 1 : 0;

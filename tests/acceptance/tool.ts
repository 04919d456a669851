/** The built command line as a stranger runs it: files in, exit code, text and files out. */
import { spawnSync } from "node:child_process";
import {
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  writeFileSync,
} from "node:fs";
import { join, resolve } from "node:path";
import type { Complaint } from "./complaints.js";
import { judge, type Verdict } from "./judge.js";
import {
  ownPasses,
  type Paper,
  type Printed,
  type PrintedTab,
  pointFrom,
} from "./printed.js";
import type { Case } from "./sheets.js";

export const MAIN = resolve(import.meta.dirname, "../../dist/cli/main.js");

const ROOT = resolve(import.meta.dirname, "../..");

export const hasCommandLine = (): boolean =>
  existsSync(join(ROOT, "src/cli/main.ts"));

const newest = (dir: string): number =>
  Math.max(
    0,
    ...readdirSync(dir, { recursive: true, withFileTypes: true })
      .filter((e) => e.isFile())
      .map((e) => statSync(join(e.parentPath, e.name)).mtimeMs),
  );

/** Builds the command line when it is missing or older than its source. */
export function ensureBuilt(): void {
  if (existsSync(MAIN) && statSync(MAIN).mtimeMs >= newest(join(ROOT, "src")))
    return;
  const r = spawnSync("npm", ["run", "build"], { cwd: ROOT, encoding: "utf8" });
  if (r.status !== 0 || !existsSync(MAIN))
    throw new Error(`the build failed:\n${r.stdout}${r.stderr}`);
}

export interface Ran {
  readonly code: number | null;
  readonly out: string;
  readonly err: string;
  readonly ms: number;
}

export function run(args: readonly string[], cwd?: string): Ran {
  const start = performance.now();
  const r = spawnSync(process.execPath, [MAIN, ...args], {
    encoding: "utf8",
    timeout: 180_000,
    maxBuffer: 1 << 28,
    ...(cwd ? { cwd } : {}),
  });
  return {
    code: r.status,
    out: r.stdout ?? "",
    err: r.stderr ?? "",
    ms: performance.now() - start,
  };
}

export interface CaseResult extends Verdict {
  readonly ms: number;
  /** Why no program was written, where that is a right answer too. */
  readonly refused?: string;
}

/** Every file below `dir`, with its text. */
export function filesIn(dir: string): Record<string, string> {
  if (!existsSync(dir)) return {};
  const out: Record<string, string> = {};
  for (const name of readdirSync(dir).sort()) {
    const path = join(dir, name);
    if (statSync(path).isFile()) out[name] = readFileSync(path, "latin1");
  }
  return out;
}

export function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}

interface PlannedWay {
  readonly startHole?: { readonly at?: unknown; readonly diameter?: number };
  readonly tab?: PrintedTab | null;
}

interface WrittenPlan {
  readonly features?: readonly (PlannedWay & {
    readonly id: string;
    readonly further?: readonly PlannedWay[];
  })[];
}

/** Holes from the written plan, the table of offsets from the sheet. */
function onPaper(plan: WrittenPlan, sheet: string, unit: number): Paper {
  return {
    holes: (plan.features ?? [])
      .flatMap((f) => [f, ...(f.further ?? [])])
      .flatMap(({ startHole }) => {
        const at = pointFrom(startHole?.at);
        return at && startHole?.diameter !== undefined
          ? [{ at, diameter: startHole.diameter }]
          : [];
      }),
    own: ownPasses(sheet, unit),
  };
}

/** What is printed has the first tab of each feature; the written plan has the others too. */
function withFurther(printed: Printed, plan: WrittenPlan): Printed {
  const features = printed.features.map((f) => {
    const planned = plan.features?.find((p) => p.id === f.id);
    const further = (planned?.further ?? []).flatMap(({ startHole, tab }) => {
      const at = pointFrom(startHole?.at);
      return at && tab ? [{ startHole: [at.x, at.y] as const, tab }] : [];
    });
    return { ...f, further };
  });
  return { ...printed, features };
}

const nothing = { gouge: 0, miss: 0, pieces: 0, blocks: 0 };

/** Plans the case in `dir` and judges what came out; with `twice`, that a second run gives the same bytes. */
export function planAndJudge(c: Case, dir: string, twice: boolean): CaseResult {
  rmSync(dir, { recursive: true, force: true });
  mkdirSync(dir, { recursive: true });
  const drawing = join(dir, "drawing.dxf");
  writeFileSync(drawing, c.dxf);
  const args = ["plan", drawing, "--json", ...c.args];
  if (c.job) {
    writeFileSync(join(dir, "job.json"), JSON.stringify(c.job, null, 1));
    args.push("--job", join(dir, "job.json"));
  }
  const out = join(dir, "out");
  const first = run([...args, "--out", out]);
  writeFileSync(join(dir, "stdout.json"), first.out);
  writeFileSync(join(dir, "stderr.txt"), first.err);
  const bad = (text: string): CaseResult => ({
    ...nothing,
    complaints: [{ check: "x", text }],
    ms: first.ms,
  });
  const json = parsed(first.out) as Printed | undefined;
  if (first.code !== 0) {
    const why = json?.findings
      ?.filter((f) => f.severity === "error")
      .map((f) => `${f.code}: ${f.message}`)
      .join(" | ");
    const wrote = Object.keys(filesIn(out)).some((f) => f.endsWith(".iso"));
    if (c.mayRefuse && first.code === 1 && why && !wrote)
      return { ...nothing, complaints: [], ms: first.ms, refused: why };
    return bad(
      `exit ${first.code}: ${why || first.err.trim().slice(0, 400) || "(nothing said)"}`,
    );
  }
  if (!json) return bad("stdout is not one JSON object");
  const files = filesIn(out);
  for (const end of [".iso", ".svg", ".setup.html", ".plan.json"])
    if (!(`drawing${end}` in files)) return bad(`no drawing${end} written`);
  const plan = (parsed(files["drawing.plan.json"] as string) ??
    {}) as WrittenPlan;
  const paper = onPaper(
    plan,
    files["drawing.setup.html"] as string,
    c.asked.inch ? 25.4 : 1,
  );
  let verdict: Verdict;
  try {
    verdict = judge(
      c.truth,
      files["drawing.iso"] as string,
      withFurther(json, plan),
      c.asked,
      paper,
    );
  } catch (e) {
    return bad(`what was printed cannot be judged: ${(e as Error).stack}`);
  }
  const more: Complaint[] = [];
  if (twice) {
    const again = join(dir, "again");
    const second = run([...args, "--out", again]);
    const other = filesIn(again);
    for (const name of new Set([...Object.keys(files), ...Object.keys(other)]))
      if (files[name] !== other[name])
        more.push({ check: "f", text: `${name} differs on a second run` });
    if (second.out.replaceAll(again, "") !== first.out.replaceAll(out, ""))
      more.push({ check: "f", text: "stdout differs on a second run" });
  }
  return {
    ...verdict,
    complaints: [...verdict.complaints, ...more],
    ms: first.ms,
  };
}

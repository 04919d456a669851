/** One mutant judged: what it does by the oracle, what the proof says, and whether that is right. */
import { type Finding, prove, readProgram } from "../../src/index.js";
import type { Difference } from "./difference.js";
import { type GoodProgram, words } from "./good-programs.js";
import type { Kind } from "./kind.js";
import { KINDS } from "./kinds.js";
import { type Draw, drawFrom } from "./lines.js";
import { type Oracle, oracleOf } from "./oracle.js";

export interface Verdict {
  readonly kind: string;
  readonly program: string;
  /** Seed of this very mutant. */
  readonly seed: number;
  readonly outcome:
    | "caught"
    /** The proof stops it, or warns of it, but by no name that fits. */
    | "misnamed"
    | "survivor"
    | "equivalent"
    /** The oracle sees no change, and the proof stops it or warns. */
    | "false alarm";
  readonly effects: readonly Difference[];
  readonly codes: readonly string[];
  readonly line: string;
}

/** Codes that call an effect by its right name. */
const NAMES: Record<Difference["effect"], readonly string[]> = {
  text: [],
  "too deep": [
    "proof/gouge",
    "proof/in-kept-metal",
    "proof/wrong-side",
    "proof/thread-in-kept-metal",
  ],
  deeper: ["proof/gouge"],
  // On the wrong side the wire takes the wall and leaves what it should have taken from it.
  // Where nothing is followed at all, no outline's passes are missed one by one.
  "left standing": [
    "proof/excess",
    "proof/pass-missing",
    "proof/wrong-side",
    "proof/follows-nothing",
  ],
  passes: [
    "proof/pass-missing",
    "proof/pass-order",
    "proof/excess",
    "proof/follows-nothing",
  ],
  unattended: ["proof/loose-unattended", "proof/stop-early"],
  "stop early": ["proof/loose-unattended", "proof/stop-early"],
  "in the way": ["proof/piece-in-the-way"],
  "cuts on": ["proof/cuts-on"],
  hole: ["proof/no-hole", "proof/thread-in-kept-metal"],
  dry: ["proof/flushing-off"],
  overlap: ["proof/overlap-short"],
  slight: [],
};

/** A move across kept metal may run into several outlines; it is told once, by its line and place. */
const CROSSING = "proof/in-kept-metal";

/** Warnings of what the proof measures to 0.3 µm everywhere and the oracle at places, or to a pass's width only. */
const FINER = ["proof/gouge", "proof/overlap-short"];

/** Effects that a warning is enough for: they make no part wrong and free nothing. */
const MILD: readonly Difference["effect"][] = [
  "deeper",
  "hole",
  "dry",
  "overlap",
];
/** Effects that spoil the part or free a piece. */
const SEVERE: readonly Difference["effect"][] = [
  "too deep",
  "left standing",
  "passes",
  "unattended",
  "stop early",
  "in the way",
  "cuts on",
];

/** mm: thinner fins of steel than this nobody has cut that stood (Ahmed et al., Micromachines 12 (2020) 1). */
const THIN_TAB = 0.117;

export interface Bench {
  readonly good: GoodProgram;
  readonly oracle: Oracle;
}

export const benchOf = (good: GoodProgram): Bench => ({
  good,
  oracle: oracleOf(good),
});

/** What the proof says of the good program itself: nothing but notes, if all is well. */
export function alarms({ good }: Bench): string[] {
  const proof = prove(readProgram(good.text, words), good.layout, good.job);
  return proof.findings
    .filter((f) => f.severity !== "note")
    .map((f) => `${good.name}: ${f.code} ${f.message}`);
}

/** Judges mutant number `seed` of a bench; the lots decide its kind too unless one is given. */
export function judgeMutant(
  bench: Bench,
  seed: number,
  only?: Kind,
): Verdict | null {
  const draw = drawFrom(seed);
  const kind = only ?? draw.one(KINDS);
  const text = spoiled(bench.good, kind, draw);
  return text === null ? null : judge(bench, kind, seed, text);
}

function spoiled(good: GoodProgram, kind: Kind, draw: Draw): string | null {
  const lines = good.text.split("\n");
  const changed = kind.spoil(lines, draw);
  return changed === null || changed.join("\n") === good.text
    ? null
    : changed.join("\n");
}

function judge(
  { good, oracle }: Bench,
  kind: Kind,
  seed: number,
  text: string,
): Verdict {
  let effects = oracle.compare(text);
  const proof = prove(readProgram(text, words), good.layout, good.job);
  const told = proof.findings.filter((f) => f.severity !== "note");
  const codes = [...new Set(told.map((f) => f.code))];
  // All round the outline is not yet through: where the proof knows nothing of a loose piece, the raster decides.
  if (
    effects.some((e) => e.effect === "unattended") &&
    !codes.some((c) => NAMES.unattended.includes(c)) &&
    !oracle.frees(text, "surely")
  )
    effects = effects.filter((e) => e.effect !== "unattended");
  // Where a move passes a place otherwise by a little, it is not certain when the wire had been all round.
  if (effects.some((e) => e.effect === "slight"))
    effects = effects.filter(
      (e) =>
        !WHEN_ALL_ROUND.some((w) => w === e.effect) ||
        codes.some((c) => NAMES[e.effect].includes(c)),
    );
  let outcome = outcomeOf(effects, kind, proof.ok, told);
  // A piece freed, or all but freed, outranks which passes have been where.
  if (
    (outcome === "false alarm" || outcome === "misnamed") &&
    ((codes.includes("proof/loose-unattended") &&
      (oracle.frees(text, "maybe") || oracle.freesMore(text))) ||
      (codes.includes("proof/tab-weak") &&
        oracle.frees(text, "maybe", THIN_TAB)))
  )
    outcome = "caught";
  // Whatever the visits say: what the raster sees fall with nobody there must be stopped.
  // A crumb is told in a note.
  if (
    outcome === "equivalent" &&
    !proof.findings.some((f) => f.code === "proof/crumb") &&
    oracle.freesAnew(text)
  )
    outcome = "survivor";
  return {
    kind: kind.name,
    program: good.name,
    seed,
    outcome,
    effects,
    codes,
    line: firstChange(good.text, text),
  };
}

function outcomeOf(
  effects: readonly Difference[],
  kind: Kind,
  ok: boolean,
  findings: readonly Finding[],
): Verdict["outcome"] {
  const codes = findings.map((f) => f.code);
  const told = (list: readonly string[]): boolean =>
    list.some((c) => codes.includes(c));
  const with_ = (of: readonly Difference["effect"][]): Difference[] =>
    effects.filter((e) => of.includes(e.effect));
  /** By one of its names, and of no other outline. */
  const named = ({ effect, feature }: Difference): boolean =>
    findings.some(
      (f) =>
        NAMES[effect].includes(f.code) &&
        (!feature ||
          !f.feature ||
          f.feature === feature ||
          f.code === CROSSING),
    );
  const itself = told(kind.names ?? []);
  const severe = with_(SEVERE);
  /** What spoils the part is stopped by the fault's own name: a warning would not stop it. */
  const stopped = findings.some(
    (f) => f.severity === "error" && kind.names?.includes(f.code),
  );
  // Text that the judge's reader refuses leaves open what would be done: the proof may take it or name the text.
  if (with_(["text"]).length > 0)
    return itself || (!ok && told(SEVERE.flatMap((e) => NAMES[e])))
      ? "caught"
      : codes.length > 0
        ? "misnamed"
        : // Whole circles are read, though never written: in the waste they do no harm.
          with_(["text"]).every((e) => /whole circle/.test(e.what))
          ? "equivalent"
          : "survivor";
  if (severe.length > 0) {
    if (ok) return "survivor";
    return stopped || askedOf(severe).every(named) ? "caught" : "misnamed";
  }
  const mild = with_(MILD);
  if (mild.length > 0) {
    if (itself || mild.every(named)) return "caught";
    return codes.length > 0 ? "misnamed" : "survivor";
  }
  if (itself) return "caught";
  if (with_(["slight"]).length > 0) return ok ? "equivalent" : "caught";
  return codes.every((c) => ok && FINER.includes(c))
    ? "equivalent"
    : "false alarm";
}

/** Effects that the oracle tells by when the wire had been all round an outline. */
const WHEN_ALL_ROUND = ["cuts on", "in the way", "stop early"] as const;

/**
 * What must be told by its own name. Where the shape is wrong already, which passes made it so and when a place was
 * first visited need none; where a pass is missing, neither does what the next one skims.
 */
function askedOf(severe: readonly Difference[]): readonly Difference[] {
  const outlines = new Set(severe.map((e) => e.feature));
  return [...outlines].flatMap((f) =>
    askedOfOne(severe.filter((e) => e.feature === f)),
  );
}

function askedOfOne(severe: readonly Difference[]): readonly Difference[] {
  const without = (...those: readonly Difference["effect"][]): Difference[] => {
    const rest = severe.filter((e) => !those.includes(e.effect));
    return rest.length > 0 ? rest : [...severe];
  };
  const has = (effect: Difference["effect"]): boolean =>
    severe.some((e) => e.effect === effect);
  if (has("too deep") || has("left standing"))
    return without("passes", ...WHEN_ALL_ROUND);
  return has("passes") ? without(...WHEN_ALL_ROUND) : severe;
}

/** The first line that the mutant says otherwise. */
function firstChange(a: string, b: string): string {
  const [p, q] = [a.split("\n"), b.split("\n")];
  const k = p.findIndex((l, i) => l !== q[i]);
  return `line ${k + 1}: "${p[k] ?? ""}" → "${q[k] ?? ""}"`;
}

/** What the page knows, and the few ways in which that changes. Views subscribe and draw themselves anew. */
import type { Finding, Inspection, LengthUnit } from "../src/index.js";
import { type Desk, type Path, withValue } from "./desk/desk.js";
import { begin, change, type History, redo, undo } from "./desk/history.js";
import { inspectionKey } from "./desk/inspected.js";
import { keepDesk } from "./desk/kept.js";
import { announce } from "./dom.js";
import { inPageWords, toldAgain, worstFirst } from "./findings.js";
import { painted } from "./painted.js";
import type { Draft, Fault, Proved, TaskKind } from "./worker/messages.js";
import type { Ending, Planner } from "./worker/planner.js";

/** The steps of the page, top to bottom; the picture shows what the one in hand is about. */
export const STEPS = [
  "drawing",
  "wire",
  "slugs",
  "order",
  "program",
  "proof",
  "paper",
  "why",
] as const;
export type StepName = (typeof STEPS)[number];

export interface Shown {
  readonly history: History<Desk>;
  /** Of the newest desk that could be planned; null before the first. */
  readonly draft: Draft | null;
  /** Of the draft, or of one before it while `stage` is set. */
  readonly proved: Proved | null;
  /** Of the drawing as it was last inspected; null until then. */
  readonly inspection: Inspection | null;
  /** The draft's, and the proof's once it is there. */
  readonly findings: readonly Finding[];
  /** Why the desk as it is now is not planned. */
  readonly fault: Fault | null;
  /** Why the plan, which stands, is not proved. */
  readonly unproved: Fault | null;
  /** What is being worked on; null when draft and proof are those of the desk. */
  readonly stage: string | null;
  readonly feature: string | null;
  readonly finding: Finding | null;
  readonly about: StepName;
}

type View = (shown: Shown) => void;

export interface App {
  shown(): Shown;
  units(): LengthUnit;
  /** The picture and what belongs to it: drawn at once. */
  subscribe(view: View): void;
  /** Everything else: drawn once the picture has been painted, so that it never waits for the text. */
  subscribeText(view: View): void;
  /** Puts another desk down: it can be undone. */
  putDown(desk: Desk, subject?: string): void;
  /** Sets a value of the job, or takes it out with `undefined`. */
  set(path: Path, value: unknown): void;
  undo(): void;
  redo(): void;
  cancel(): void;
  /** Resolves when the plan of the newest desk has come, or will not come. */
  drafted(): Promise<void>;
  /** Takes up again what was cancelled or has stopped. */
  again(): void;
  choose(part: Partial<Pick<Shown, "feature" | "finding" | "about">>): void;
}

/** A desk is kept once it has lain still for so long: writing a large one takes its time. */
const KEEP_MS = 300;

export function startApp(desk: Desk, planner: Planner): App {
  const views: View[] = [];
  const texts: View[] = [];
  let textIsOld = false;
  let shown: Shown = {
    history: begin(desk),
    draft: null,
    proved: null,
    inspection: null,
    findings: [],
    fault: null,
    unproved: null,
    stage: "beginning",
    feature: null,
    finding: null,
    about: "drawing",
  };
  let inspected: readonly unknown[] = [];
  let drafting: Promise<void> = Promise.resolve();
  let keeping: ReturnType<typeof setTimeout> | undefined;
  const update = (part: Partial<Shown>): void => {
    shown = { ...shown, ...part };
    for (const view of views) view(shown);
    if (textIsOld) return;
    textIsOld = true;
    void painted().then(() => {
      textIsOld = false;
      for (const view of texts) view(shown);
    });
  };
  const turn = (history: History<Desk>): void => {
    if (history === shown.history) return;
    // What was found in another drawing is not told of this one.
    const same = history.now.drawing === shown.history.now.drawing;
    const inspection = same ? shown.inspection : null;
    update({ history, inspection, stage: "waiting" });
    clearTimeout(keeping);
    keeping = setTimeout(keepNow, KEEP_MS);
    void work();
  };
  const keepNow = (): void => {
    clearTimeout(keeping);
    if (keeping !== undefined) keepDesk(shown.history.now);
    keeping = undefined;
  };
  // Who leaves right after a change finds it again.
  addEventListener("pagehide", keepNow);

  const isNow = (asked: Desk): boolean => shown.history.now === asked;

  async function work(): Promise<void> {
    let asked = shown.history.now;
    const onStage = (stage: string): void => {
      if (isNow(asked)) update({ stage });
    };
    const draft = planner.ask(
      { kind: "draft", desk: asked, order: null },
      onStage,
    );
    drafting = draft.then(() => undefined);
    const drafted = await draft;
    if (!isNow(asked)) return;
    if (drafted.kind !== "done") return giveUp(drafted);
    const { plan, job, forProof } = drafted.answer;
    if (asked.job.units === undefined) {
      asked = { ...asked, job };
      update({ history: { ...shown.history, now: asked } });
    }
    const known = [...plan.features, ...plan.slits].some(
      ({ id }) => id === shown.feature,
    );
    update({
      draft: drafted.answer,
      ...told(plan.findings),
      fault: null,
      unproved: null,
      stage: "proving",
      feature: known ? shown.feature : null,
    });
    await painted();
    if (!isNow(asked)) return;
    const proved = await planner.ask(
      { kind: "prove", desk: asked, order: forProof },
      onStage,
    );
    if (!isNow(asked)) return;
    if (proved.kind === "done") {
      const { findings, finding } = told(proved.answer.findings);
      update({
        proved: { ...proved.answer, findings },
        findings,
        finding,
        stage: null,
      });
      announce(verdictWords(proved.answer));
    } else {
      // The plan does not hang on its proof: it stands, and so does its picture.
      const unproved = faultOf(proved, "the proof was cancelled");
      update({ proved: null, unproved, stage: null });
      announce(`Not proved: ${unproved.message}`);
    }
    await lookInto(asked);
  }

  /** New findings; the one that is chosen stays so when it is told again. */
  function told(list: readonly Finding[]): Pick<Shown, "findings" | "finding"> {
    const findings = worstFirst(
      list.map((f) => ({ ...f, message: inPageWords(f.message) })),
    );
    return { findings, finding: toldAgain(findings, shown.finding) };
  }

  /** The drawing is inspected last, and only when what the inspection hangs on has changed. */
  async function lookInto(asked: Desk): Promise<void> {
    const key = inspectionKey(asked);
    if (shown.inspection && key.every((k, i) => k === inspected[i])) return;
    const looked = await planner.ask({
      kind: "inspect",
      desk: asked,
      order: null,
    });
    if (looked.kind !== "done" || !isNow(asked)) return;
    inspected = key;
    update({ inspection: looked.answer });
  }

  function giveUp(ending: Unfinished): void {
    const fault = faultOf(ending, "planning was cancelled");
    update({
      draft: null,
      proved: null,
      inspection: null,
      findings: [],
      finding: null,
      fault,
      unproved: null,
      stage: null,
    });
    announce(fault.message);
  }

  const app: App = {
    shown: () => shown,
    units: () => shown.history.now.job.units ?? "mm",
    subscribe(view) {
      views.push(view);
      view(shown);
    },
    subscribeText(view) {
      texts.push(view);
      view(shown);
    },
    putDown: (next, subject) =>
      turn(change(shown.history, next, subject ?? null)),
    set(path, value) {
      const { now } = shown.history;
      const job = withValue(now.job, path, value);
      if (JSON.stringify(job) !== JSON.stringify(now.job))
        turn(change(shown.history, { ...now, job }, path.join(".")));
    },
    undo: () => turn(undo(shown.history)),
    redo: () => turn(redo(shown.history)),
    cancel: () => planner.cancel(),
    async drafted() {
      for (let seen = null as typeof drafting | null; seen !== drafting; ) {
        seen = drafting;
        await seen;
      }
    },
    again() {
      update({ stage: "waiting" });
      void work();
    },
    choose: (part) => update(part),
  };
  void work();
  return app;
}

type Unfinished = Exclude<Ending<TaskKind>, { kind: "done" }>;

function faultOf(ending: Unfinished, cancelled: string): Fault {
  return ending.kind === "fault"
    ? { ...ending.fault, message: inPageWords(ending.fault.message) }
    : { code: "page/cancelled", message: cancelled };
}

/** The verdict in a sentence. */
export function verdictWords({ ok, proof, findings }: Proved): string {
  const errors = findings.filter((f) => f.severity === "error").length;
  if (ok) return "The proof holds.";
  if (!proof)
    return `No program: ${errors} ${errors === 1 ? "error" : "errors"} in the way.`;
  return "The proof does not hold.";
}

/** What the page and its worker say to one another: plain data. */
import type {
  Estimate,
  Finding,
  Inspection,
  OutputFile,
  Plan,
  ProgramText,
  Proof,
  Replay,
} from "../../src/index.js";
import type { Desk } from "../desk/desk.js";
import type { Lesson, LessonOrder } from "../why/lesson.js";

/** Everything there is to show of a desk. */
export interface Result {
  /** No error finding, and the proof holds. */
  readonly ok: boolean;
  readonly plan: Plan;
  readonly estimate: Estimate;
  readonly inspection: Inspection;
  readonly program: string | null;
  readonly read: ProgramText | null;
  readonly proof: Proof | null;
  /** What the wire's centre does, thread by thread, for the replay. */
  readonly replay: Replay | null;
  readonly findings: readonly Finding[];
}

/** Why there is nothing to show: the drawing or the job cannot be used. */
export interface Fault {
  readonly code: string;
  readonly message: string;
}

/** What a task asks for, and what it answers with. */
export interface Tasks {
  readonly plan: { readonly order: null; readonly answer: Result };
  readonly papers: {
    readonly order: null;
    readonly answer: readonly OutputFile[];
  };
  readonly lesson: {
    readonly order: LessonOrder;
    readonly answer: Lesson | null;
  };
}

export type TaskKind = keyof Tasks;

export type Task<K extends TaskKind = TaskKind> = {
  readonly [Kind in K]: {
    readonly kind: Kind;
    readonly desk: Desk;
    readonly order: Tasks[Kind]["order"];
  };
}[K];

export interface Ask {
  readonly id: number;
  /** Equal for equal desks, so that the worker need not plan them again. */
  readonly desk: number;
  readonly task: Task;
}

export type Reply =
  | { readonly id: number; readonly kind: "stage"; readonly stage: string }
  | {
      readonly id: number;
      readonly kind: "done";
      readonly answer: Tasks[TaskKind]["answer"];
    }
  | { readonly id: number; readonly kind: "fault"; readonly fault: Fault };

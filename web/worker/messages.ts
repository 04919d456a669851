/** What the page and its workers say to one another: plain data. */
import type {
  Drawing,
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

/** What the picture and most steps show; it is there long before the proof. */
export interface Draft {
  readonly plan: Plan;
  readonly estimate: Estimate;
  readonly drawnIn: Drawing["units"];
}

/** What the proof has to say of a desk. */
export interface Proved {
  /** No error finding, and the proof holds. */
  readonly ok: boolean;
  readonly plan: Plan;
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
  readonly draft: { readonly order: null; readonly answer: Draft };
  readonly prove: { readonly order: null; readonly answer: Proved };
  readonly inspect: { readonly order: null; readonly answer: Inspection };
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
  /** Equal for equal desks and drawings, so that the worker need not work them out again. */
  readonly desk: number;
  readonly drawing: number;
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

/** What the page and its workers say to one another: plain data. */
import type {
  Drawing,
  Estimate,
  Finding,
  Inspection,
  JobFile,
  OutputFile,
  Plan,
  Proof,
} from "../../src/index.js";
import type { Desk } from "../desk/desk.js";
import type { Scene } from "../picture/scene.js";
import type { Timeline } from "../replay/timeline.js";
import type { Lesson, LessonOrder } from "../why/lesson.js";
import type { Slice } from "./slices.js";

/** What the picture and most steps show; it is there long before the proof. */
export interface Draft {
  readonly plan: Plan;
  readonly estimate: Estimate;
  readonly drawnIn: Drawing["units"];
  /** The desk's job; where it named no unit, in the drawing's own. */
  readonly job: JobFile;
  /** The plan as a picture. */
  readonly scene: Scene;
  /** Where the plan waits for the worker that proves it: it goes there without a detour over the page, once. */
  readonly forProof: MessagePort;
}

/** What the proof has to say of a desk. */
export interface Proved {
  /** No error finding, and the proof holds. */
  readonly ok: boolean;
  readonly program: string | null;
  readonly proof: Proof | null;
  /** What the wire's centre does, moment by moment, as the program says. */
  readonly timeline: Timeline | null;
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
  /** The order is the draft's `forProof`. */
  readonly prove: { readonly order: MessagePort; readonly answer: Proved };
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

/** What of an order or an answer moves to the other side instead of being copied. */
export function movedIn(values: object | null): MessagePort[] {
  if (values instanceof MessagePort) return [values];
  return Object.values(values ?? {}).filter((v) => v instanceof MessagePort);
}

export type Reply =
  | { readonly id: number; readonly kind: "stage"; readonly stage: string }
  | ({ readonly id: number; readonly kind: "slice" } & Slice)
  | {
      readonly id: number;
      readonly kind: "done";
      /** Without what came in slices before. */
      readonly answer: Tasks[TaskKind]["answer"];
    }
  | { readonly id: number; readonly kind: "fault"; readonly fault: Fault };

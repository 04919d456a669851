/** Undo and redo over whole desks; a run of changes to the same thing (`subject`) counts as one. */

export interface History<T> {
  readonly past: readonly T[];
  readonly now: T;
  readonly future: readonly T[];
  /** What the last change was about: "wire.diameter". */
  readonly subject: string | null;
}

/** Changes that can be undone. */
const DEPTH = 200;

export function begin<T>(now: T): History<T> {
  return { past: [], now, future: [], subject: null };
}

export function change<T>(
  history: History<T>,
  now: T,
  subject: string | null,
): History<T> {
  const same = subject !== null && subject === history.subject;
  return {
    past: same ? history.past : [...history.past, history.now].slice(-DEPTH),
    now,
    future: [],
    subject,
  };
}

export function undo<T>(history: History<T>): History<T> {
  const last = history.past.at(-1);
  if (last === undefined) return history;
  return {
    past: history.past.slice(0, -1),
    now: last,
    future: [history.now, ...history.future],
    subject: null,
  };
}

export function redo<T>(history: History<T>): History<T> {
  const [next, ...future] = history.future;
  if (next === undefined) return history;
  return {
    past: [...history.past, history.now],
    now: next,
    future,
    subject: null,
  };
}

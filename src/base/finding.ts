/** Findings (what a person must know) and the errors that stop the work. */

export type Severity = "error" | "warning" | "note";

/** Something a person must know. With an `error` no program is written. */
export interface Finding {
  /** `room/what`, e.g. `outline/not-closed`; listed in findings.md. */
  readonly code: string;
  readonly severity: Severity;
  /** What, where, how much, what to do. */
  readonly message: string;
  /** mm, in the drawing's coordinates. */
  readonly where?: readonly [x: number, y: number];
  readonly feature?: string;
  /** Layers of the drawing it is about; it falls away where the job ignores one of them. */
  readonly layers?: readonly string[];
}

/** An input that cannot be used at all: a file that is no drawing, a job with an unknown key. Exit code 3. */
export class InputError extends Error {
  override readonly name = "InputError";
  constructor(
    /** Like a finding's code. */
    readonly code: string,
    message: string,
    readonly where?: readonly [x: number, y: number],
  ) {
    super(message);
  }
}

/** A fault of ours, never of the input. Exit code 70, with a text that asks for a report. */
export class InternalError extends Error {
  override readonly name = "InternalError";
}

export function hasErrors(findings: readonly Finding[]): boolean {
  return findings.some((f) => f.severity === "error");
}

/** The same fault in line after line is one fault: keeps up to `most` findings of a code and counts the rest. */
export function cappedFindings(
  findings: readonly Finding[],
  most: number,
): Finding[] {
  const kept: Finding[] = [];
  const counts = new Map<string, number>();
  const worst = new Map<string, Severity>();
  for (const f of findings) {
    const n = (counts.get(f.code) ?? 0) + 1;
    counts.set(f.code, n);
    if (n <= most) kept.push(f);
    else if (f.severity === "error" || !worst.has(f.code))
      worst.set(f.code, f.severity);
  }
  for (const [code, severity] of worst)
    kept.push({
      code,
      severity,
      message: `and ${(counts.get(code) ?? 0) - most} more of the same`,
    });
  return kept;
}

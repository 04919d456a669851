/** What a strict schema refuses in a value read from JSON, in words that name the key, what is allowed and what stands there. */

export type Path = readonly (string | number)[];

/** The parts of a schema this room walks through; those of the schema library have them. */
export interface Shape {
  /** What the schema library calls it. */
  readonly type?: string;
  readonly entries?: Readonly<Record<string, Shape>>;
  /** Of something optional. */
  readonly wrapped?: Shape;
  /** Of a list. */
  readonly item?: Shape;
  /** Of a list of fixed length. */
  readonly items?: readonly unknown[];
  /** Of a record with free keys. */
  readonly value?: Shape;
  /** Of a choice. */
  readonly options?: readonly unknown[];
  /** Of a chain of checks: the first is the shape itself. */
  readonly pipe?: readonly unknown[];
}

/** What the schema library says about one fault. Every message says what is allowed. */
export interface Issue {
  readonly type: string;
  readonly expected: string | null;
  readonly input: unknown;
  readonly message: string;
  readonly path?:
    | readonly { readonly key: unknown; readonly input?: unknown }[]
    | undefined;
  readonly issues?: readonly Issue[] | undefined;
}

export interface ShapeFault {
  readonly kind: "unknown-key" | "bad-value";
  readonly path: Path;
  readonly input: unknown;
  readonly message: string;
}

export type Checked =
  | { readonly success: true; readonly output: unknown }
  | { readonly success: false; readonly issues: readonly Issue[] };

/**
 * Every fault of `value`, an unknown key first, for it explains more than the values around it.
 *
 * @param root what the whole is called, e.g. "the job".
 */
export function shapeFaults(
  value: unknown,
  checked: Checked,
  shape: Shape,
  root: string,
): ShapeFault[] {
  const faults = checked.success
    ? quietLosses(value, checked.output, shape, [], root)
    : checked.issues.flatMap((issue) => faultsOf(issue, [], shape, root));
  const first = faults.find((f) => f.kind === "unknown-key");
  return first ? [first, ...faults.filter((f) => f !== first)] : faults;
}

function faultsOf(
  issue: Issue,
  before: Path,
  shape: Shape,
  root: string,
): ShapeFault[] {
  const path: Path = [
    ...before,
    ...(issue.path ?? []).map((p) => p.key as string | number),
  ];
  // A union reports what each of its options had to say: the one that got deepest into the value is meant.
  // A list is never meant as a group, though the schema library takes one for an object with the keys 0, 1…
  const asGroup = (o: Issue): boolean =>
    Array.isArray(issue.input) &&
    o.type === "strict_object" &&
    o.path?.length === 1;
  const options = (issue.type === "union" ? (issue.issues ?? []) : []).filter(
    (o) => !asGroup(o),
  );
  const deepest = Math.max(0, ...options.map((o) => o.path?.length ?? 0));
  if (deepest > 0)
    return options
      .filter((o) => (o.path?.length ?? 0) === deepest)
      .flatMap((o) => faultsOf(o, path, shape, root));
  if (issue.type === "strict_object" && issue.expected === "never") {
    const within = issue.path?.at(-1)?.input;
    return Array.isArray(within)
      ? [badValueAt(path.slice(0, -1), issue.message, within, root)]
      : [unknownKey(path, shape, root)];
  }
  // A key that must be there is told on behalf of its group, whose message is about the group.
  return issue.type === "strict_object" && issue.input === undefined
    ? [badValueAt(path, "given", issue.input, root)]
    : [badValueAt(path, issue.message, issue.input, root)];
}

/**
 * What the schema library lets pass: a list in place of a group, and keys that every object has, such as
 * "constructor", which it leaves out of a record.
 */
function quietLosses(
  value: unknown,
  read: unknown,
  shape: Shape | undefined,
  path: Path,
  root: string,
): ShapeFault[] {
  if (typeof value !== "object" || value === null) return [];
  const [list, group] = [
    shapes(shape).find((s) => s.item ?? s.items),
    shapes(shape).find((s) => s.entries ?? s.value),
  ];
  if (Array.isArray(value) && !list && group)
    return [badValueAt(path, "a group in braces", value, root)];
  return Object.entries(value).flatMap(([key, inner]) => {
    const kept =
      typeof read === "object" && read !== null && Object.hasOwn(read, key)
        ? (read as Record<string, unknown>)[key]
        : undefined;
    if (kept === undefined && inner !== undefined)
      return [
        {
          kind: "bad-value" as const,
          path: [...path, key],
          input: inner,
          message: `${pathText(path)} cannot hold the name "${key}"; take another`,
        },
      ];
    return quietLosses(
      inner,
      kept,
      Array.isArray(value)
        ? list?.item
        : (group?.entries?.[key] ?? group?.value),
      [...path, Array.isArray(value) ? Number(key) : key],
      root,
    );
  });
}

/** A schema's own shape, or those it offers a choice of. */
function shapes(shape: Shape | undefined): readonly Shape[] {
  if (!shape) return [];
  if (shape.wrapped) return shapes(shape.wrapped);
  if (shape.options)
    return (shape.options as readonly (Shape | string)[]).flatMap((o) =>
      typeof o === "string" ? [] : shapes(o),
    );
  if (shape.entries ?? shape.item ?? shape.items ?? shape.value) return [shape];
  return shape.pipe?.[0] ? shapes(shape.pipe[0] as Shape) : [];
}

function badValueAt(
  path: Path,
  allowed: string,
  value: unknown,
  root: string,
): ShapeFault {
  return {
    kind: "bad-value",
    path,
    input: value,
    message: `${pathText(path) || root} must be ${allowed}, not ${shown(value)}`,
  };
}

function unknownKey(path: Path, shape: Shape, root: string): ShapeFault {
  const key = String(path.at(-1));
  const parent = path.slice(0, -1);
  const siblings = knownKeys(parent, [shape]);
  const near = nearest(key, siblings);
  const hint = near ? `did you mean "${near}"? ` : "";
  return {
    kind: "unknown-key",
    path,
    input: undefined,
    message: `unknown key "${pathText(path)}": ${hint}${parent.length ? `"${pathText(parent)}"` : root} may hold ${siblings.join(", ")}`,
  };
}

/** Keys that the schema allows at a path. */
function knownKeys(path: Path, from: readonly Shape[]): readonly string[] {
  const here = from.flatMap((s) => shapes(s));
  const [key, ...rest] = path;
  if (key === undefined)
    return here.flatMap((s) => Object.keys(s.entries ?? {}));
  const next = here.flatMap((s) =>
    [s.item, s.value, s.entries?.[key]].filter((n) => n !== undefined),
  );
  return knownKeys(rest, next);
}

/** "passes[1].gap" */
export function pathText(path: Path): string {
  return path
    .map((key, i) =>
      typeof key === "number" ? `[${key}]` : i === 0 ? key : `.${key}`,
    )
    .join("");
}

function shown(input: unknown): string {
  if (input === undefined) return "left out";
  const text = JSON.stringify(input) ?? String(input);
  return text.length > 60 ? `${text.slice(0, 57)}...` : text;
}

/** The word fewest typing slips away, or null when none is near (more than half its letters wrong). */
export function nearest(word: string, words: readonly string[]): string | null {
  let best: string | null = null;
  let least = Number.POSITIVE_INFINITY;
  for (const w of words) {
    const d = slips(word.toLowerCase(), w.toLowerCase());
    if (d < least) [best, least] = [w, d];
  }
  return best !== null && least <= Math.max(1, Math.ceil(best.length / 2))
    ? best
    : null;
}

/** Letters to insert, drop or change to get from `a` to `b` (Levenshtein's distance). */
function slips(a: string, b: string): number {
  let row = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const next = [i];
    for (let j = 1; j <= b.length; j++)
      next.push(
        Math.min(
          (row[j] as number) + 1,
          (next[j - 1] as number) + 1,
          (row[j - 1] as number) + (a[i - 1] === b[j - 1] ? 0 : 1),
        ),
      );
    row = next;
  }
  return row[b.length] as number;
}

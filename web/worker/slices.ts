/**
 * A large answer in slices: what a worker says is unpacked on the page's own thread, message by message, and between
 * two of them the page can draw and listen. Pure.
 */

/** A run of a list that the answer holds. */
export interface Slice {
  /** The keys that lead to the list. */
  readonly path: readonly string[];
  readonly items: readonly unknown[];
}

export interface Sliced<T> {
  readonly slices: readonly Slice[];
  /** The answer with those lists empty. */
  readonly rest: T;
}

/** Items of a slice: openings of some hundred lines and arcs in all their passes are unpacked in some ten milliseconds. */
const ITEMS = 200;
/** Lists lie no deeper than that: "plan.features". */
const DEEPEST = 2;

export function sliced<T>(answer: T): Sliced<T> {
  const slices: Slice[] = [];
  const emptied = (node: unknown, path: readonly string[]): unknown => {
    if (Array.isArray(node)) {
      if (node.length <= ITEMS || path.length === 0) return node;
      for (let i = 0; i < node.length; i += ITEMS)
        slices.push({ path, items: node.slice(i, i + ITEMS) });
      return [];
    }
    const isGroup =
      typeof node === "object" &&
      node !== null &&
      Object.getPrototypeOf(node) === Object.prototype;
    if (!isGroup || path.length === DEEPEST) return node;
    return Object.fromEntries(
      Object.entries(node).map(([key, inner]) => [
        key,
        emptied(inner, [...path, key]),
      ]),
    );
  };
  return { rest: emptied(answer, []) as T, slices };
}

/** The whole again. `rest` is written to: nobody else has it yet. */
export function joined<T>({ rest, slices }: Sliced<T>): T {
  for (const { path, items } of slices) {
    const list = path.reduce<unknown>(
      (node, key) => (node as Record<string, unknown>)[key],
      rest,
    ) as unknown[];
    for (const item of items) list.push(item);
  }
  return rest;
}

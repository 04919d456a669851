/** Building the page: elements made with text nodes only, so that no name from a drawing can become markup. */

export type Child = Node | string | number | null | undefined | false;

type Value =
  | string
  | number
  | boolean
  | null
  | undefined
  | ((event: never) => void);

/**
 * Makes an element. Keys that begin with "on" are listeners ("onclick"), `true` sets an empty attribute, and
 * `false`, `null` and `undefined` leave it out.
 */
export function h<K extends keyof HTMLElementTagNameMap>(
  tag: K,
  attributes: Readonly<Record<string, Value>> = {},
  ...children: readonly Child[]
): HTMLElementTagNameMap[K] {
  const element = document.createElement(tag);
  for (const [key, value] of Object.entries(attributes)) {
    if (value === null || value === undefined || value === false) continue;
    if (typeof value === "function")
      element.addEventListener(key.slice(2), value as EventListener);
    else element.setAttribute(key, value === true ? "" : String(value));
  }
  element.append(...kept(children));
  return element;
}

/** Text of an element; the same text again costs nothing. */
export function say(element: HTMLElement, text: string): void {
  if (element.textContent !== text) element.textContent = text;
}

/** What is to be shown of a list of children. */
export function kept(children: readonly Child[]): (Node | string)[] {
  return children.flatMap((c) =>
    c === null || c === undefined || c === false
      ? []
      : [typeof c === "number" ? String(c) : c],
  );
}

/** The element of that id; the page's own markup holds it. */
export function byId<E extends HTMLElement = HTMLElement>(id: string): E {
  const found = document.getElementById(id);
  if (!found) throw new Error(`the page has no element "${id}"`);
  return found as E;
}

/** Characters; what is shorter, a figure with its unit, is not broken in two. */
const SHORT = 10;

function classOf(cell: Child): { class?: string } {
  return typeof cell === "string" && cell.length < SHORT
    ? { class: "short" }
    : {};
}

/** A table of figures: head, and rows whose first cell names the row. */
export function table(
  caption: string,
  head: readonly string[],
  rows: readonly (readonly Child[])[],
): HTMLElement {
  return h(
    "div",
    { class: "table", role: "region", "aria-label": caption, tabindex: 0 },
    h(
      "table",
      {},
      h("caption", {}, caption),
      h(
        "thead",
        {},
        h("tr", {}, ...head.map((t) => h("th", { scope: "col" }, t))),
      ),
      h(
        "tbody",
        {},
        ...rows.map((row) =>
          h(
            "tr",
            {},
            ...row.map((cell, i) =>
              i === 0
                ? h("th", { scope: "row" }, cell)
                : h("td", classOf(cell), cell),
            ),
          ),
        ),
      ),
    ),
  );
}

/** Says something to screen readers without moving the focus. */
export function announce(text: string): void {
  byId("announcer").textContent = text;
}

/**
 * Drawing a part of the page anew without taking anything out of the user's hands: what has the focus keeps it, with
 * caret and selection, and a value that is being typed, dragged or picked stays as it is until it is handed over.
 */
import { type Child, kept } from "./dom.js";

type Field = HTMLInputElement | HTMLSelectElement | HTMLTextAreaElement;

/** The field that somebody has begun to change and not yet handed over: there is never more than one. */
let begun: EventTarget | null = null;

/** The fields of the page are watched from here on. */
export function watchTyping(): void {
  // Before the field's own listeners, which take the value and may draw the field anew.
  const before = { capture: true };
  const begin = ({ target }: Event): void => {
    if (target === document.activeElement) begun = target;
  };
  const end = ({ target }: Event): void => {
    if (target === begun) begun = null;
  };
  document.addEventListener("input", begin, before);
  document.addEventListener("change", end, before);
  document.addEventListener("focusout", end, before);
}

/** Whether the field has the focus and a value in it that was not yet handed over: then nobody else may write it. */
export function isTyped(field: EventTarget): boolean {
  return field === begun && field === document.activeElement;
}

/** What was to be drawn while a field that would have gone with it was being typed in. */
const held = new WeakMap<HTMLElement, readonly Child[]>();

/**
 * Puts new children in place of the old ones. The control that has the focus is found among the new ones by its
 * `data-key`, or else by its place. A field stays itself, so its listeners must read the page as it is when they run.
 */
export function refill(
  parent: HTMLElement,
  ...children: readonly Child[]
): void {
  held.delete(parent);
  const active = document.activeElement;
  if (!(active instanceof HTMLElement) || !isWithin(active, parent)) {
    parent.replaceChildren(...kept(children));
    return;
  }
  const fresh = document.createElement(parent.tagName);
  fresh.append(...kept(children));
  const twin = twinOf(active, parent, fresh);
  if (twin && isField(active) && isAlike(active, twin, parent, fresh))
    graft(parent, active, twin as Field);
  else if (isTyped(active)) hold(active, parent, children);
  else {
    parent.replaceChildren(...fresh.childNodes);
    twin?.focus({ preventScroll: true });
  }
}

/** Draws it once the field is left. */
function hold(
  field: HTMLElement,
  parent: HTMLElement,
  children: readonly Child[],
): void {
  held.set(parent, children);
  const draw = (): void => {
    const due = held.get(parent);
    if (due) refill(parent, ...due);
  };
  // Once the focus has arrived elsewhere, not while it goes.
  const left = (): unknown => setTimeout(draw);
  field.addEventListener("focusout", left, { once: true });
}

function isWithin(e: Element, parent: Element): boolean {
  return e !== parent && parent.contains(e);
}

function isField(e: Element): e is Field {
  return ["INPUT", "SELECT", "TEXTAREA"].includes(e.tagName);
}

/** The new control that is the same to the user. Fields by their key only: one at the same place may be another's. */
function twinOf(
  active: HTMLElement,
  parent: HTMLElement,
  fresh: HTMLElement,
): HTMLElement | null {
  const { key } = active.dataset;
  if (key !== undefined)
    return fresh.querySelector(`[data-key="${CSS.escape(key)}"]`);
  if (isField(active)) return null;
  let here: Element | undefined = fresh;
  for (const i of placeOf(active, parent)) here = here?.children[i];
  return here instanceof HTMLElement && here.tagName === active.tagName
    ? here
    : null;
}

/** Which child of which child it is, from the outside in. */
function placeOf(e: Element, parent: Element): number[] {
  const around = e.parentElement;
  if (!around || e === parent) return [];
  return [
    ...placeOf(around, parent),
    Array.prototype.indexOf.call(around.children, e),
  ];
}

/** Whether two elements are of a kind, and so is all that is around them. */
function isAlike(
  a: Element,
  b: Element,
  parent: Element,
  fresh: Element,
): boolean {
  if (a === parent || b === fresh) return a === parent && b === fresh;
  const [overA, overB] = [a.parentElement, b.parentElement];
  return (
    a.tagName === b.tagName &&
    a.getAttribute("type") === b.getAttribute("type") &&
    overA !== null &&
    overB !== null &&
    isAlike(overA, overB, parent, fresh)
  );
}

/** Replaces all that is around a field, never the field: out of the page for a moment, it would lose focus and caret. */
function graft(parent: HTMLElement, field: Field, twin: Field): void {
  bringUpToDate(field, twin);
  let [stays, goes]: [Element, Element] = [field, twin];
  while (stays !== parent) {
    const around = stays.parentElement as Element;
    const of = goes.parentElement as Element;
    const news = Array.from(of.childNodes);
    const at = news.indexOf(goes as ChildNode);
    for (const old of Array.from(around.childNodes))
      if (old !== stays) old.remove();
    stays.before(...news.slice(0, at));
    stays.after(...news.slice(at + 1));
    if (around !== parent) copyAttributes(of, around);
    [stays, goes] = [around, of];
  }
}

function bringUpToDate(field: Field, twin: Field): void {
  copyAttributes(twin, field);
  if (isTyped(field)) return;
  if (field.tagName === "SELECT" && field.innerHTML !== twin.innerHTML)
    field.replaceChildren(...twin.childNodes);
  if (field.value !== twin.value) field.value = twin.value;
  if (field instanceof HTMLInputElement)
    field.checked = (twin as HTMLInputElement).checked;
}

function copyAttributes(from: Element, to: Element): void {
  for (const { name } of Array.from(to.attributes))
    if (!from.hasAttribute(name)) to.removeAttribute(name);
  // A control that is switched off loses the focus.
  for (const { name, value } of Array.from(from.attributes))
    if (name !== "disabled" && to.getAttribute(name) !== value)
      to.setAttribute(name, value);
}

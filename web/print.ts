/** Prints a setup sheet: its markup is ours, its names are escaped, and its style rules are set apart from this page's. */
import { h } from "./dom.js";

export function printSheet(html: string): void {
  const sheet = new DOMParser().parseFromString(html, "text/html");
  const rules = [...sheet.querySelectorAll("style")].map((style) => {
    style.remove();
    return style.textContent ?? "";
  });
  const frame = h("iframe", {
    class: "unseen",
    title: "Setup sheet",
    "aria-hidden": "true",
  });
  document.body.append(frame);
  const inner = frame.contentWindow as (Window & typeof globalThis) | null;
  if (!inner) throw new Error("the browser gives no frame to print from");
  // Sheets made by script are not style elements, so the page's own policy against inline styles can stay strict.
  const style = new inner.CSSStyleSheet();
  style.replaceSync(rules.join("\n"));
  inner.document.adoptedStyleSheets = [style];
  inner.document.title = sheet.title;
  inner.document.documentElement.lang = "en";
  inner.document.body.replaceWith(inner.document.adoptNode(sheet.body));
  inner.addEventListener("afterprint", () => frame.remove());
  inner.print();
}

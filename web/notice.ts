/** One line at the top of the page for what went wrong with a file; null takes it away. */
import { byId, h } from "./dom.js";

export function notice(text: string | null): void {
  const bar = byId("notice");
  bar.hidden = text === null;
  bar.replaceChildren(
    ...(text === null
      ? []
      : [
          h("p", { role: "alert" }, text),
          h("button", { type: "button", onclick: () => notice(null) }, "Close"),
        ]),
  );
}

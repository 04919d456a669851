/** A few buttons beside a place in the picture: what can be done there by hand. */
import type { Vec } from "../../src/index.js";
import { h } from "../dom.js";
import type { View } from "../picture/view.js";
import type { Deed } from "./deeds.js";
import type { TryChange } from "./try.js";

export interface DeedMenu {
  /** `at`: px in the picture; `byKeys`: the keyboard goes there too. */
  open(deeds: readonly Deed[], at: Vec, view: View, byKeys: boolean): void;
  close(): void;
  /** It goes as soon as its place has moved. */
  keep(view: View): void;
}

/** px from the place to the buttons. */
const BESIDE = 14;

export function startDeedMenu(
  picture: HTMLElement,
  tryChange: TryChange,
): DeedMenu {
  const menu = h("div", {
    class: "deeds",
    role: "group",
    "aria-label": "What can be done here",
    hidden: true,
  });
  picture.after(menu);
  let openFor: View | null = null;

  const close = (): void => {
    if (menu.contains(document.activeElement)) picture.focus();
    menu.hidden = true;
    openFor = null;
  };
  menu.addEventListener("keydown", (event) => {
    if (event.key === "Escape") close();
  });
  document.addEventListener(
    "pointerdown",
    ({ target }) => {
      if (!menu.contains(target as Node)) close();
    },
    { capture: true },
  );

  return {
    open(deeds, at, view, byKeys) {
      if (deeds.length === 0) return;
      menu.replaceChildren(
        ...deeds.map(({ words, change }) =>
          h(
            "button",
            {
              type: "button",
              class: "small",
              onclick: () => {
                close();
                void tryChange(change);
              },
            },
            words,
          ),
        ),
      );
      menu.hidden = false;
      openFor = view;
      const x = Math.min(at.x + BESIDE, view.width - menu.offsetWidth - 4);
      const y = Math.min(at.y + BESIDE, view.height - menu.offsetHeight - 4);
      menu.style.left = `${picture.offsetLeft + Math.max(4, x)}px`;
      menu.style.top = `${picture.offsetTop + Math.max(4, y)}px`;
      if (byKeys) menu.querySelector("button")?.focus();
    },
    close,
    keep(view) {
      if (openFor !== null && openFor !== view) close();
    },
  };
}

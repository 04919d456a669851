/** Zoom and pan by wheel, drag, pinch and keys. What begins on a handle (`data-grip`) belongs to the handle. */
import type { Vec } from "../../src/index.js";
import { panned, type View, zoomed } from "./view.js";

/** A notch of the wheel, and a press of + or −. */
const STEP = 1.25;
/** Pixels an arrow key moves the picture by. */
const NUDGE = 60;
/** A pointer that moves less has clicked. */
export const CLICK_SLACK = 4;

export function watchGestures(
  element: HTMLElement,
  view: () => View,
  setView: (view: View) => void,
): void {
  const pointers = new Map<number, Vec>();

  const place = (event: MouseEvent): Vec => {
    const box = element.getBoundingClientRect();
    return { x: event.clientX - box.left, y: event.clientY - box.top };
  };

  element.addEventListener(
    "wheel",
    (event) => {
      event.preventDefault();
      // Trackpads send many small steps, wheels few large ones; pages and lines become pixels.
      const pixels =
        event.deltaY *
        (event.deltaMode === 0 ? 1 : event.deltaMode === 1 ? 16 : 400);
      const notches = Math.max(-3, Math.min(3, pixels / 100));
      setView(zoomed(view(), STEP ** -notches, place(event)));
    },
    { passive: false },
  );

  element.addEventListener("pointerdown", (event) => {
    if ((event.target as Element).closest("[data-grip], button")) return;
    if (event.button > 1) return;
    pointers.set(event.pointerId, place(event));
    element.setPointerCapture(event.pointerId);
  });
  element.addEventListener("pointermove", (event) => {
    const before = pointers.get(event.pointerId);
    if (!before) return;
    const now = place(event);
    const other = [...pointers].find(([id]) => id !== event.pointerId)?.[1];
    pointers.set(event.pointerId, now);
    if (!other)
      return setView(panned(view(), now.x - before.x, now.y - before.y));
    const spread = (p: Vec): number => Math.hypot(p.x - other.x, p.y - other.y);
    const middle = { x: (now.x + other.x) / 2, y: (now.y + other.y) / 2 };
    const moved = panned(
      view(),
      (now.x - before.x) / 2,
      (now.y - before.y) / 2,
    );
    setView(zoomed(moved, spread(now) / Math.max(spread(before), 1), middle));
  });
  for (const end of [
    "pointerup",
    "pointercancel",
    "lostpointercapture",
  ] as const)
    element.addEventListener(end, (event) => pointers.delete(event.pointerId));

  element.addEventListener("keydown", (event) => {
    if (
      event.target !== element ||
      event.ctrlKey ||
      event.metaKey ||
      event.altKey
    )
      return;
    const next = keyed(event.key, view());
    if (!next) return;
    event.preventDefault();
    setView(next);
  });
}

function keyed(key: string, view: View): View | null {
  const middle = { x: view.width / 2, y: view.height / 2 };
  switch (key) {
    case "ArrowLeft":
      return panned(view, NUDGE, 0);
    case "ArrowRight":
      return panned(view, -NUDGE, 0);
    case "ArrowUp":
      return panned(view, 0, NUDGE);
    case "ArrowDown":
      return panned(view, 0, -NUDGE);
    case "+":
    case "=":
      return zoomed(view, STEP, middle);
    case "-":
      return zoomed(view, 1 / STEP, middle);
    default:
      return null;
  }
}

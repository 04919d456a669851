/** Drawing on the screen in few words: elements of SVG, made and changed in a chain. Lengths are the layer's own. */
const SVG = "http://www.w3.org/2000/svg";

/** An element, and as a group what draws into it. */
export interface Ink {
  addClass(names: string): Ink;
  /** With the class or without. */
  toggle(name: string, on: boolean): void;
  attr(values: Readonly<Record<string, string | number>>): Ink;
  /** Gives a path another way. */
  plot(d: string): Ink;
  clear(): void;
  remove(): void;
  group(): Ink;
  path(d: string): Ink;
  line(x1: number, y1: number, x2: number, y2: number): Ink;
  /** Through points, x and y in turn. */
  polyline(places: readonly number[]): Ink;
  /** About a middle, like the square. */
  circle(diameter: number, cx: number, cy: number): Ink;
  square(side: number, cx: number, cy: number): Ink;
  text(words: string): Ink;
}

/** A picture that fills the element; what is in it is told in words beside it. */
export function inkIn(element: HTMLElement): Ink {
  const node = document.createElementNS(SVG, "svg");
  element.append(node);
  return inkOf(node).attr({ "aria-hidden": "true", focusable: "false" });
}

function inkOf(node: SVGElement): Ink {
  const add = (name: string): Ink => {
    const child = document.createElementNS(SVG, name);
    node.append(child);
    return inkOf(child);
  };
  let way: string | undefined;
  const ink: Ink = {
    addClass(names) {
      node.classList.add(...names.split(" "));
      return ink;
    },
    toggle(name, on) {
      node.classList.toggle(name, on);
    },
    attr(values) {
      for (const [name, value] of Object.entries(values))
        node.setAttribute(name, String(value));
      return ink;
    },
    plot(d) {
      // A film gives every path its way again, frame by frame.
      if (d !== way) ink.attr({ d });
      way = d;
      return ink;
    },
    clear: () => node.replaceChildren(),
    remove: () => node.remove(),
    group: () => add("g"),
    path: (d) => add("path").plot(d),
    line: (x1, y1, x2, y2) => add("line").attr({ x1, y1, x2, y2 }),
    polyline: (places) => add("polyline").attr({ points: places.join(" ") }),
    circle: (diameter, cx, cy) =>
      add("circle").attr({ r: diameter / 2, cx, cy }),
    square: (side, cx, cy) =>
      add("rect").attr({
        width: side,
        height: side,
        x: cx - side / 2,
        y: cy - side / 2,
      }),
    text(words) {
      const child = document.createElementNS(SVG, "text");
      child.textContent = words;
      node.append(child);
      return inkOf(child);
    },
  };
  return ink;
}

/**
 * The tree of an SVG with everything in its place: strands by layer, and a count of all that was left out. Groups,
 * nested drawings and repeated elements may lie in each other; one in itself is refused.
 */

import type { Finding } from "../../base/finding.js";
import { type OnStep, oneIn } from "../../base/pace.js";
import type { Fit } from "../../geometry/fit/fit-arcs.js";
import { pair } from "../../geometry/vec.js";
import { tooLarge } from "../damage.js";
import type { Layer, Repair, Skipped } from "../drawing.js";
import type { Strand } from "../dxf/expand.js";
import { layerBook } from "../layers.js";
import { MAX_BLOCK_DEPTH, MAX_ENTITIES, MAX_SEGMENTS } from "../limits.js";
import { compose, type Placement, translation } from "../placement.js";
import { placeOutside } from "./clip.js";
import {
  clippedElement,
  faultyElement,
  loopingUse,
  MOVED_PAGE,
  missingTarget,
  reachesOut,
  styledAway,
  styleSheetFindings,
  unknownLength,
} from "./findings.js";
import {
  type Around,
  hiddenBecause,
  inherit,
  isClipped,
  layerName,
  styledSize,
} from "./inherit.js";
import { parseLength, userUnits, type Viewport } from "./length.js";
import { nestedDrawing } from "./nested.js";
import { drawShape, SHAPES } from "./shapes.js";
import type { Drawn } from "./steps.js";
import type { SvgElement } from "./tree.js";

export interface Walked {
  readonly strands: readonly Strand[];
  readonly layers: readonly Layer[];
  readonly repairs: readonly Repair[];
  readonly skipped: readonly Skipped[];
  readonly findings: readonly Finding[];
}

export interface WalkOptions {
  /** User units to mm, y upwards. */
  readonly place: Placement;
  readonly viewport: Viewport | null;
  readonly fit: Fit;
  /** mm: how far from its start a closed path may end. */
  readonly gap: number;
  readonly wanted: (layer: string) => boolean;
  /** Called every now and then. */
  readonly onStep: OnStep;
}

/** Never drawn themselves, only where something refers to them. */
const STORES = new Set([
  "clipPath",
  "mask",
  "pattern",
  "marker",
  "linearGradient",
  "radialGradient",
  "filter",
]);
/** Kept for repetition, and drawn there. */
const UNSEEN = new Set(["defs", "symbol"]);
/** Say something about the drawing, and draw nothing. */
const SILENT = new Set(["title", "desc", "metadata", "style", "view"]);
const GROUPS = new Set(["g", "a"]);
/** Drawn by sizes of their own. */
const SIZED = new Set([...SHAPES, "svg", "use"]);

/** Elements from one call of `onStep` to the next: some milliseconds. */
const STEP = 256;

/** @throws {InputError} `drawing/too-large` */
export function walkSvg(
  root: SvgElement,
  { place, viewport, fit, gap, wanted, onStep }: WalkOptions,
): Walked {
  const book = layerBook([], wanted);
  const strands: Strand[] = [];
  const repairs: Repair[] = [];
  const findings = new Map<string, Finding>();
  const targets = byId(root);
  const step = oneIn(STEP, onStep);
  let visits = 0;
  let segments = 0;

  // Said once for the same element, however often it is repeated.
  const tell = (e: SvgElement, finding: Finding): void => {
    const key = `${finding.code} ${e.line}`;
    if (!findings.has(key)) findings.set(key, finding);
  };
  const refuse = (e: SvgElement, layer: string, finding: Finding): void => {
    book.skip(e.name, layer, null);
    tell(e, finding);
  };

  const visit = (e: SvgElement, outer: Around): void => {
    step();
    if (++visits > MAX_ENTITIES)
      throw tooLarge(
        `holds more than ${MAX_ENTITIES} elements when all repetitions are drawn`,
      );
    if (SILENT.has(e.name)) return;
    const { layer } = outer;
    const inherited = inherit(e, outer);
    if (typeof inherited === "string") {
      refuse(e, layer, faultyElement(e, layer, inherited));
      return;
    }
    const size = SIZED.has(e.name) ? styledSize(e) : null;
    if (size !== null) {
      refuse(e, layer, faultyElement(e, layer, styledAway(size)));
      return;
    }
    if (isClipped(e)) tell(e, clippedElement(e, layer));
    if (GROUPS.has(e.name)) visitAll(e, named(e, inherited));
    else if (e.name === "svg") nested(e, named(e, inherited), e);
    else if (e.name === "switch") visitAll(e, inherited, firstPlain);
    else if (e.name === "use") use(e, inherited);
    else if (SHAPES.has(e.name)) shape(e, inherited);
    else if (!UNSEEN.has(e.name))
      book.skip(e.name, layer, STORES.has(e.name) ? null : inherited.hidden);
  };

  const visitAll = (
    e: SvgElement,
    around: Around,
    choose: (all: readonly SvgElement[]) => readonly SvgElement[] = (all) =>
      all,
  ): void => {
    for (const child of choose(e.children)) visit(child, around);
  };

  const named = (e: SvgElement, around: Around): Around => {
    const name = layerName(e, around.layer);
    return { ...around, layer: book.name(name, "0") };
  };

  /** A drawing or symbol within the drawing, whose size a `use` may set. */
  const nested = (e: SvgElement, around: Around, sized: SvgElement): void => {
    const { inner, shown, faults } = nestedDrawing(e, around, sized);
    for (const { of, why } of faults)
      tell(of, faultyElement(of, around.layer, why));
    const before = strands.length;
    visitAll(e, inner);
    if (shown === null) return;
    for (const { layer, contour } of strands.slice(before)) {
      const at = placeOutside(shown, contour, gap);
      if (at !== null) {
        tell(e, reachesOut(e, layer, at));
        return;
      }
    }
  };

  const use = (e: SvgElement, around: Around): void => {
    const { layer } = around;
    const href = e.attributes.get("href")?.trim() ?? "";
    const target = href.startsWith("#")
      ? targets.get(href.slice(1))
      : undefined;
    if (target === undefined) {
      refuse(e, layer, missingTarget(e, layer, href));
      return;
    }
    if (around.uses.includes(target)) {
      refuse(e, layer, loopingUse(e, layer, href));
      return;
    }
    if (around.uses.length >= MAX_BLOCK_DEPTH)
      throw tooLarge(`repeats elements more than ${MAX_BLOCK_DEPTH} deep`);
    const [x, y] = (["x", "y"] as const).map((name) => {
      const length = parseLength(e.attributes.get(name) ?? "0");
      return length && userUnits(length, name, around.viewport);
    });
    if (x == null || y == null) {
      refuse(
        e,
        layer,
        faultyElement(
          e,
          layer,
          unknownLength(
            "place",
            `${e.attributes.get("x")} ${e.attributes.get("y")}`,
          ),
        ),
      );
      return;
    }
    const inner: Around = {
      ...around,
      place: compose(around.place, translation({ x, y, z: 0 })),
      uses: [...around.uses, target],
    };
    if (target.name === "symbol" || target.name === "svg")
      nested(target, inner, e);
    else visit(target, inner);
  };

  const shape = (e: SvgElement, around: Around): void => {
    const { layer } = around;
    const hidden = hiddenBecause(around) ?? book.hidden(layer, false);
    if (hidden !== null) {
      book.skip(e.name, layer, hidden);
      return;
    }
    const drawn = drawShape(e, { ...around, fit, gap });
    if (typeof drawn === "string")
      refuse(e, layer, faultyElement(e, layer, drawn));
    else take(layer, drawn);
  };

  const take = (layer: string, drawn: Drawn): void => {
    book.count(layer);
    for (const contour of drawn.contours) {
      segments += contour.segments.length;
      if (segments > MAX_SEGMENTS)
        throw tooLarge(`has more than ${MAX_SEGMENTS} lines and arcs`);
      strands.push({ layer, contour });
    }
    for (const at of drawn.nothing)
      repairs.push({
        kind: "zero-length-dropped",
        layer,
        at: pair(at),
        size: 0,
      });
    for (const { at, size } of drawn.closed)
      repairs.push({ kind: "gap-closed", layer, at: pair(at), size });
  };

  const moved = (root.attributes.get("transform") ?? "none").trim();
  const outermost = inherit(root, {
    place,
    viewport,
    layer: "0",
    hidden: null,
    visible: true,
    uses: [],
  });
  if (moved !== "none" && moved !== "")
    tell(root, faultyElement(root, "0", MOVED_PAGE));
  else if (typeof outermost === "string")
    tell(root, faultyElement(root, "0", outermost));
  else visitAll(root, outermost);
  return {
    strands,
    repairs,
    layers: book.layers(),
    skipped: book.skipped(),
    findings: [
      ...book.findings(),
      ...styleSheetFindings(root),
      ...findings.values(),
    ],
  };
}

/** The first that asks for nothing special: what every reader can show. */
function firstPlain(all: readonly SvgElement[]): readonly SvgElement[] {
  const plain = all.find(
    (e) =>
      !e.attributes.has("requiredExtensions") && e.name !== "foreignObject",
  );
  return plain ? [plain] : [];
}

function byId(root: SvgElement): Map<string, SvgElement> {
  const found = new Map<string, SvgElement>();
  const look = (e: SvgElement): void => {
    const id = e.attributes.get("id");
    if (id !== undefined && !found.has(id)) found.set(id, e);
    for (const child of e.children) look(child);
  };
  look(root);
  return found;
}

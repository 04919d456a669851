/** What is told of single elements of an SVG: which, on what layer, from what line, what to do. */
import type { Finding } from "../../base/finding.js";
import { nameText } from "../../base/message.js";
import { placeText } from "../../base/numbers.js";
import { pair, type Vec } from "../../geometry/vec.js";
import { quote } from "../damage.js";
import type { SvgElement } from "./tree.js";

const called = ({ name, line }: SvgElement, layer: string): string =>
  `The ${name} element on layer ${nameText(layer)} (line ${line})`;

export function faultyElement(
  e: SvgElement,
  layer: string,
  why: string,
): Finding {
  return {
    code: "drawing/bad-entity",
    severity: "error",
    message: `${called(e, layer)} cannot be read: ${why}; draw it again, or delete it.`,
    layers: [layer],
  };
}

export function unknownLength(name: string, text: string): string {
  return `its ${name}, ${quote(text)}, is no length that has a size of its own`;
}

export function styledAway(name: string): string {
  return `its style sets its ${name}; give it as an attribute instead`;
}

export function missingTarget(
  e: SvgElement,
  layer: string,
  href: string,
): Finding {
  return {
    code: "drawing/block-missing",
    severity: "error",
    message: `${called(e, layer)} repeats ${quote(href)}, which the file does not hold; draw what it stands for, or delete it.`,
    layers: [layer],
  };
}

export function loopingUse(
  e: SvgElement,
  layer: string,
  href: string,
): Finding {
  return {
    code: "drawing/block-loop",
    severity: "error",
    message: `${called(e, layer)} repeats ${quote(href)}, which holds it; delete it.`,
    layers: [layer],
  };
}

export function clippedElement(e: SvgElement, layer: string): Finding {
  return {
    code: "drawing/clipped",
    severity: "warning",
    message: `${called(e, layer)} is shown in part only (clip-path or mask), but is read whole; cut the outline itself to what is meant.`,
    layers: [layer],
  };
}

export function reachesOut(e: SvgElement, layer: string, at: Vec): Finding {
  const where = pair(at);
  return {
    code: "drawing/clipped",
    severity: "warning",
    message: `${called(e, layer)} shows only what lies in its own width and height, but what reaches out of them, at ${placeText(where)}, is read too; cut the outline itself to what is meant, or give it overflow="visible".`,
    where,
    layers: [layer],
  };
}

/** A transform of the whole drawing: of its page about the middle (SVG 2, 8.5), or of what is in it (SVG 1.1)? */
export const MOVED_PAGE =
  "its transform moves the whole drawing, about the middle of the page or about its corner, as the program has it; put a group inside the drawing that has the transform";

/** Properties of a style sheet that would move, redraw or hide what is read. */
const TELLING =
  /(?:^|[{;\s])(transform|transform-origin|translate|rotate|scale|offset-path|clip-path|mask|display|visibility|d|x|y|cx|cy|r|rx|ry|width|height)\s*:/;

/** Style sheets are not applied; colours do not matter, but some things do. */
export function styleSheetFindings(root: SvgElement): Finding[] {
  const findings: Finding[] = [];
  const look = (e: SvgElement): void => {
    const property = e.name === "style" && TELLING.exec(e.text)?.[1];
    if (property)
      findings.push({
        code: "drawing/style-sheet",
        severity: "warning",
        message: `The style sheet of the drawing (line ${e.line}) sets ${property}, but style sheets are not applied: what it hides or moves is read as if it did not; check the outlines, or set it as attributes.`,
      });
    for (const child of e.children) look(child);
  };
  look(root);
  return findings;
}

/**
 * SVG text becomes a tree of elements, through saxes: the only file that imports it. XML is read strictly; what
 * belongs to other vocabularies is left out, and declarations that could multiply a text are refused.
 */
import { SaxesParser, type SaxesTagNS } from "saxes";
import { InputError } from "../../base/finding.js";
import type { OnStep } from "../../base/pace.js";
import { damaged, quote, tooLarge, truncated } from "../damage.js";
import { MAX_ELEMENT_DEPTH, MAX_ENTITIES } from "../limits.js";

export interface SvgElement {
  readonly name: string;
  readonly attributes: ReadonlyMap<string, string>;
  readonly children: readonly SvgElement[];
  /** Text right in a style element, else empty. */
  readonly text: string;
  /** Line of the file it begins on. */
  readonly line: number;
}

interface OpenElement extends SvgElement {
  readonly children: SvgElement[];
  text: string;
}

const SVG = "http://www.w3.org/2000/svg";

/** Attributes with a prefix that are of use here; others with a prefix must not pass for SVG's own. */
const PREFIXED = new Set(["href", "label", "groupmode"]);

/** Characters from one call of `onStep` to the next: some milliseconds. */
const STEP = 65_536;

/**
 * The root element with everything in it.
 *
 * @throws {InputError} `drawing/not-svg`, `drawing/damaged`, `drawing/truncated`, `drawing/too-large`,
 *   `drawing/declarations`
 */
export function parseSvg(text: string, onStep: OnStep): SvgElement {
  const parser = new SaxesParser({ xmlns: true });
  const open: OpenElement[] = [];
  let root: SvgElement | null = null;
  let count = 0;
  let line = 1;
  let foreignDepth = 0;
  parser.on("error", (error) => {
    throw xmlFault(
      error,
      parser.line,
      /<\/(?:[\w.-]+:)?svg\s*>\s*$/.test(text.slice(-64)),
    );
  });
  parser.on("doctype", (content) => {
    const declared = declaredTexts(content, text.length);
    for (const [name, value] of declared) parser.ENTITIES[name] = value;
  });
  parser.on("opentagstart", () => {
    line = parser.line;
    if (open.length + foreignDepth >= MAX_ELEMENT_DEPTH)
      throw tooLarge(`has groups more than ${MAX_ELEMENT_DEPTH} deep`);
  });
  parser.on("opentag", (tag) => {
    if (++count > MAX_ENTITIES)
      throw tooLarge(`holds more than ${MAX_ENTITIES} elements`);
    const svg = tag.uri === SVG || tag.uri === "";
    if (open.length === 0 && !(svg && tag.local === "svg"))
      throw notSvg(`an XML document of the kind ${quote(tag.name)}`);
    if (foreignDepth > 0 || !svg) {
      foreignDepth++;
      return;
    }
    const element: OpenElement = {
      name: tag.local,
      attributes: attributesOf(tag),
      children: [],
      text: "",
      line,
    };
    open.at(-1)?.children.push(element);
    root ??= element;
    open.push(element);
  });
  parser.on("closetag", () => {
    if (foreignDepth > 0) foreignDepth--;
    else open.pop();
  });
  const keepText = (content: string): void => {
    const element = open.at(-1);
    if (element?.name === "style" && foreignDepth === 0)
      element.text += content;
  };
  parser.on("text", keepText);
  parser.on("cdata", keepText);
  for (let at = 0; at < text.length; at += STEP) {
    onStep();
    parser.write(text.slice(at, at + STEP));
  }
  parser.close();
  // Without an element the parser has complained already.
  if (root === null) throw notSvg("no SVG");
  return root;
}

function attributesOf({ attributes }: SaxesTagNS): Map<string, string> {
  const kept = new Map<string, string>();
  for (const { uri, local, value } of Object.values(attributes)) {
    if (uri === "") kept.set(local, value);
    else if (PREFIXED.has(local) && !kept.has(local)) kept.set(local, value);
  }
  return kept;
}

export function notSvg(what: string): InputError {
  return new InputError(
    "drawing/not-svg",
    `The file is ${what}, not an SVG drawing; export the outlines as SVG or DXF.`,
  );
}

/** "12:3: unexpected close tag." is how the parser complains. */
function xmlFault(error: Error, line: number, ends: boolean): InputError {
  const what = /^(?:\d+:\d+: )?(.*?)\.?$/s.exec(error.message)?.[1] ?? "";
  if (what.startsWith("unclosed") || what.startsWith("unexpected end"))
    return ends
      ? damaged(line, "a quote or a name that begins with & is not closed")
      : truncated(line);
  if (what.includes("root")) return notSvg("not XML");
  const said = what.replace("undefined", "unknown").slice(0, 80);
  return damaged(line, `this is not well-formed XML (${said})`);
}

/** Characters of a text that a document may declare, and of a document that declares any: a name of four becomes at most as many. */
const LONGEST_TEXT = 200;
const LONGEST_WITH_TEXTS = 4_000_000;

/** Some drawing programs declare short names for namespaces. Texts that hold further names could grow without end. */
function declaredTexts(
  doctype: string,
  documentLength: number,
): [name: string, value: string][] {
  const plain = [
    ...doctype.matchAll(
      /<!ENTITY\s+([^\s%"'<>&]+)\s+(?:"([^"%&<]*)"|'([^'%&<]*)')\s*>/g,
    ),
  ].map(([, name, double, single]): [string, string] => [
    name as string,
    double ?? single ?? "",
  ]);
  const all = doctype.match(/<!ENTITY/g)?.length ?? 0;
  const refused =
    plain.length < all ||
    plain.some(([, value]) => value.length > LONGEST_TEXT) ||
    (all > 0 && documentLength > LONGEST_WITH_TEXTS);
  if (refused)
    throw new InputError(
      "drawing/declarations",
      "The SVG file declares texts of its own (ENTITY) that stand for other texts or files; such files are not read. Save the drawing as plain SVG.",
    );
  return plain;
}

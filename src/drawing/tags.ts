/**
 * DXF text as pairs of lines, a group code and its value: checked here, before the parser sees them. The parser
 * takes "1,5" for 1, prints warnings on stdout and never returns on a block without an end; so it is handed a text
 * of our own, well formed, that holds the geometry only.
 */
import type { Finding } from "../base/finding.js";
import { damaged, notDxf, quote, tooLarge, truncated } from "./damage.js";
import { MAX_ENTITIES } from "./limits.js";
import {
  blockReader,
  type Copied,
  entityReader,
  headerReader,
  IGNORED_SECTION,
  type LayerRecord,
  layerReader,
  type SectionReader,
} from "./sections.js";

export interface CheckedDxf {
  /** Well-formed DXF of BLOCKS and ENTITIES; the names of blocks are keys made by `blockKey`. */
  readonly text: string;
  /** Every entity name in it. */
  readonly kinds: ReadonlySet<string>;
  /** Line in the file of each entity, in the order of `text`. */
  readonly entityLines: readonly number[];
  readonly header: ReadonlyMap<string, string>;
  readonly layers: readonly LayerRecord[];
  readonly findings: readonly Finding[];
}

/** @throws {InputError} `drawing/not-dxf`, `drawing/truncated`, `drawing/damaged`, `drawing/bad-number`, `drawing/too-large` */
export function checkTags(text: string): CheckedDxf {
  const lines = text.split(/\r\n|\r|\n/);
  while (lines.at(-1)?.trim() === "") lines.pop();

  const header = new Map<string, string>();
  const layers: LayerRecord[] = [];
  const kinds = new Set<string>();
  const blocks: Copied = { lines: [], entityLines: [], kinds };
  const entities: Copied = { lines: [], entityLines: [], kinds };
  const readers: ReadonlyMap<string, SectionReader> = new Map([
    ["HEADER", headerReader(header)],
    ["TABLES", layerReader(layers)],
    ["BLOCKS", blockReader(blocks)],
    ["ENTITIES", entityReader(entities)],
  ]);

  const { readTo, ended, sections } = walkSections(lines, readers);
  const findings: Finding[] = [];
  if (!ended) {
    // Whole sections are a whole drawing; anything less may lack the half that matters.
    if (!sections.has("ENTITIES")) throw truncated(lines.length);
    findings.push({
      code: "drawing/no-end-mark",
      severity: "note",
      message:
        "The file lacks its end mark (EOF), but its entities are complete; they were read.",
    });
  } else if (readTo < lines.length) {
    findings.push({
      code: "drawing/after-end-mark",
      severity: "note",
      message: `The file goes on after its end mark; lines from ${readTo + 1} on were not read.`,
    });
  }
  const entityLines = [...blocks.entityLines, ...entities.entityLines];
  if (entityLines.length > MAX_ENTITIES)
    throw tooLarge(
      `holds ${entityLines.length} entities, more than ${MAX_ENTITIES}`,
    );
  const cleanText = `${cleanSection("BLOCKS", blocks)}${cleanSection("ENTITIES", entities)}0\nEOF\n`;
  return { text: cleanText, kinds, entityLines, header, layers, findings };
}

/** Reads sections up to the end mark; says where it stopped and which sections were whole. */
function walkSections(
  lines: readonly string[],
  readers: ReadonlyMap<string, SectionReader>,
): { readTo: number; ended: boolean; sections: ReadonlySet<string> } {
  const groupCode = groupCodeReader();
  const sections = new Set<string>();
  let name = "";
  let reader: SectionReader | null = null;
  for (let i = 0; i < lines.length; i += 2) {
    const code = groupCode(lines[i] as string, i + 1);
    const value = lines[i + 1]?.trim();
    if (value === undefined) {
      // An empty last value was trimmed off with the blank lines at the end; only comments may end so.
      if (reader === null && code === 999) break;
      throw truncated(lines.length);
    }
    if (reader === null) {
      if (code === 999) continue;
      if (code === 0 && value === "EOF")
        return { readTo: i + 2, ended: true, sections };
      if (code !== 0 || value !== "SECTION") throw strayTag(i, code, value);
      i += 2;
      if (lines[i + 1] === undefined) throw truncated(lines.length);
      if (groupCode(lines[i] as string, i + 1) !== 2)
        throw damaged(i + 1, "a section begins without its name");
      name = (lines[i + 1] as string).trim().toUpperCase();
      reader = readers.get(name) ?? IGNORED_SECTION;
    } else if (code === 0 && value === "ENDSEC") {
      reader.end(i + 2);
      sections.add(name);
      reader = null;
    } else {
      if (code === 0 && value === "EOF") throw truncated(i + 2);
      if (code === 0 && value === "SECTION")
        throw damaged(i + 2, `the section ${name} has no end`);
      reader.tag(code, value, i + 2);
    }
  }
  if (reader !== null) throw truncated(lines.length);
  return { readTo: lines.length, ended: false, sections };
}

/** Group codes are few and repeat, so each spelling is looked at once. */
function groupCodeReader(): (text: string, lineNumber: number) => number {
  const known = new Map<string, number>();
  return (text, lineNumber) => {
    const seen = known.get(text);
    if (seen !== undefined) return seen;
    if (!/^\s*-?\d{1,5}\s*$/.test(text)) {
      if (lineNumber === 1)
        throw notDxf(`something that begins with ${quote(text)}`);
      throw damaged(
        lineNumber,
        `a group code should stand here, not ${quote(text)}`,
      );
    }
    const code = Number.parseInt(text, 10);
    if (known.size < 10_000) known.set(text, code);
    return code;
  };
}

function strayTag(i: number, code: number, value: string): Error {
  if (i === 0) return notDxf("something that does not begin with a section");
  return damaged(i + 2, `${code} ${quote(value)} stands outside every section`);
}

function cleanSection(name: string, { lines }: Copied): string {
  const body = lines.length > 0 ? `${lines.join("\n")}\n` : "";
  return `0\nSECTION\n2\n${name}\n${body}0\nENDSEC\n`;
}

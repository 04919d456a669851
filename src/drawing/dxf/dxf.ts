/** The tags of a DXF file as a whole: its sections in any order, up to its end mark; entities and blocks as they stand. */
import type { Finding } from "../../base/finding.js";
import { damaged, notDxf, quote, truncated } from "../damage.js";
import {
  blockKey,
  blockReader,
  entityReader,
  headerReader,
  IGNORED_SECTION,
  type LayerRecord,
  layerReader,
  type RawBlock,
  type RawEntity,
  type SectionReader,
} from "./sections.js";
import type { Tags } from "./tags.js";

export interface RawDxf {
  readonly header: ReadonlyMap<string, string>;
  readonly layers: readonly LayerRecord[];
  readonly entities: readonly RawEntity[];
  /** The block of a name, whatever its case. */
  readonly block: (name: string) => RawBlock | undefined;
  readonly findings: readonly Finding[];
}

/** @throws {InputError} `drawing/not-dxf`, `drawing/truncated`, `drawing/damaged`, `drawing/bad-number`, `drawing/too-large` */
export function parseDxf(tags: Tags, onStep: () => void = () => {}): RawDxf {
  const header = new Map<string, string>();
  const layers: LayerRecord[] = [];
  const blocks = new Map<string, RawBlock>();
  const entities: RawEntity[] = [];
  const tally = { entities: 0, values: 0 };
  const findings = walkSections(
    tags,
    new Map([
      ["HEADER", headerReader(header)],
      ["TABLES", layerReader(layers)],
      ["BLOCKS", blockReader(blocks, tally)],
      ["ENTITIES", entityReader(entities, tally)],
    ]),
    onStep,
  );
  return {
    header,
    layers,
    entities,
    block: (name) => blocks.get(blockKey(name)),
    findings,
  };
}

/** Lines from one call of `onStep` to the next: some milliseconds. */
const STEP = 16_384;

/** Hands each section to its reader, up to the end mark; says what is odd about the end. */
function walkSections(
  tags: Tags,
  readers: ReadonlyMap<string, SectionReader>,
  onStep: () => void,
): Finding[] {
  const whole = new Set<string>();
  let name: string | null = null;
  let reader: SectionReader | null = null;
  let ended = false;
  const { line: last, more } = tags((code, value, line) => {
    if (line % STEP === 0) onStep();
    if (reader !== null) {
      if (code !== 0) reader.tag(code, value, line);
      else if (value === "ENDSEC") {
        reader.end(line);
        whole.add(name ?? "");
        reader = null;
        name = null;
      } else if (value === "EOF") throw truncated(line);
      else if (value === "SECTION")
        throw damaged(line, `the section ${name} has no end`);
      else reader.tag(code, value, line);
    } else if (name !== null) {
      if (code !== 2)
        throw damaged(line - 1, "a section begins without its name");
      name = String(value).toUpperCase();
      reader = readers.get(name) ?? IGNORED_SECTION;
    } else if (code === 0 && value === "SECTION") name = "";
    else if (code === 0 && value === "EOF") ended = true;
    else if (code !== 999) throw strayTag(code, value, line);
    return !ended;
  });
  if (name !== null) throw truncated(last);
  if (ended) return more ? [goesOn(last)] : [];
  // Whole sections are a whole drawing; anything less may lack the half that matters.
  if (!whole.has("ENTITIES")) throw truncated(last);
  return [NO_END_MARK];
}

const NO_END_MARK: Finding = {
  code: "drawing/no-end-mark",
  severity: "note",
  message:
    "The file lacks its end mark (EOF), but its entities are complete; they were read.",
};

function goesOn(last: number): Finding {
  return {
    code: "drawing/after-end-mark",
    severity: "note",
    message: `The file goes on after its end mark; lines from ${last + 1} on were not read.`,
  };
}

function strayTag(code: number, value: string | number, line: number): Error {
  if (line === 2) return notDxf("something that does not begin with a section");
  return damaged(
    line,
    `${code} ${quote(String(value))} stands outside every section`,
  );
}

/**
 * What is kept of each section of a DXF file. Of geometry (BLOCKS, ENTITIES) every entity is kept, with those of its
 * tags that are read; the rest of the sections is walked over.
 */

import { badNumber, damaged, quote, tooLarge } from "../damage.js";
import { MAX_ENTITIES, MAX_LAYERS, MAX_VALUES } from "../limits.js";
import { plainName } from "./code-page.js";
import { numberFrom } from "./number-text.js";

/** An entity as the file has it: drawing units, degrees, its own coordinate system. */
export interface RawEntity {
  readonly type: string;
  /** Group codes and their values in turn: a file has a million of them. */
  readonly numbers: readonly number[];
  /** Groups 8, 6 and 2 as they stand; "" when it has none. */
  readonly layer: string;
  readonly lineType: string;
  readonly name: string;
  /** Line of the file it begins on. */
  readonly line: number;
}

export interface RawBlock {
  readonly base: {
    readonly x: number;
    readonly y: number;
    readonly z: number;
  };
  readonly entities: readonly RawEntity[];
  /** The drawing that holds its content, when this one does not (external reference). */
  readonly external: string | null;
  /** How often the file defines a block of this name. */
  readonly definitions: number;
}

/** Takes the tags of one section, between its name and its end. */
export interface SectionReader {
  tag(code: number, value: string | number, line: number): void;
  end(line: number): void;
}

export const IGNORED_SECTION: SectionReader = { tag() {}, end() {} };

/** Header variables that are read. */
const WANTED_VARIABLES: ReadonlySet<string> = new Set([
  "$INSUNITS",
  "$MEASUREMENT",
  "$DIMLFAC",
]);

/** First value of each header variable that is read. */
export function headerReader(header: Map<string, string>): SectionReader {
  let variable: string | null = null;
  return {
    tag(code, value) {
      if (code === 9) {
        const name = String(value).toUpperCase();
        variable = WANTED_VARIABLES.has(name) ? name : null;
      } else if (variable !== null && !header.has(variable))
        header.set(variable, String(value));
    },
    end() {},
  };
}

export interface LayerRecord {
  readonly name: string;
  readonly state: "on" | "off" | "frozen";
  /** Group 6 as it stands. */
  readonly lineType: string;
}

/** Layers: flag bit 1 is frozen (bit 2 only concerns new viewports), a negative colour is off (DXF reference, LAYER). */
export function layerReader(layers: LayerRecord[]): SectionReader {
  let draft: {
    name: string;
    lineType: string;
    flags: number;
    color: number;
  } | null = null;
  const finish = () => {
    if (!draft) return;
    const { name, lineType, flags, color } = draft;
    const state = (flags & 1) !== 0 ? "frozen" : color < 0 ? "off" : "on";
    if (layers.push({ name, state, lineType }) > MAX_LAYERS)
      throw tooLarge(`has more than ${MAX_LAYERS} layers`);
    draft = null;
  };
  return {
    tag(code, value) {
      if (code === 0) {
        finish();
        if (value === "LAYER")
          draft = { name: "", lineType: "", flags: 0, color: 7 };
      } else if (draft) {
        if (code === 2) draft.name = String(value);
        else if (code === 6) draft.lineType = String(value);
        else if (code === 70) draft.flags = Math.trunc(Number(value)) || 0;
        else if (code === 62) draft.color = Math.trunc(Number(value)) || 0;
      }
    },
    end: finish,
  };
}

/** How much was kept so far, over all sections. */
export interface Tally {
  entities: number;
  values: number;
}

export function entityReader(
  entities: RawEntity[],
  tally: Tally,
): SectionReader {
  let current: Draft | null = null;
  return {
    tag(code, value, line) {
      if (code === 0) {
        current = draftEntity(value, line, tally);
        entities.push(current);
      } else if (current) keepTag(current, code, value, line, tally);
    },
    end() {},
  };
}

/** Block names do not heed case. */
export function blockKey(name: string): string {
  return plainName(name).toUpperCase();
}

/** An external reference (flag 4) names its file in group 1. */
const EXTERNAL = 4;

export function blockReader(
  blocks: Map<string, RawBlock>,
  tally: Tally,
): SectionReader {
  let draft: BlockDraft | null = null;
  let current: Draft | null = null;
  return {
    tag(code, value, line) {
      if (code === 0 && value === "BLOCK") {
        if (draft) throw damaged(line, "a block begins inside another");
        draft = draftBlock();
        countEntity(tally);
        current = null;
      } else if (code === 0 && value === "ENDBLK") {
        if (!draft) throw damaged(line, "a block ends that never began");
        const definitions = (blocks.get(draft.key)?.definitions ?? 0) + 1;
        const external = (draft.flags & EXTERNAL) !== 0 ? draft.path : null;
        blocks.set(draft.key, { ...draft, external, definitions });
        draft = null;
        current = null;
      } else if (!draft) return;
      else if (code === 0) {
        current = draftEntity(value, line, tally);
        draft.entities.push(current);
      } else if (current) keepTag(current, code, value, line, tally);
      else if (code === 2) draft.key = blockKey(String(value));
      else if (code === 1) draft.path = String(value);
      else if (code === 70) draft.flags = sound(value, line);
      else if (code === 10) draft.base.x = sound(value, line);
      else if (code === 20) draft.base.y = sound(value, line);
      else if (code === 30) draft.base.z = sound(value, line);
    },
    end(line) {
      if (draft) throw damaged(line, "a block has no end");
    },
  };
}

interface BlockDraft {
  key: string;
  path: string;
  flags: number;
  readonly base: { x: number; y: number; z: number };
  readonly entities: RawEntity[];
}

function draftBlock(): BlockDraft {
  return {
    key: "",
    path: "",
    flags: 0,
    base: { x: 0, y: 0, z: 0 },
    entities: [],
  };
}

interface Draft extends RawEntity {
  readonly numbers: number[];
  layer: string;
  lineType: string;
  name: string;
  /** The group codes that are read, of an entity of this type. */
  readonly kept: ReadonlySet<number>;
}

function countEntity(tally: Tally): void {
  if (++tally.entities > MAX_ENTITIES)
    throw tooLarge(`holds more than ${MAX_ENTITIES} entities`);
}

function draftEntity(
  value: string | number,
  line: number,
  tally: Tally,
): Draft {
  countEntity(tally);
  const type = String(value);
  if (!/^\d*[A-Za-z_][\w$:.-]*$/.test(type))
    throw damaged(line, `${quote(type)} is not the name of an entity`);
  return {
    type,
    numbers: [],
    layer: "",
    lineType: "",
    name: "",
    line,
    kept: DRAWN.has(type) ? ALL_CODES : FEW_CODES,
  };
}

/** Entities whose numbers are used; of every other one only the layer is, and whether it is to be seen. */
const DRAWN: ReadonlySet<string> = new Set([
  ...["LINE", "ARC", "CIRCLE", "LWPOLYLINE", "POLYLINE", "VERTEX"],
  ...["ELLIPSE", "SPLINE", "POINT", "INSERT"],
]);

/** In paper space (67) or invisible (60). */
const FEW_CODES: ReadonlySet<number> = new Set([6, 8, 60, 67]);

const ALL_CODES: ReadonlySet<number> = new Set([
  ...[2, 6, 8, 10, 11, 12, 13, 20, 21, 22, 23, 30, 31, 32, 33, 38, 39],
  ...[40, 41, 42, 43, 44, 45, 50, 51, 60, 67, 70, 71, 210, 220, 230],
]);

function keepTag(
  to: Draft,
  code: number,
  value: string | number,
  line: number,
  tally: Tally,
): void {
  if (!to.kept.has(code)) return;
  if (++tally.values > MAX_VALUES)
    throw tooLarge(`holds more than ${MAX_VALUES} numbers`);
  if (code === 8) to.layer ||= String(value);
  else if (code === 6) to.lineType ||= String(value).trim();
  else if (code === 2) to.name ||= String(value);
  else if (to.kept === ALL_CODES) to.numbers.push(code, sound(value, line));
  else {
    const n = numberFrom(value);
    if (Number.isFinite(n)) to.numbers.push(code, n);
  }
}

function sound(value: string | number, line: number): number {
  const n = numberFrom(value);
  if (!Number.isFinite(n)) throw badNumber(line, String(value));
  return n;
}

/**
 * What is kept of each section of a DXF file. Geometry (BLOCKS, ENTITIES) is copied for the parser, but only codes
 * that are read and only sound numbers; the rest of the sections is walked over.
 */
import { badNumber, damaged, quote } from "./damage.js";

/** Takes the tags of one section, between its name and its end. */
export interface SectionReader {
  tag(code: number, value: string, lineNumber: number): void;
  end(lineNumber: number): void;
}

export const IGNORED_SECTION: SectionReader = { tag() {}, end() {} };

/** First value of each header variable, e.g. `$INSUNITS`. */
export function headerReader(header: Map<string, string>): SectionReader {
  let variable: string | null = null;
  return {
    tag(code, value) {
      if (code === 9) variable = value.toUpperCase();
      else if (variable !== null && !header.has(variable))
        header.set(variable, value);
    },
    end() {},
  };
}

export interface LayerRecord {
  readonly name: string;
  readonly state: "on" | "off" | "frozen";
}

/** Layers: flag bit 1 is frozen (bit 2 only concerns new viewports), a negative colour is off (DXF reference, LAYER). */
export function layerReader(layers: LayerRecord[]): SectionReader {
  let draft: { name: string; flags: number; color: number } | null = null;
  const finish = () => {
    if (!draft) return;
    const { name, flags, color } = draft;
    const state = (flags & 1) !== 0 ? "frozen" : color < 0 ? "off" : "on";
    layers.push({ name, state });
    draft = null;
  };
  return {
    tag(code, value) {
      if (code === 0) {
        finish();
        if (value === "LAYER") draft = { name: "", flags: 0, color: 7 };
      } else if (draft) {
        if (code === 2) draft.name = value;
        else if (code === 70) draft.flags = Number.parseInt(value, 10) || 0;
        else if (code === 62) draft.color = Number.parseInt(value, 10) || 0;
      }
    },
    end: finish,
  };
}

/** Geometry on its way to the parser: alternating code and value lines, and the line each entity came from. */
export interface Copied {
  readonly lines: string[];
  readonly entityLines: number[];
  readonly kinds: Set<string>;
}

export function entityReader(to: Copied): SectionReader {
  let kind = "";
  return {
    tag(code, value, lineNumber) {
      if (code === 0) {
        kind = beginEntity(to, value, lineNumber);
      } else if (kind !== "") copyTag(to, kind, code, value, lineNumber);
    },
    end() {},
  };
}

/** Block names do not heed case; the mark keeps a name such as `__proto__` from meaning something to JavaScript. */
export function blockKey(name: string): string {
  return `#${name.trim().toUpperCase()}`;
}

export function blockReader(to: Copied): SectionReader {
  let inBlock = false;
  let kind = "";
  return {
    tag(code, value, lineNumber) {
      if (code === 0) {
        if (value === "BLOCK" || value === "ENDBLK") {
          const begins = value === "BLOCK";
          if (begins && inBlock)
            throw damaged(lineNumber, "a block begins inside another");
          if (!begins && !inBlock)
            throw damaged(lineNumber, "a block ends that never began");
          inBlock = begins;
          kind = value;
          to.lines.push("0", value);
        } else if (inBlock) kind = beginEntity(to, value, lineNumber);
      } else if (kind === "BLOCK") {
        if (code === 2) to.lines.push("2", blockKey(value));
        else if (code === 10 || code === 20 || code === 30 || code === 70)
          to.lines.push(String(code), sound(value, lineNumber));
      } else if (inBlock) copyTag(to, kind, code, value, lineNumber);
    },
    end(lineNumber) {
      if (inBlock) throw damaged(lineNumber, "a block has no end");
    },
  };
}

function beginEntity(to: Copied, name: string, lineNumber: number): string {
  if (!/^[A-Za-z0-9][A-Za-z0-9_]*$/.test(name))
    throw damaged(lineNumber, `${quote(name)} is not the name of an entity`);
  to.lines.push("0", name);
  to.entityLines.push(lineNumber);
  to.kinds.add(name);
  return name;
}

/** Entities whose numbers are used; of every other one only the layer is. */
const READ_KINDS: ReadonlySet<string> = new Set([
  ...["LINE", "ARC", "CIRCLE", "LWPOLYLINE", "POLYLINE", "VERTEX", "SEQEND"],
  ...["ELLIPSE", "SPLINE", "POINT", "INSERT"],
]);

function copyTag(
  to: Copied,
  kind: string,
  code: number,
  value: string,
  lineNumber: number,
): void {
  if (code === 8) to.lines.push("8", value);
  else if (!READ_KINDS.has(kind)) {
    // In paper space or invisible: asked of skipped entities too.
    if ((code === 67 || code === 60) && SOUND_NUMBER.test(value))
      to.lines.push(String(code), value);
  } else if (code === 2) to.lines.push("2", value);
  else if ((code >= 10 && code <= 99) || (code >= 210 && code <= 239))
    to.lines.push(String(code), sound(value, lineNumber));
}

const SOUND_NUMBER = /^[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?$/;

function sound(value: string, lineNumber: number): string {
  if (!SOUND_NUMBER.test(value) || !Number.isFinite(Number(value)))
    throw badNumber(lineNumber, value);
  return value;
}

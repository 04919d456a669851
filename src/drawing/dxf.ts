/**
 * DXF text to raw entities, through dxf-parser: the only file that imports it. Its own entity readers lose fields
 * (extrusions, weights, vertices), so one reader of ours keeps every entity's group codes as they stand.
 */
import * as dxf from "dxf-parser";
import { InputError } from "../base/finding.js";
import { blockKey } from "./sections.js";
import type { CheckedDxf } from "./tags.js";

export interface Tag {
  readonly code: number;
  readonly value: string | number;
}

/** An entity as the file has it: drawing units, degrees, its own coordinate system. */
export interface RawEntity {
  readonly type: string;
  readonly tags: readonly Tag[];
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
}

export interface RawDxf {
  readonly entities: readonly RawEntity[];
  /** The block of a name, whatever its case. */
  readonly block: (name: string) => RawBlock | undefined;
}

// Under NodeNext the default import runs but does not type-check and the named one type-checks but does not run.
const DxfParser = dxf.default as unknown as typeof dxf.DxfParser;
type Parser = InstanceType<typeof DxfParser>;
type Handler = InstanceType<Parameters<Parser["registerEntityHandler"]>[0]>;

/** @throws {InputError} `drawing/damaged` when the parser gives up. */
export function parseDxf(checked: CheckedDxf): RawDxf {
  const parser = new DxfParser();
  let next = 0;
  const keepTags: Handler["parseEntity"] = (scanner, current) => {
    const tags: Tag[] = [];
    const type = String(current.value);
    let group = scanner.next();
    while (group.code !== 0) {
      tags.push(group as Tag);
      group = scanner.next();
    }
    const line = checked.entityLines[next++] ?? 0;
    const raw: RawEntity & { handle: string } = {
      type,
      tags,
      line,
      handle: "-",
    };
    return raw as unknown as ReturnType<Handler["parseEntity"]>;
  };
  for (const kind of checked.kinds) {
    parser.registerEntityHandler(
      class {
        readonly ForEntityName = kind as Handler["ForEntityName"];
        readonly parseEntity = keepTags;
      },
    );
  }

  let parsed: ReturnType<Parser["parseSync"]>;
  try {
    parsed = parser.parseSync(checked.text);
  } catch (error) {
    throw new InputError(
      "drawing/damaged",
      `The drawing cannot be read (${(error as Error).message}); save the drawing again.`,
    );
  }
  const blocks = new Map(Object.entries(parsed?.blocks ?? {}));
  return {
    entities: (parsed?.entities ?? []) as unknown as RawEntity[],
    block: (name) => {
      const found = blocks.get(blockKey(name));
      if (!found) return undefined;
      return {
        // A block without a base point has it at the origin.
        base: Object.assign({ x: 0, y: 0, z: 0 }, found.position),
        entities: (found.entities ?? []) as unknown as RawEntity[],
      };
    },
  };
}

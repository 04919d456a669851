/** INSERT entities: where each cell of one stands, and how much it comes to when all blocks in it are expanded. */
import { trimmed } from "../../base/numbers.js";
import { CHAIN_GAP } from "../../base/tolerance.js";
import {
  compose,
  objectSystem,
  type Placement,
  rotation,
  scaling,
  translation,
  type Vec3,
} from "../placement.js";
import type { RawDxf } from "./dxf.js";
import {
  type Entity,
  extrusion,
  groupVertices,
  number,
  ownPlacement,
  point,
} from "./entity.js";
import { blockKey, type RawBlock } from "./sections.js";

export interface Block extends Omit<RawBlock, "entities"> {
  readonly key: string;
  readonly entities: readonly Entity[];
}

/** Finds a block by its name, whatever the case; its polylines are put together once. */
export function blockFinder(dxf: RawDxf): (name: string) => Block | undefined {
  const known = new Map<string, Block>();
  return (name) => {
    const key = blockKey(name);
    const before = known.get(key);
    if (before) return before;
    const raw = dxf.block(name);
    if (!raw) return undefined;
    const block = { ...raw, key, entities: groupVertices(raw.entities) };
    known.set(key, block);
    return block;
  };
}

/** Columns and rows of the array that an INSERT may be, at least one each; without spacing all of them are one. */
export function cellsOf(e: Entity): readonly [columns: number, rows: number] {
  const count = (code: number, spacing: number) =>
    number(e, spacing, 0) === 0
      ? 1
      : Math.max(1, Math.trunc(number(e, code, 1)));
  return [count(70, 44), count(71, 45)];
}

/** Counts the entities and cells an INSERT comes to, blocks in blocks too; a block in itself counts once. */
export function expansionCounter(
  find: (name: string) => Block | undefined,
): (e: Entity) => number {
  const known = new Map<string, number>();
  const ofBlock = (block: Block): number => {
    const before = known.get(block.key);
    if (before !== undefined) return before;
    known.set(block.key, 0);
    let count = 0;
    for (const e of block.entities)
      count += e.type === "INSERT" ? ofInsert(e) : 1;
    known.set(block.key, count);
    return count;
  };
  const ofInsert = (e: Entity): number => {
    const block = find(e.name);
    const [columns, rows] = cellsOf(e);
    return block ? columns * rows * (1 + ofBlock(block)) : 1;
  };
  return ofInsert;
}

/** Scale, then the cell of the array, then turn, then the place in the insertion's own system; less the block's base. */
export function cellPlacements(
  e: Entity,
  { base }: Block,
): (column: number, row: number) => Placement {
  const scale = scaling(number(e, 41, 1), number(e, 42, 1), zScale(e));
  const at = translation(point(e, 10) ?? { x: 0, y: 0, z: 0 });
  const turn = rotation(number(e, 50, 0));
  const own = [objectSystem(extrusion(e)), at, turn].reduce(compose);
  const toBase = translation({ x: -base.x, y: -base.y, z: -base.z });
  const across = number(e, 44, 0);
  const up = number(e, 45, 0);
  return (column, row) => {
    const cell = translation({ x: column * across, y: row * up, z: 0 });
    return compose(compose(compose(own, cell), scale), toBase);
  };
}

/** A z scale of 0 flattens what lies flat anyway. */
function zScale(e: Entity): number {
  return number(e, 43, 1) || 1;
}

/** Why an INSERT cannot stand anywhere, inside what is placed so, or `null`. */
export function insertFault(e: Entity, around: Placement): string | null {
  if (point(e, 10) === null) return "it lacks its place (group 10)";
  if (number(e, 41, 1) === 0 || number(e, 42, 1) === 0) return "its scale is 0";
  const [columns, rows] = cellsOf(e);
  const own = compose(ownPlacement(e, around), rotation(number(e, 50, 0)));
  const apart = (count: number, u: Vec3, step: number): number =>
    count > 1
      ? Math.hypot(u.x, u.y) * Math.abs(step)
      : Number.POSITIVE_INFINITY;
  const least = Math.min(
    apart(columns, own.u, number(e, 44, 0)),
    apart(rows, own.v, number(e, 45, 0)),
  );
  return least > CHAIN_GAP
    ? null
    : `its ${columns} × ${rows} copies stand ${trimmed(least, 6)} mm apart, nearer than ends that are joined`;
}

/**
 * The model space of a drawing with every block put in its place: shapes by layer, and a count of all that was left
 * out. Blocks may lie in blocks, mirrored, unevenly scaled, in rows and columns; a block in itself is refused.
 */
import type { Finding } from "../base/finding.js";
import type { Contour } from "../geometry/contour.js";
import { pair } from "../geometry/vec.js";
import { tooLarge } from "./damage.js";
import type { DrawnPoint, Layer, Repair, Skipped } from "./drawing.js";
import type { RawDxf } from "./dxf.js";
import {
  type Entity,
  extrusion,
  groupVertices,
  number,
  point,
  text,
} from "./entity.js";
import {
  faultyFinding,
  fitPointsFinding,
  loopFinding,
  missingBlockFinding,
  notFlatFinding,
  requireNear,
} from "./entity-findings.js";
import { layerBook } from "./layers.js";
import { MAX_BLOCK_DEPTH, MAX_ENTITIES, MAX_SEGMENTS } from "./limits.js";
import {
  compose,
  objectSystem,
  type Placement,
  rotation,
  scaling,
  translation,
} from "./placement.js";
import { shapeReader } from "./repeat.js";
import type { LayerRecord, RawEntity } from "./sections.js";
import type { Shape } from "./shape.js";

/** A drawn piece of outline: one entity, in drawing order. */
export interface Strand {
  readonly layer: string;
  readonly contour: Contour;
}

export interface Expanded {
  readonly strands: readonly Strand[];
  readonly points: readonly DrawnPoint[];
  readonly layers: readonly Layer[];
  readonly repairs: readonly Repair[];
  readonly skipped: readonly Skipped[];
  readonly findings: readonly Finding[];
}

export interface ExpandOptions {
  /** Drawing units to mm. */
  readonly root: Placement;
  /** Fit tolerance for curves, mm. */
  readonly fit: number;
  readonly wanted: (layer: string) => boolean;
}

/** Where an insertion stands: what its content inherits. */
interface Around {
  readonly place: Placement;
  /** The layer that content on layer 0 takes. */
  readonly layer: string;
  readonly blocks: readonly string[];
}

/** @throws {InputError} `drawing/too-large` */
export function expand(
  dxf: RawDxf,
  records: readonly LayerRecord[],
  { root, fit, wanted }: ExpandOptions,
): Expanded {
  const book = layerBook(records, wanted);
  const shapeOf = shapeReader(fit);
  const strands: Strand[] = [];
  const points: DrawnPoint[] = [];
  const repairs: Repair[] = [];
  const findings = new Map<string, Finding>();
  const grouped = new Map<string, readonly Entity[]>();
  let visits = 0;
  let segments = 0;

  // Said once for the same thing, however often its block is inserted.
  const tell = (thing: string | number, finding: Finding): void => {
    const key = `${finding.code} ${thing}`;
    if (!findings.has(key)) findings.set(key, finding);
  };

  const countVisit = (): void => {
    if (++visits > MAX_ENTITIES)
      throw tooLarge(
        `holds more than ${MAX_ENTITIES} entities when its blocks are expanded`,
      );
  };

  const visit = (e: Entity, around: Around): void => {
    countVisit();
    const layer = book.name(text(e, 8), around.layer);
    const hidden = hiddenBecause(e) ?? book.hidden(layer, e.type === "INSERT");
    if (hidden !== null) book.skip(e.type, layer, hidden);
    else if (e.type === "INSERT") insert(e, layer, around);
    else take(e, layer, shapeOf(e, around.place));
  };

  const take = (e: Entity, layer: string, shape: Shape): void => {
    switch (shape.kind) {
      case "strand":
        book.count(layer);
        segments += shape.contour.segments.length;
        if (segments > MAX_SEGMENTS)
          throw tooLarge(`has more than ${MAX_SEGMENTS} lines and arcs`);
        for (const s of shape.contour.segments) requireNear(s.start, e);
        for (const s of shape.contour.segments.slice(-1)) requireNear(s.end, e);
        strands.push({ layer, contour: shape.contour });
        if (shape.byFitPoints)
          tell(e.line, fitPointsFinding(e, layer, shape.contour));
        break;
      case "point":
        book.count(layer);
        requireNear(shape.at, e);
        points.push({ layer, at: shape.at });
        break;
      case "nothing":
        book.count(layer);
        repairs.push({
          kind: "zero-length-dropped",
          layer,
          at: pair(shape.at),
          size: 0,
        });
        break;
      case "not-flat":
        book.skip(e.type, layer, null);
        tell(`${e.type} ${layer}`, notFlatFinding(e, layer));
        break;
      case "unread":
        book.skip(shape.as, layer, null);
        break;
      case "faulty":
        book.skip(e.type, layer, null);
        tell(e.line, faultyFinding(e, layer, shape.why));
        break;
    }
  };

  const insert = (e: Entity, layer: string, around: Around): void => {
    const name = text(e, 2) ?? "";
    const block = dxf.block(name);
    const key = name.toUpperCase();
    if (!block) {
      book.skip("INSERT", layer, null);
      tell(key, missingBlockFinding(e, layer, name));
      return;
    }
    if (around.blocks.includes(key)) {
      book.skip("INSERT", layer, null);
      tell(key, loopFinding(e, layer, name));
      return;
    }
    if (around.blocks.length >= MAX_BLOCK_DEPTH)
      throw tooLarge(
        `has blocks within blocks more than ${MAX_BLOCK_DEPTH} deep`,
      );
    let content = grouped.get(key);
    if (!content) {
      content = groupVertices(block.entities);
      grouped.set(key, content);
    }
    const columns = Math.max(1, Math.trunc(number(e, 70, 1)));
    const rows = Math.max(1, Math.trunc(number(e, 71, 1)));
    if (columns * rows > MAX_ENTITIES)
      throw tooLarge(
        `inserts the block "${name}" ${columns * rows} times at once`,
      );
    const base = translation({
      x: -block.base.x,
      y: -block.base.y,
      z: -block.base.z,
    });
    for (let row = 0; row < rows; row++)
      for (let column = 0; column < columns; column++) {
        countVisit();
        const cell = insertPlacement(e, column, row);
        const place = compose(around.place, compose(cell, base));
        for (const inner of content)
          visit(inner, { place, layer, blocks: [...around.blocks, key] });
      }
  };

  for (const e of groupVertices(dxf.entities))
    visit(e, { place: root, layer: "0", blocks: [] });
  return {
    strands,
    points,
    repairs,
    layers: book.layers(),
    skipped: book.skipped(),
    findings: [...book.findings(), ...findings.values()],
  };
}

/** Drawn, but not in the model or not to be seen. */
function hiddenBecause(e: RawEntity): string | null {
  if (number(e, 67, 0) === 1) return "it lies in paper space";
  if (number(e, 60, 0) === 1) return "it is drawn invisible";
  return null;
}

/** Scale, then the cell of the array, then turn, then the place in the insertion's own system. A scale of 0 stands for 1. */
function insertPlacement(e: Entity, column: number, row: number): Placement {
  const scale = scaling(
    number(e, 41, 1) || 1,
    number(e, 42, 1) || 1,
    number(e, 43, 1) || 1,
  );
  const cell = translation({
    x: column * number(e, 44, 0),
    y: row * number(e, 45, 0),
    z: 0,
  });
  const at = translation(point(e, 10) ?? { x: 0, y: 0, z: 0 });
  const turn = rotation(number(e, 50, 0));
  return [objectSystem(extrusion(e)), at, turn, cell, scale].reduce(compose);
}

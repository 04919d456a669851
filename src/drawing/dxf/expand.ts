/**
 * The model space of a drawing with every block put in its place: shapes by layer, and a count of all that was left
 * out. Blocks may lie in blocks, mirrored, unevenly scaled, in rows and columns; a block in itself is refused.
 */

import type { Finding } from "../../base/finding.js";
import { nameText, quoted } from "../../base/message.js";
import { type OnStep, oneIn } from "../../base/pace.js";
import type { Contour } from "../../geometry/contour.js";
import type { Fit } from "../../geometry/fit/fit-arcs.js";
import { pair } from "../../geometry/vec.js";
import { tooLarge } from "../damage.js";
import type {
  DrawnPoint,
  Layer,
  LineType,
  Repair,
  Skipped,
} from "../drawing.js";
import { layerBook } from "../layers.js";
import { MAX_BLOCK_DEPTH, MAX_ENTITIES, MAX_SEGMENTS } from "../limits.js";
import { CONTINUOUS, lineTypeBook } from "../line-types.js";
import { compose, type Placement } from "../placement.js";
import { remarkBook } from "../remarks.js";
import { shapeReader } from "../repeat.js";
import type { Shape } from "../shape.js";
import type { RawDxf } from "./dxf.js";
import { type Entity, groupVertices, number } from "./entity.js";
import {
  blockFinding,
  faultyFinding,
  fitPointsFinding,
  notFlatFinding,
  requireNear,
} from "./entity-findings.js";
import {
  type Block,
  blockFinder,
  cellPlacements,
  cellsOf,
  expansionCounter,
  insertFault,
} from "./inserts.js";
import type { LayerRecord, RawEntity } from "./sections.js";

/** A drawn piece of outline: one entity, in drawing order. */
export interface Strand {
  readonly layer: string;
  readonly contour: Contour;
  /** Unless it is continuous. */
  readonly lineType?: string;
}

export interface Expanded {
  readonly strands: readonly Strand[];
  readonly points: readonly DrawnPoint[];
  readonly layers: readonly Layer[];
  readonly lineTypes: readonly LineType[];
  readonly repairs: readonly Repair[];
  readonly skipped: readonly Skipped[];
  readonly findings: readonly Finding[];
}

export interface ExpandOptions {
  /** Drawing units to mm. */
  readonly root: Placement;
  readonly fit: Fit;
  readonly wanted: (layer: string) => boolean;
  readonly skippedType: (lineType: string) => boolean;
  /** Called every now and then. */
  readonly onStep: OnStep;
}

/** Where an insertion stands: what its content inherits. */
interface Around {
  readonly place: Placement;
  /** The layer that content on layer 0 takes. */
  readonly layer: string;
  /** The line type that content takes whose own is BYBLOCK. */
  readonly lineType: string;
  readonly blocks: readonly string[];
}

/** Entities that are drawn as a line, of a type. */
const LINED: ReadonlySet<string> = new Set([
  ...["LINE", "ARC", "CIRCLE", "LWPOLYLINE", "POLYLINE", "ELLIPSE", "SPLINE"],
]);

/** Entities from one call of `onStep` to the next: some milliseconds. */
const STEP = 1024;

/** @throws {InputError} `drawing/too-large` */
export function expand(
  dxf: RawDxf,
  records: readonly LayerRecord[],
  { root, fit, wanted, skippedType, onStep }: ExpandOptions,
): Expanded {
  const book = layerBook(records, wanted);
  const types = lineTypeBook(skippedType);
  const remarks = remarkBook();
  const shapeOf = shapeReader(fit);
  const findBlock = blockFinder(dxf);
  const expansion = expansionCounter(findBlock);
  const strands: Strand[] = [];
  const points: DrawnPoint[] = [];
  const repairs: Repair[] = [];
  const findings = new Map<string, Finding>();
  let expanded = 0;
  const step = oneIn(STEP, onStep);
  let segments = 0;

  // Said once for the same thing, however often its block is inserted.
  const tell = (thing: string | number, finding: Finding): void => {
    const key = `${finding.code} ${thing}`;
    if (!findings.has(key)) findings.set(key, finding);
  };

  const visit = (e: Entity, around: Around): void => {
    step();
    const layer = book.name(e.layer, around.layer);
    const lineType = types.name(
      e.lineType,
      book.lineType(layer),
      around.lineType,
    );
    const hidden = hiddenBecause(e) ?? book.hidden(layer, e.type === "INSERT");
    if (hidden !== null) book.skip(e.type, layer, hidden);
    else if (e.type === "INSERT") insert(e, layer, lineType, around);
    else {
      const lined = LINED.has(e.type);
      if (lined) types.count(lineType);
      const left = lined ? types.hidden(lineType) : null;
      if (left !== null) book.skip(e.type, layer, left);
      else take(e, layer, lineType, shapeOf(e, around.place));
    }
  };

  const take = (
    e: Entity,
    layer: string,
    lineType: string,
    shape: Shape,
  ): void => {
    switch (shape.kind) {
      case "strand":
        book.count(layer);
        segments += shape.contour.segments.length;
        if (segments > MAX_SEGMENTS)
          throw tooLarge(`has more than ${MAX_SEGMENTS} lines and arcs`);
        for (const s of shape.contour.segments) {
          requireNear(s.start, e);
          requireNear(s.end, e);
        }
        strands.push({
          layer,
          contour: shape.contour,
          ...(lineType !== CONTINUOUS && { lineType }),
        });
        remarks.read(e, layer, shape.z);
        if (shape.byFitPoints)
          tell(
            e.line,
            fitPointsFinding(e, layer, shape.contour, shape.byFitPoints),
          );
        break;
      case "point":
        book.count(layer);
        requireNear(shape.at, e);
        points.push({ layer, at: shape.at });
        break;
      case "nothing":
        book.count(layer);
        requireNear(shape.at, e);
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
        remarks.leftAlone(shape.as, layer);
        break;
      case "faulty":
        book.skip(e.type, layer, null);
        tell(e.line, faultyFinding(e, layer, shape.why));
        break;
    }
  };

  const insert = (
    e: Entity,
    layer: string,
    lineType: string,
    around: Around,
  ): void => {
    const { name } = e;
    const block = findBlock(name);
    const fault =
      insertFault(e, around.place) ?? blockFault(e, layer, name, block, around);
    if (fault !== null || !block) {
      book.skip("INSERT", layer, null);
      if (typeof fault === "string")
        tell(e.line, faultyFinding(e, layer, fault));
      else if (fault) tell(name.toUpperCase(), fault);
      return;
    }
    if (around.blocks.length === 0) {
      expanded += expansion(e);
      if (expanded > MAX_ENTITIES)
        throw tooLarge(
          `holds more than ${MAX_ENTITIES} entities when its blocks are expanded (block ${quoted(name)}, line ${e.line})`,
        );
    }
    if (around.blocks.length >= MAX_BLOCK_DEPTH)
      throw tooLarge(
        `has blocks within blocks more than ${MAX_BLOCK_DEPTH} deep`,
      );
    const blocks = [...around.blocks, block.key];
    const [columns, rows] = cellsOf(e);
    const cell = cellPlacements(e, block);
    for (let row = 0; row < rows; row++)
      for (let column = 0; column < columns; column++) {
        const place = compose(around.place, cell(column, row));
        for (const inner of block.entities)
          visit(inner, { place, layer, lineType, blocks });
      }
  };

  for (const e of groupVertices(dxf.entities))
    visit(e, { place: root, layer: "0", lineType: CONTINUOUS, blocks: [] });
  return {
    strands,
    points,
    repairs,
    layers: book.layers(),
    lineTypes: types.lineTypes(),
    skipped: book.skipped(),
    findings: [...book.findings(), ...findings.values(), ...remarks.findings()],
  };
}

/** Drawn, but not in the model or not to be seen. */
function hiddenBecause(e: RawEntity): string | null {
  if (number(e, 67, 0) === 1) return "it lies in paper space";
  if (number(e, 60, 0) === 1) return "it is drawn invisible";
  return null;
}

function blockFault(
  e: Entity,
  layer: string,
  name: string,
  block: Block | undefined,
  around: Around,
): Finding | null {
  if (!block || (block.external !== null && block.entities.length === 0))
    return blockFinding(
      e,
      layer,
      "drawing/block-missing",
      `names the block ${quoted(name)}, which the file does not hold${block?.external ? ` (it is in ${nameText(block.external)})` : ""}; bind external references, or explode the block, and save again.`,
    );
  if (block.definitions > 1)
    return blockFinding(
      e,
      layer,
      "drawing/block-twice",
      `names the block ${quoted(name)}, which the file defines ${block.definitions} times; which is meant cannot be told. Explode the block, and save again.`,
    );
  if (around.blocks.includes(block.key))
    return blockFinding(
      e,
      layer,
      "drawing/block-loop",
      `inserts the block ${quoted(name)} into itself; explode it, or delete that insertion.`,
    );
  return null;
}

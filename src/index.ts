/** The public API of kerfwright: the whole way as pure functions, without files, for Node and the browser. */

export {
  type Finding,
  hasErrors,
  InputError,
  InternalError,
  type Severity,
} from "./base/finding.js";
export { messageIn } from "./base/message.js";
export { fixed, placeText, trimmed } from "./base/numbers.js";
export { type LengthUnit, mmPer } from "./base/units.js";
export type { Drawing, Outline } from "./drawing/drawing.js";
export { likelyMeaning } from "./drawing/line-types.js";
export { readDrawing } from "./drawing/read-drawing.js";
export { readDxf } from "./drawing/read-dxf.js";
export type { ReadOptions, ReadPhase } from "./drawing/read-options.js";
export { readSvg } from "./drawing/read-svg.js";
export {
  type Contour,
  contourArea,
  contourBox,
  contourCentroid,
  contourLength,
  reverseContour,
  windingNumber,
} from "./geometry/contour.js";
export {
  indexSegments,
  type Nearest,
  nearestOnSegment,
  type SegmentIndex,
} from "./geometry/distance.js";
export {
  type Gap,
  type Material,
  narrowestGaps,
  smallestInsideRadius,
} from "./geometry/gaps/narrowest.js";
export { signedDistance, windingIndex } from "./geometry/inside.js";
export {
  type LargestOffset,
  largestOffset,
} from "./geometry/largest-offset.js";
export {
  type PrincipalAxes,
  principalAxes,
  type SecondMoments,
  secondMoments,
} from "./geometry/moments.js";
export {
  loopContour,
  type OffsetLoop,
  type OffsetOptions,
  offsetLeft,
} from "./geometry/offset.js";
export { type Unreached, unreachedStretches } from "./geometry/reach.js";
export {
  type Arc,
  type Line,
  pointAt,
  type Segment,
  segmentLength,
  subSegment,
  tangentAt,
} from "./geometry/segment.js";
export type { Vec } from "./geometry/vec.js";
export type { Feature, Layout, Role, Slit } from "./plan/feature.js";
export { type JobFile, readJobFile } from "./plan/job/file.js";
export {
  type Job,
  type JobOverrides,
  type Pass,
  settleJob,
} from "./plan/job/job.js";
export { type LaidOut, layOut } from "./plan/layout/layout.js";
export { makePlan } from "./plan/make-plan.js";
export {
  type Cut,
  entriesOf,
  type Plan,
  type PlannedEntry,
  type PlannedFeature,
  type PlannedSlit,
  type Stop,
  type Stroke,
  threadPlaces,
} from "./plan/plan.js";
export {
  MATERIAL_NAMES,
  MATERIALS,
  type MaterialName,
} from "./process/materials.js";
export {
  BUILT_IN,
  type ProcessTable,
  readProcessTable,
} from "./process/table.js";
export {
  WIRE_DIAMETERS,
  WIRE_MATERIALS,
  type WireMaterial,
} from "./process/wires.js";
export type { ProgramText } from "./program/moves.js";
export { readProgram } from "./program/trace.js";
export { NEUTRAL, readWordTable, type WordTable } from "./program/words.js";
export { writeProgram } from "./program/write.js";
export type { Proof } from "./proof/proof.js";
export { prove, proveMoves } from "./proof/prove.js";
export { type Replay, replayWire } from "./proof/wire.js";
export { type Estimate, estimatePlan } from "./report/estimate.js";
export { estimateText } from "./report/estimate-text.js";
export type { Inspection } from "./report/inspection.js";
export { inspectionText } from "./report/inspection-text.js";
export { type Ground, groundOf } from "./report/name-ground.js";
export {
  type NamePlace,
  placeNames,
  type Writing,
} from "./report/name-places.js";
export { drawPreview } from "./report/preview.js";
export { keepsBlock } from "./report/preview-legend.js";
export { drawProof } from "./report/proof-picture.js";
export { proofTable } from "./report/proof-table.js";
export { setupSheet } from "./report/setup-sheet.js";
export { type PlanSummary, planSummary } from "./report/summary.js";
export {
  countText,
  finestText,
  lengthFigure,
  lengthText,
  longText,
  massText,
  mostText,
  placeFigures,
  timeText,
} from "./report/text.js";
export { wirePathDxf } from "./report/wire-dxf.js";
export {
  type Checked,
  check,
  checkInFull,
  type Draft,
  draftPlan,
  drawingOf,
  inspect,
  inspectWithPicture,
  type Order,
  type Outcome,
  type OutputFile,
  outputFiles,
  planDrawing,
  proveDraft,
} from "./run.js";

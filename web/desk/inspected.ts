/** What of a desk the inspection of its drawing hangs on: while that stays, the drawing need not be inspected again. */
import type { Desk } from "./desk.js";

export function inspectionKey(desk: Desk): unknown[] {
  const { drawing, drawingUnit, job } = desk;
  const roles = Object.entries(job.features ?? {}).map(([id, { role }]) => [
    id,
    role,
  ]);
  return [
    drawing,
    drawingUnit,
    JSON.stringify([
      job.units,
      job.drawing,
      job.roles,
      roles.filter(([, role]) => role !== undefined),
      job.stock,
      job.wire?.material,
      job.process,
      job.flushing,
      job.process && desk.beside[job.process],
      Array.isArray(job.passes) ? job.passes.length : job.passes,
      job.startHoles?.layer,
      job.tabs?.layer,
      job.tabs?.keepOffLayer,
    ]),
  ];
}

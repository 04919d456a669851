/** What the job says of the machine and its control: registers, travel. */
import { type LengthUnit, mmPer } from "../../base/units.js";
import type { Box } from "../../geometry/segment.js";
import { badValue, type LengthReader, quiet } from "./values.js";

/** Offsets by register number, mm; null when the job says none. */
export function registersIn(
  said: Readonly<Record<string, number>> | undefined,
  length: LengthReader,
): Readonly<Record<number, number>> | null {
  if (!said) return null;
  return Object.fromEntries(
    Object.entries(said).map(([name, value]) => [
      Number(name.slice(1)),
      length(`program.registers.${name}`, value, [0, 5]) as number,
    ]),
  );
}

/** The box the wire can be moved in, mm; null when the job says none. */
export function travelIn(
  said: readonly (readonly number[])[] | undefined,
  units: LengthUnit,
): Box | null {
  if (!said) return null;
  const [x, y] = [0, 1].map((k) =>
    said.map((p) => quiet((p[k] as number) * mmPer(units))),
  ) as [number[], number[]];
  const box = {
    minX: Math.min(...x),
    minY: Math.min(...y),
    maxX: Math.max(...x),
    maxY: Math.max(...y),
  };
  if (box.maxX > box.minX && box.maxY > box.minY) return box;
  throw badValue(
    "machine.travel",
    "two corners of a box, across from each other",
    JSON.stringify(said),
  );
}

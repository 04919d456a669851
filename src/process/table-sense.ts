/** What a process table must keep to beyond the shape of its rows. */
import { JOB_NOISE } from "../base/tolerance.js";
import type { Schedule } from "./schedules.js";
import type { ProcessTable } from "./table.js";

/** Every row that makes no sense, with its path and what would. */
export function tableNonsense(table: ProcessTable): string[] {
  const said: string[] = [];
  const range = (path: string, [low, high]: readonly [number, number]) => {
    if (low > high) said.push(`${path} must have the smaller number first`);
  };
  for (const [key, wire] of Object.entries(table.wires))
    range(`wires.${key}.diameters`, wire.diameters);
  for (const [key, schedule] of Object.entries(table.schedules)) {
    const path = `schedules.${key}`;
    const names = (what: "wires" | "materials", name: string) => {
      if (!Object.hasOwn(table[what], name))
        said.push(
          `${path} names "${name}", which is not among the ${what}: ${Object.keys(table[what]).join(", ")}`,
        );
    };
    names("wires", schedule.wire.material);
    names("materials", schedule.material);
    range(`${path}.ra`, schedule.ra);
    said.push(...passNonsense(path, schedule));
  }
  said.push(...twice(table.schedules));
  if (!rising(table.heightCurve.points.map(([height]) => height)))
    said.push("heightCurve.points must go up in height");
  const bounds = table.tabs.rows.map((r) => r.below);
  if (
    bounds.at(-1) !== null ||
    !rising(bounds.slice(0, -1).map((b) => b ?? Number.POSITIVE_INFINITY))
  )
    said.push(
      "tabs.rows must go up in mass, and only the last must have null for below",
    );
  if (!rising([...table.drilling.sizes].reverse()))
    said.push("drilling.sizes must go down, the largest first");
  range("working.rateRange", table.working.rateRange);
  return said;
}

/** Two schedules for the same cannot both hold. */
function twice(schedules: ProcessTable["schedules"]): string[] {
  const seen = new Map<string, string>();
  return Object.entries(schedules).flatMap(
    ([key, { wire, material, height, passes }]) => {
      const setting = JSON.stringify([
        wire.material,
        wire.diameter,
        material,
        height,
        passes.length,
      ]);
      const other = seen.get(setting);
      seen.set(setting, key);
      return other === undefined
        ? []
        : [
            `schedules.${other} and schedules.${key} are for the same wire, material, height and number of passes`,
          ];
    },
  );
}

function passNonsense(path: string, { passes }: Schedule): string[] {
  const said: string[] = [];
  passes.forEach((pass, i) => {
    const before = passes[i - 1];
    if (
      before &&
      pass.gap + pass.leave >= before.gap + before.leave - JOB_NOISE
    )
      said.push(
        `${path}.passes[${i}] must run nearer to the outline than the pass before it: gap + leave must fall`,
      );
  });
  if (passes.at(-1)?.leave !== 0)
    said.push(
      `${path}.passes[${passes.length - 1}].leave must be 0, for no pass comes after it`,
    );
  return said;
}

function rising(values: readonly number[]): boolean {
  return values.every((value, i) => i === 0 || value > (values[i - 1] ?? 0));
}

/** Check o: the order of the work. */

import type { Complain, Who } from "../complaints.js";
import {
  type Asked,
  type Printed,
  type PrintedFeature,
  waysOf,
} from "../printed.js";
import type { Replay, Threading } from "../replay.js";

/** (o) Order of the work. */
export function checkOrder(
  r: Replay,
  feature: readonly string[],
  who: Who,
  printed: Printed,
  asked: Asked,
  complain: Complain,
): void {
  const ids = printed.features.map((f) => f.id);
  // With stress let out first the passes have an order of their own, which is looked for where they are traced.
  if (asked.order === "unattended-first" && !asked.relief) {
    const before = feature.filter(
      (_, i) => (r.threadings[i] as Threading).lastStop < 0,
    );
    for (const id of ids) {
      const n = before.filter((b) => b === id).length;
      const ways = waysOf(
        printed.features.find((f) => f.id === id) as PrintedFeature,
      ).length;
      if (n !== ways)
        complain(
          "o",
          `${id}: threaded ${n} times before the first M00, for ${ways} tabs`,
        );
    }
  } else if (asked.order === "one-by-one") {
    const runs = feature.filter((id, i) => i === 0 || feature[i - 1] !== id);
    if (new Set(runs).size !== runs.length)
      complain("o", `one-by-one, but features mix: ${runs.join(" ")}`);
  }
  for (const id of ids) {
    const o = who.get(id);
    if (o?.role !== "part") continue;
    const end = feature.lastIndexOf(id);
    for (const [inner, q] of who)
      if (q.parent === o.index && feature.lastIndexOf(inner) > end)
        complain("o", `${inner} is still cut after ${id} came free`);
  }
}

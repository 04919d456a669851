/** The inspection as text for people. */
import { placeText, trimmed } from "../base/numbers.js";
import type { Inspection } from "./inspection.js";
import { countText } from "./text.js";

const mm = (value: number): string => `${trimmed(value, 4)} mm`;

export function inspectionText(name: string, i: Inspection): string {
  const lines = [
    `${name}: ${trimmed(i.size[0], 3)} × ${trimmed(i.size[1], 3)} mm, drawn in ${i.units.drawing} (${i.units.source})`,
    "",
    "Layers",
    ...i.layers.map(
      (l) =>
        `  ${l.name}: ${l.entities} ${l.entities === 1 ? "entity" : "entities"}, ${l.state}`,
    ),
    "",
    "Outlines",
    ...i.contours.map((c) => {
      const radius =
        c.minInsideRadius === null
          ? ""
          : c.minInsideRadius.value === 0
            ? `, sharp inside corner at ${placeText(c.minInsideRadius.at)}`
            : `, smallest inside radius ${mm(c.minInsideRadius.value)} at ${placeText(c.minInsideRadius.at)}`;
      return `  ${c.id} on ${c.layer}: ${c.role}, ${countText(c.segments.lines, "line")} and ${countText(c.segments.arcs, "arc")}, area ${trimmed(c.area, 3)} mm², perimeter ${trimmed(c.perimeter, 3)} mm${radius}`;
    }),
    ...i.open.map(
      (o) =>
        `  open on ${o.layer}: ${mm(o.length)} long, from ${placeText(o.ends[0])} to ${placeText(o.ends[1])}`,
    ),
    "",
    `Narrowest slot   ${i.narrowestSlot ? `${mm(i.narrowestSlot.width)} at ${placeText(i.narrowestSlot.at)}` : "none"}`,
    `Thinnest web     ${i.thinnestWeb ? `${mm(i.thinnestWeb.width)} at ${placeText(i.thinnestWeb.at)}` : "none"}`,
    `Largest wire     ${wireText(i)}`,
  ];
  if (i.repairs.length > 0) {
    lines.push("", "Repairs");
    for (const r of i.repairs) {
      lines.push(
        `  ${r.kind} on ${r.layer} at ${placeText(r.at)}: ${mm(r.size)}`,
      );
    }
  }
  if (i.skipped.length > 0) {
    lines.push("", "Skipped");
    for (const s of i.skipped)
      lines.push(`  ${s.count} × ${s.kind} on ${s.layer}`);
  }
  return `${lines.join("\n")}\n`;
}

function wireText({ largestWire, largestWireButCorners }: Inspection): string {
  if (largestWire !== null) return `${mm(largestWire)} cuts everything`;
  return largestWireButCorners === null
    ? "no usual wire gets everywhere"
    : `no usual wire cuts every corner; ${mm(largestWireButCorners)} cuts everything but the sharp inside corners`;
}

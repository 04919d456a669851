/** The inspection as text for people, at most 100 columns wide. */
import { fixed, trimmed } from "../base/numbers.js";
import { mmPer } from "../base/units.js";
import { type Inspection, isAid } from "./inspection.js";
import { countText, lengthText, placeFigures } from "./text.js";

type Place = readonly [number, number];

export function inspectionText(name: string, i: Inspection): string {
  const { shownIn } = i;
  const mm = lengthIn(i);
  const at = placeIn(i);
  const [width, height] = i.size.map((size) =>
    trimmed(size / mmPer(shownIn), shownIn === "in" ? 4 : 3),
  );
  return `${[
    `${name}: ${width} × ${height} ${shownIn}, drawn in ${i.units.drawing} (${i.units.source})`,
    ...part("Layers", layers(i)),
    ...part("Line types", lineTypes(i)),
    ...part("Outlines", outlines(i)),
    ...part("Open, nearest to closing first", openOutlines(i)),
    "",
    `Narrowest slot   ${i.narrowestSlot ? `${mm(i.narrowestSlot.width)} ${at(i.narrowestSlot.at)}` : "none"}`,
    `Thinnest web     ${i.thinnestWeb ? `${mm(i.thinnestWeb.width)} ${at(i.thinnestWeb.at)}` : "none"}`,
    `Largest wire     ${wireText(i)}`,
    ...part("What each wire leaves", wires(i)),
    ...part(
      "Repairs",
      capped(
        i.repairs.map(
          (r) => `${r.kind} on ${r.layer} ${at(r.at)}: ${mm(r.size)}`,
        ),
      ),
    ),
    ...part(
      "Skipped",
      capped(i.skipped.map((s) => `${s.count} × ${s.kind} on ${s.layer}`)),
    ),
  ].join("\n")}\n`;
}

function lengthIn({ shownIn }: Inspection): (mm: number) => string {
  return (mm) => lengthText(mm, shownIn);
}

function placeIn({ shownIn }: Inspection): (place: Place) => string {
  return (place) => `at ${placeFigures(place, shownIn)}`;
}

function part(title: string, lines: readonly string[]): string[] {
  return lines.length === 0 ? [] : ["", title, ...lines.map((l) => `  ${l}`)];
}

/** So many lines of a kind; `--json` has them all. */
const MOST_LINES = 40;

function capped(lines: readonly string[], titles = 0): readonly string[] {
  const more = lines.length - titles - MOST_LINES;
  return more <= 0
    ? lines
    : [
        ...lines.slice(0, titles + MOST_LINES),
        `and ${more} more; all of them with --json`,
      ];
}

/** Columns two blanks apart; figures stand flush right. */
function table(
  rows: readonly (readonly string[])[],
  flushRight: readonly number[] = [],
): string[] {
  const widths = (rows[0] ?? []).map((_, k) =>
    Math.max(...rows.map((r) => (r[k] ?? "").length)),
  );
  return rows.map((r) =>
    r
      .map((cell, k) =>
        flushRight.includes(k)
          ? cell.padStart(widths[k] ?? 0)
          : cell.padEnd(widths[k] ?? 0),
      )
      .join("  ")
      .trimEnd(),
  );
}

function layers(i: Inspection): readonly string[] {
  return capped(
    table(
      i.layers.map((l) => [
        short(l.name, 60),
        `${l.entities} ${l.entities === 1 ? "entity" : "entities"}`,
        l.state,
      ]),
    ),
  );
}

/** Where everything is drawn alike they tell nothing. */
function lineTypes({ lineTypes }: Inspection): readonly string[] {
  return lineTypes.length < 2
    ? []
    : capped(
        table(
          lineTypes.map((t) => [
            short(t.name, 60),
            `${t.entities} ${t.entities === 1 ? "entity" : "entities"}`,
          ]),
        ),
      );
}

/** Deeper ones stand further in. */
function outlines(i: Inspection): readonly string[] {
  const { contours, shownIn } = i;
  if (contours.length === 0) return [];
  const at = placeIn(i);
  const unit = mmPer(shownIn);
  const digits = shownIn === "in" ? 4 : 3;
  const rows = contours.map((c) => [
    `${" ".repeat(Math.min(c.depth, 6))}${c.id}`,
    short(c.layer, 16),
    c.feature ?? c.role,
    String(c.segments.lines),
    String(c.segments.arcs),
    fixed(c.area / unit ** 2, digits),
    fixed(c.perimeter / unit, digits),
    c.minInsideRadius === null
      ? ""
      : `${c.minInsideRadius.value === 0 ? "sharp" : trimmed(c.minInsideRadius.value / unit, digits + 1)} ${at(c.minInsideRadius.at)}`,
  ]);
  return capped(
    table(
      [
        [
          "",
          "layer",
          "what it is",
          "lines",
          "arcs",
          `area ${shownIn}²`,
          `round ${shownIn}`,
          "least inside radius",
        ],
        ...rows,
      ],
      [3, 4, 5, 6],
    ),
    1,
  );
}

function openOutlines(i: Inspection): readonly string[] {
  const mm = lengthIn(i);
  const place = (p: Place): string => placeFigures(p, i.shownIn);
  const gap = ({ size, from, to }: (typeof i.open)[number]["gap"]): string =>
    `${mm(size)} from ${place(from)} to ${place(to)}`;
  const named = (o: (typeof i.open)[number]): string =>
    `${short(o.layer, 16)}${o.lineType === undefined ? "" : ` in ${short(o.lineType, 16)}`}${o.ignored ? " (ignored)" : ""}${o.slit === null ? "" : ` (${o.slit})`}`;
  const aids = new Map<string, number>();
  for (const o of i.open)
    if (isAid(o)) aids.set(named(o), (aids.get(named(o)) ?? 0) + 1);
  return capped([
    ...i.open
      .filter((o) => !isAid(o))
      .map((o) =>
        o.slit !== null
          ? `${named(o)}: ${mm(o.length)} long, from ${place(o.ends[0])} to ${place(o.ends[1])}`
          : `${named(o)}: ${mm(o.length)} long, open by ${gap(o.gap)}${o.otherGap ? `, ${gap(o.otherGap)}` : ""}`,
      ),
    ...[...aids].map(([name, count]) => `${name}: ${countText(count, "line")}`),
  ]);
}

/** Down to the first wire that leaves nothing: thinner ones leave nothing either. */
function wires(i: Inspection): readonly string[] {
  const { wires, contours } = i;
  if (contours.length === 0) return [];
  const mm = lengthIn(i);
  const at = placeIn(i);
  const clear = wires.findIndex((w) => w.uncut.length + w.slots.length === 0);
  const shown = clear < 0 ? wires : wires.slice(0, clear + 1);
  const rows = table([
    ["wire", "corners left", "worst of them", "too narrow for it"],
    ...shown.map((w) => {
      const [worst] = w.uncut;
      const [slot] = w.slots;
      return [
        `${mm(w.diameter)} ${w.material}`,
        worst ? String(w.uncut.length) : "none",
        worst ? `${mm(worst.left)} ${at(worst.at)}` : "",
        slot
          ? `${countText(w.slots.length, "place")}, ${w.slots.length > 1 ? "one " : ""}${at(slot.at)}`
          : "",
      ];
    }),
  ]);
  return shown.length < wires.length
    ? [...rows, "thinner ones leave nothing either"]
    : rows;
}

export function wireText(i: Inspection): string {
  const { largestWire, largestWireButCorners } = i;
  const mm = lengthIn(i);
  if (largestWire !== null) return `${mm(largestWire)} cuts everything`;
  return largestWireButCorners === null
    ? "no usual wire gets everywhere"
    : `no usual wire cuts every corner; ${mm(largestWireButCorners)} cuts everything but sharp corners`;
}

function short(text: string, letters: number): string {
  return text.length > letters ? `${text.slice(0, letters - 1)}…` : text;
}

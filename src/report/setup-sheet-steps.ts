/** The steps of a plan as the person at the machine meets them, numbered like the picture. */
import type { Cut, Plan, Step, Stop } from "../plan/plan.js";
import { type StrokeTravel, strokeTravels } from "./estimate.js";
import { featureOf, stepsOf } from "./of-feature.js";
import {
  countText,
  escapeMarkup,
  lengthFigure,
  lengthText,
  massText,
  timeText,
} from "./text.js";

export function stepTable(plan: Plan): string {
  if (plan.steps.length === 0) return "<p>Nothing is cut.</p>";
  const travels = new Map<Cut, StrokeTravel[]>();
  for (const t of strokeTravels(plan))
    travels.set(t.cut, [...(travels.get(t.cut) ?? []), t]);
  const rows = plan.steps.map((step, i) => {
    const person = step.kind === "stop" || step.attended;
    const [what, detail, time] =
      step.kind === "stop"
        ? stopCells(plan, step)
        : cutCells(plan, step, travels.get(step) ?? []);
    return `<tr${person ? ' class="person"' : ""}><td>${i + 1}</td><td>${person ? "YOU" : "machine"}</td><td>${what}<br><span class="detail">${detail}</span></td><td class="firm">${time}</td></tr>`;
  });
  const alone = plan.steps.findIndex((s) => s.kind === "stop");
  const first =
    alone > 0
      ? `<p>${alone === 1 ? "Step 1 runs" : `Steps 1 to ${alone} run`} with nobody there; the machine then waits at its first stop.</p>`
      : "";
  return `${first}<table><thead><tr><th scope="col">Step</th><th scope="col">Who</th><th scope="col">What</th><th scope="col">Burning</th></tr></thead><tbody>\n${rows.join("\n")}\n</tbody></table>`;
}

type Cells = readonly [what: string, detail: string, time: string];

function stopCells(plan: Plan, stop: Stop): Cells {
  if (stop.action === "rest")
    return [
      `M00 stop: <span class="free">${escapeMarkup(stop.reason)}</span>`,
      "Every slug is out and the block has moved as far as it will: give it time, free the clamps and see whether it springs; clamp it again without strain, square it, set zero anew; then start the skims.",
      "",
    ];
  const feature =
    stop.feature === null ? undefined : featureOf(plan, stop.feature);
  const isPart = feature?.role === "part";
  const piece = isPart ? "part" : "slug";
  const mass = feature ? ` (${massText(feature.slug.mass)})` : "";
  const detail =
    stop.action === "secure"
      ? `Hold the ${piece}${mass} by magnet, clamp or support plate; lower the flushing; hands out from between the heads; then start.`
      : `Take the ${piece}${mass} out; see that the lower head and the gap are clear; then start.`;
  return [
    `M00 stop: <span class="free">${escapeMarkup(stop.reason)}</span>`,
    detail,
    "",
  ];
}

function cutCells(
  plan: Plan,
  cut: Cut,
  travels: readonly StrokeTravel[],
): Cells {
  const { units, passes, stock } = plan.job;
  const feature = featureOf(plan, cut.feature);
  const strokes = travels.map(({ stroke }) => {
    if (stroke.stretch === "inside") return "the inside away";
    if (stroke.stretch === "slit")
      return `pass ${stroke.pass}, the wire's centre on the line`;
    const kind = passes[stroke.pass - 1]?.kind ?? "";
    return `pass ${stroke.pass} ${kind} ${stroke.direction === "ccw" ? "&#8634; counter-clockwise" : "&#8635; clockwise"}`;
  });
  const open = cut.strokes.some((s) => s.stretch === "open");
  const slit = cut.strokes.some((s) => s.stretch === "slit");
  const stretch = slit
    ? "the slit from end to end, nothing comes loose"
    : !open
      ? "the tab"
      : feature?.tab === null
        ? "all of it away, nothing comes loose"
        : cut.strokes.some((s) => s.stretch === "tab")
          ? "all round"
          : "the open stretch";
  const stays =
    open && feature?.tab && after(plan, cut).some(isTabCut)
      ? `; the tab of ${lengthText(feature.tab.length, units)} stays`
      : "";
  const time = travels.reduce((sum, { stroke, length }) => {
    const rate = passes[stroke.pass - 1]?.areaRate ?? Number.NaN;
    return sum + (length * stock.thickness) / rate;
  }, 0);
  return [
    `${escapeMarkup(cut.feature)}: thread at X ${lengthFigure(cut.thread.x, units)} Y ${lengthFigure(cut.thread.y, units)}, cut ${stretch}`,
    `${strokes.join(", ")}${stays}; then the wire is cut (${countText(travels.length, "stroke")})`,
    timeText(time),
  ];
}

/** What is done at the same feature after a cut. */
function after(plan: Plan, cut: Cut): Step[] {
  const steps = stepsOf(plan, cut.feature).map(({ step }) => step);
  return steps.slice(steps.indexOf(cut) + 1);
}

function isTabCut(step: Step): boolean {
  return step.kind === "cut" && step.strokes.some((s) => s.stretch === "tab");
}

/** What a plan holds for one feature, looked up once for all of them: a block may hold thousands. */
import type { Plan, PlannedFeature, Step } from "../plan/plan.js";

export interface NumberedStep {
  /** From 1, as the sheet and the preview both count. */
  readonly number: number;
  readonly step: Step;
}

interface ByFeature {
  readonly features: ReadonlyMap<string, PlannedFeature>;
  readonly steps: ReadonlyMap<string, readonly NumberedStep[]>;
}

const known = new WeakMap<Plan, ByFeature>();

/** The feature of that name; a slit is none. */
export function featureOf(plan: Plan, id: string): PlannedFeature | undefined {
  return byFeature(plan).features.get(id);
}

/** The steps at one feature or slit, in the plan's order. */
export function stepsOf(plan: Plan, id: string): readonly NumberedStep[] {
  return byFeature(plan).steps.get(id) ?? [];
}

/** Numbers of the steps at one feature or slit. */
export function stepNumbers(
  plan: Plan,
  id: string,
  which: (step: Step) => boolean,
): readonly number[] {
  return stepsOf(plan, id)
    .filter(({ step }) => which(step))
    .map(({ number }) => number);
}

function byFeature(plan: Plan): ByFeature {
  const found = known.get(plan);
  if (found) return found;
  const steps = new Map<string, NumberedStep[]>();
  plan.steps.forEach((step, i) => {
    // The block's rest is at none.
    if (step.feature === null) return;
    const numbered = { number: i + 1, step };
    const list = steps.get(step.feature);
    if (list) list.push(numbered);
    else steps.set(step.feature, [numbered]);
  });
  const features = new Map(plan.features.map((f) => [f.id, f]));
  const made = { features, steps };
  known.set(plan, made);
  return made;
}

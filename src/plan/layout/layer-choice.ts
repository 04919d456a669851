/** What of a drawing is read: `drawing.only`, `drawing.skip` and `drawing.skipLineTypes` of the job. */
import { type Finding, InputError } from "../../base/finding.js";
import { nameText, quoted } from "../../base/message.js";
import { nearest } from "../../base/shape-faults.js";
import type { Drawing } from "../../drawing/drawing.js";
import type { Job } from "../job/job.js";

/** For the reader of drawings. Layers that the job names for holes, tabs and marks are read whatever `only` says. */
export function layersToRead({ drawing, roles, startHoles, tabs }: Job): {
  readonly onlyLayers?: readonly string[];
  readonly skipLayers: readonly string[];
  readonly skipLineTypes: readonly string[];
  readonly loneLayers: readonly string[];
} {
  const { only, skip, skipLineTypes } = drawing;
  const marks = [startHoles.layer, tabs.layer, tabs.keepOffLayer].filter(
    (layer) => layer !== null,
  );
  // What is open there is meant to be.
  const alone = Object.keys(roles.layers).filter((layer) =>
    ["ignore", "slit"].includes(roles.layers[layer] ?? ""),
  );
  return {
    ...(only && { onlyLayers: [...only, ...marks] }),
    skipLayers: skip,
    skipLineTypes,
    loneLayers: [...marks, ...alone],
  };
}

/** So many layers are listed: a drawing may have thousands. */
const LISTED = 30;

/**
 * A layer that is picked or left out must be there, or a slip of the pen would leave the title block in.
 *
 * @throws {InputError} `drawing/no-such-layer`, listing the layers there are.
 */
export function requireLayers({ layers }: Drawing, { drawing }: Job): void {
  const names = layers.map((l) => l.name);
  const known = new Set(names.map(layerKey));
  const missing = [...(drawing.only ?? []), ...drawing.skip].find(
    (name) => !known.has(layerKey(name)),
  );
  if (missing === undefined) return;
  throw new InputError("drawing/no-such-layer", noSuchLayer(missing, names));
}

/**
 * The same for line types.
 *
 * @throws {InputError} `drawing/no-such-line-type`, listing those there are.
 */
export function requireLineTypes(
  { lineTypes }: Drawing,
  { drawing }: Job,
): void {
  const names = lineTypes.map((t) => t.name);
  const known = new Set(names.map(layerKey));
  const missing = drawing.skipLineTypes.find(
    (name) => !known.has(layerKey(name)),
  );
  if (missing === undefined) return;
  throw new InputError(
    "drawing/no-such-line-type",
    notThere("line type", missing, names),
  );
}

/** A layer that the job gives a role, or marks, and that is not there: its outlines lie on another and take another role. */
export function missingLayers({ layers }: Drawing, job: Job): Finding[] {
  const names = layers.map((l) => l.name);
  const known = new Set(names.map(layerKey));
  const { roles, startHoles, tabs } = job;
  const meant: readonly (readonly [key: string, layer: string | null])[] = [
    ...Object.keys(roles.layers).map((l) => ["roles.layers", l] as const),
    ["startHoles.layer", startHoles.layer],
    ["tabs.layer", tabs.layer],
    ["tabs.keepOffLayer", tabs.keepOffLayer],
  ];
  return meant.flatMap(([key, layer]): Finding[] =>
    layer === null || known.has(layerKey(layer))
      ? []
      : [
          {
            code: "role/no-such-layer",
            severity: "warning",
            message: `${key} in the job does not hold: ${noSuchLayer(layer, names)}`,
          },
        ],
  );
}

function noSuchLayer(missing: string, names: readonly string[]): string {
  return notThere("layer", missing, names);
}

function notThere(
  what: string,
  missing: string,
  names: readonly string[],
): string {
  const near = nearest(missing, names);
  const more =
    names.length > LISTED ? ` and ${names.length - LISTED} more` : "";
  return `the drawing has no ${what} ${quoted(missing)}${near === null ? "" : `, did you mean ${quoted(near)}?`}; it has ${names.slice(0, LISTED).map(nameText).join(", ") || "none"}${more}`;
}

/** Case does not tell layers apart. */
export function layerKey(name: string): string {
  return name.toUpperCase();
}

export function sameLayer(name: string, other: string | null): boolean {
  return other !== null && layerKey(name) === layerKey(other);
}

/** Writes DXF text for tests, tag by tag, so that a test can say exactly what stands in the file. */

/** Group codes and values in turn. */
export type Tags = readonly (number | string)[];

export function tagText(tags: Tags): string {
  const lines: string[] = [];
  for (let i = 0; i < tags.length; i += 2)
    lines.push(String(tags[i]), String(tags[i + 1]));
  return lines.length > 0 ? `${lines.join("\n")}\n` : "";
}

export interface DxfParts {
  /** `$INSUNITS`; 4 is mm, null leaves the header variable out. */
  readonly insunits?: number | null;
  /** More header variables: name, code, value in turn. */
  readonly header?: readonly (readonly [
    name: string,
    code: number,
    value: number | string,
  ])[];
  readonly layers?: readonly (readonly [
    name: string,
    flags: number,
    color: number,
  ])[];
  readonly blocks?: Readonly<Record<string, readonly Tags[]>>;
  /** Base points of blocks. */
  readonly bases?: Readonly<Record<string, readonly [number, number]>>;
}

export function dxfText(
  entities: readonly Tags[],
  {
    insunits = 4,
    header = [],
    layers = [],
    blocks = {},
    bases = {},
  }: DxfParts = {},
): string {
  const variables = [
    ...(insunits === null ? [] : [["$INSUNITS", 70, insunits] as const]),
    ...header,
  ];
  const blockTags = Object.entries(blocks).flatMap(([name, content]): Tags => {
    const [x, y] = (Object.hasOwn(bases, name) && bases[name]) || [0, 0];
    return [
      0,
      "BLOCK",
      8,
      "0",
      2,
      name,
      70,
      0,
      10,
      x,
      20,
      y,
      30,
      0,
      3,
      name,
      1,
      "",
      ...content.flat(),
      0,
      "ENDBLK",
      8,
      "0",
    ];
  });
  return tagText([
    0,
    "SECTION",
    2,
    "HEADER",
    ...variables.flatMap(([name, code, value]) => [9, name, code, value]),
    0,
    "ENDSEC",
    0,
    "SECTION",
    2,
    "TABLES",
    0,
    "TABLE",
    2,
    "LAYER",
    70,
    layers.length,
    ...layers.flatMap(([name, flags, color]) => [
      0,
      "LAYER",
      2,
      name,
      70,
      flags,
      62,
      color,
      6,
      "CONTINUOUS",
    ]),
    0,
    "ENDTAB",
    0,
    "ENDSEC",
    0,
    "SECTION",
    2,
    "BLOCKS",
    ...blockTags,
    0,
    "ENDSEC",
    0,
    "SECTION",
    2,
    "ENTITIES",
    ...entities.flat(),
    0,
    "ENDSEC",
    0,
    "EOF",
  ]);
}

export const lineTags = (
  x1: number,
  y1: number,
  x2: number,
  y2: number,
  layer = "0",
): Tags => [0, "LINE", 8, layer, 10, x1, 20, y1, 30, 0, 11, x2, 21, y2, 31, 0];

export const circleTags = (
  x: number,
  y: number,
  radius: number,
  layer = "0",
): Tags => [0, "CIRCLE", 8, layer, 10, x, 20, y, 30, 0, 40, radius];

/** Angles in degrees, counter-clockwise. */
export const arcTags = (
  x: number,
  y: number,
  radius: number,
  from: number,
  to: number,
  layer = "0",
): Tags => [
  0,
  "ARC",
  8,
  layer,
  10,
  x,
  20,
  y,
  30,
  0,
  40,
  radius,
  50,
  from,
  51,
  to,
];

/** Vertices as [x, y] or [x, y, bulge]. */
export const lwpolylineTags = (
  vertices: readonly (readonly [x: number, y: number, bulge?: number])[],
  closed: boolean,
  layer = "0",
): Tags => [
  0,
  "LWPOLYLINE",
  8,
  layer,
  90,
  vertices.length,
  70,
  closed ? 1 : 0,
  ...vertices.flatMap(([x, y, bulge]) =>
    bulge === undefined ? [10, x, 20, y] : [10, x, 20, y, 42, bulge],
  ),
];

export const insertTags = (
  name: string,
  x: number,
  y: number,
  more: Tags = [],
  layer = "0",
): Tags => [0, "INSERT", 8, layer, 2, name, 10, x, 20, y, 30, 0, ...more];

/** The four sides of a rectangle as lines. */
export const rectangleTags = (
  x: number,
  y: number,
  w: number,
  h: number,
  layer = "0",
): Tags[] => [
  lineTags(x, y, x + w, y, layer),
  lineTags(x + w, y, x + w, y + h, layer),
  lineTags(x + w, y + h, x, y + h, layer),
  lineTags(x, y + h, x, y, layer),
];

export const pointTags = (x: number, y: number, layer = "0"): Tags =>
  // biome-ignore format: one group code and its value after the other
  [0, "POINT", 8, layer, 10, x, 20, y, 30, 0];

export const textTags = (
  x: number,
  y: number,
  said: string,
  layer = "0",
): Tags =>
  // biome-ignore format: one group code and its value after the other
  [0, "TEXT", 8, layer, 10, x, 20, y, 30, 0, 40, 3.5, 1, said];

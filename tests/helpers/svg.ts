/** Writes SVG text for tests: 1 user unit is 1 mm unless said. */
export interface SvgParts {
  /** Attributes of the root; by default a page of 200 × 100 mm with a viewBox to match. */
  readonly root?: string;
  readonly head?: string;
}

export function svgText(
  content: string,
  {
    root = 'width="200mm" height="100mm" viewBox="0 0 200 100"',
    head = "",
  }: SvgParts = {},
): string {
  return `${head}<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" ${root}>\n${content}\n</svg>\n`;
}

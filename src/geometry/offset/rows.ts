/** Items by the row that each belongs to: those of row r are item[start[r]] up to item[start[r + 1]]. */
import { at } from "./curves.js";

export interface Rows {
  readonly start: Int32Array;
  readonly item: Int32Array;
}

/** `row` gives the row of each item; items keep their order (counting sort). */
export function rowsOf(row: readonly number[], rows: number): Rows {
  const start = new Int32Array(rows + 1);
  for (let i = 0; i < row.length; i++) {
    const r = row[i] as number;
    start[r + 1] = at(start, r + 1) + 1;
  }
  for (let r = 0; r < rows; r++) start[r + 1] = at(start, r + 1) + at(start, r);
  const item = new Int32Array(row.length);
  const next = start.slice(0, rows);
  for (let i = 0; i < row.length; i++) {
    const r = row[i] as number;
    const place = at(next, r);
    item[place] = i;
    next[r] = place + 1;
  }
  return { start, item };
}

/** Sorts the items of one row in place by their value: rows are short, and mostly in order. */
export function sortRow(
  { start, item }: Rows,
  row: number,
  value: readonly number[],
): void {
  const first = at(start, row);
  const end = at(start, row + 1);
  if (end - first > 32) {
    item
      .subarray(first, end)
      .sort((a, b) => (value[a] as number) - (value[b] as number));
    return;
  }
  for (let r = first + 1; r < end; r++) {
    const moving = at(item, r);
    const v = value[moving] as number;
    let s = r;
    for (; s > first && (value[at(item, s - 1)] as number) > v; s--)
      item[s] = at(item, s - 1);
    item[s] = moving;
  }
}

/**
 * The grammar of messages, and what it is good for: a message is built in mm, once, and told in the unit of whoever
 * reads it.
 *
 * In a message a length is `0.25 mm`, `45 × 45 mm` or `0.3 to 0.5 mm`, an area `2.5 mm²`, a place `(40, 12.5)`; every
 * other number (counts, masses, times, metres) is no length of a job. What stands in double quotes is cited. Names
 * from a drawing, a job or a table come in by `nameText`, which cites those that would read as a length or a place.
 */
import { trimmed } from "./numbers.js";
import { type LengthUnit, mmPer } from "./units.js";

const NUMBER = String.raw`-?\d+(?:\.\d+)?`;
const QUOTED = String.raw`"(?:[^"\\]|\\.)*"`;
const PLACE = String.raw`\((?<x>${NUMBER}), (?<y>${NUMBER})\)`;
const LENGTHS = String.raw`(?<![\p{L}\d._-])(?<figures>${NUMBER}(?:(?: × | to )${NUMBER})*) mm(?<square>²?)(?![\p{L}\d])`;
const TOLD = new RegExp(`${QUOTED}|${PLACE}|${LENGTHS}`, "gu");

/** A message with its lengths, areas and places in the unit; those in mm stand as they were built. */
export function messageIn(message: string, units: LengthUnit): string {
  if (units === "mm") return message;
  return message.replace(TOLD, (...match) => {
    const { x, y, figures, square } = match.at(-1) as Record<
      string,
      string | undefined
    >;
    if (x !== undefined && y !== undefined)
      return `(${figureIn(x, units)}, ${figureIn(y, units)})`;
    if (figures === undefined) return match[0];
    const power = square ? 2 : 1;
    return `${figures.replace(/[\d.-]+/g, (f) => figureIn(f, units, power))} ${units}${square}`;
  });
}

/**
 * A figure of a message (mm; mm² with power 2) in the unit: as fine as it is told in mm and no finer, so that the 0.2007 mm
 * of 0.0079 in come back as just that; four decimals at least. A small one gets up to another decimal for each power
 * until it shows two digits, or three where it is round in mm, as sizes of wire are: 0.25 mm are 0.00984 in.
 */
function figureIn(figure: string, units: LengthUnit, power = 1): string {
  const value = Number(figure) / mmPer(units) ** power;
  const given = figure.split(".")[1]?.length ?? 0;
  const least = Math.max(4, given + power);
  const most = Math.max(3, given) + 2 * power;
  const digits = given < 3 ? 3 : 2;
  const shown = digits - 1 - Math.floor(Math.log10(Math.abs(value)));
  return trimmed(value, Math.min(Math.max(least, shown), most));
}

/** A name in a message: as it is, or cited where it would read as a length or a place. */
export function nameText(name: string): string {
  return /"|^mm|\d mm|\(-?\d[\d.]*, -?\d[\d.]*\)/.test(name)
    ? quoted(name)
    : name;
}

/** Text of others in a message; a quotation mark in it is escaped as in JSON, so that it ends where it ends. */
export function quoted(text: string): string {
  return JSON.stringify(text);
}

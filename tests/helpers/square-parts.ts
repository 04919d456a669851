/** The square's program in parts, to be put together in other ways than the good one. */
import { CUT_WIRE, HEAD, squareStrokes, TAIL } from "./programs.js";

export const S = squareStrokes();
export const [rough, second, third] = S.open as [string[], string[], string[]];
export const secure = "M00 (opening-1: secure the slug)";
export const remove = "M00 (opening-1: take the slug out)";
export const thread = [...S.hole, S.lead];
export const together = (
  ...parts: (string | readonly string[])[]
): string[] => [...HEAD, ...parts.flat(), ...TAIL];
export const openCut = [...thread, ...rough, ...second, ...third, ...CUT_WIRE];
export const tabCut = [...thread, ...S.tab, ...CUT_WIRE];
export const skimCut = [...thread, ...S.skims.flat(), ...CUT_WIRE];

/** All the ways a program is spoiled. */
import type { Kind } from "./kind.js";
import { CUTS } from "./kinds-of-cuts.js";
import { HANDLING } from "./kinds-of-handling.js";
import { MOVES } from "./kinds-of-moves.js";

export const KINDS: readonly Kind[] = [...MOVES, ...HANDLING, ...CUTS];

/** The roles an outline can have, in words. */
import type { Role } from "../../src/index.js";

export const ROLES: readonly (readonly [role: Role, words: string])[] = [
  ["opening", "opening: the plate outside stays"],
  ["part", "part: the inside stays"],
  ["slit", "slit: the wire runs on the open line"],
  ["stock", "the block’s own edge"],
  ["ignore", "leave out"],
];

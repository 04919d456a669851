/** How a program is read where it is not taken by its letter: one slip that goes through all of it, undone. */
export interface Reading {
  /** The unit of all coordinates, whatever G70 and G71 say. */
  readonly units?: "mm" | "in";
  /** mm that one step of a coordinate without a decimal point is. */
  readonly increment?: number;
  /** G41 is read as G42 and G42 as G41. */
  readonly sidesExchanged?: boolean;
  /** Figures after a space go on with the number before it. */
  readonly numbersJoined?: boolean;
}

export const AS_WRITTEN: Reading = {};

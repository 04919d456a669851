/** Work materials. Filled in by the process tables. */
export type MaterialName = "tool-steel";

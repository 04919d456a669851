/** Wires. */
export type WireMaterial = "brass" | "coated-brass" | "molybdenum" | "tungsten";

/**
 * Property tests draw the same cases every time, so that a failure is one that everybody can repeat. `PROPERTY_SEED=7 npm
 * test` draws others.
 */
import fc from "fast-check";

fc.configureGlobal({ seed: Number(process.env.PROPERTY_SEED ?? 1) });

/** The package ships types, but beside its modules and named otherwise. */
declare module "clipper2-wasm" {
  import type { Clipper2ZFactoryFunction } from "clipper2-wasm/dist/clipper2z.js";

  const load: Clipper2ZFactoryFunction;
  export default load;
}

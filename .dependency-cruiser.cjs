// The floors of src/, top of the house last. A file may import its own floor and the floors before it.
const floors = [
  "base",
  "geometry",
  "drawing",
  "process",
  "plan",
  "program",
  "proof",
  "report",
  "cli",
];

const climbing = floors.slice(0, -1).map((floor, i) => ({
  name: `${floor}-climbs`,
  comment: `src/${floor} may only import the floors below it`,
  severity: "error",
  from: { path: `^src/${floor}/` },
  to: { path: `^src/(${[...floors.slice(i + 1), "index\\.ts"].join("|")})` },
}));

module.exports = {
  forbidden: [
    ...climbing,
    {
      name: "base-imports-nothing",
      severity: "error",
      from: { path: "^src/base/" },
      to: { pathNot: "^src/base/" },
    },
    {
      name: "node-only-in-cli",
      comment: "everything but the command line also runs in a browser",
      severity: "error",
      from: { path: "^src/", pathNot: "^src/cli/" },
      to: { dependencyTypes: ["core"] },
    },
    {
      name: "cli-and-web-use-the-public-api",
      comment: "the command line and the page see only src/index.ts",
      severity: "error",
      from: { path: "^(src/cli|web)/" },
      to: { path: "^src/", pathNot: ["^src/index\\.ts$", "^src/cli/"] },
    },
    {
      name: "reader-shares-only-the-words",
      comment: "the reader of programs must not lean on the writer",
      severity: "error",
      from: { path: "^src/program/(read|trace)" },
      to: { path: "^src/(program/write|plan)" },
    },
    {
      name: "proof-is-a-stranger",
      comment:
        "the proof takes features, job and text; never the planner's paths, the writer or the offset kernel",
      severity: "error",
      from: { path: "^src/proof/" },
      to: {
        path: "^src/(program/write|geometry/(offset|grid-path)|plan/(?!(feature|job/job)\\.ts))",
      },
    },
    {
      name: "no-cycles",
      severity: "error",
      from: {},
      to: { circular: true, viaOnly: { dependencyTypesNot: ["type-only"] } },
    },
  ],
  options: {
    tsConfig: { fileName: "tsconfig.json" },
    tsPreCompilationDeps: true,
    doNotFollow: { path: "node_modules" },
    enhancedResolveOptions: {
      exportsFields: ["exports"],
      conditionNames: ["import", "types"],
    },
  },
};

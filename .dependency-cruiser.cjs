// The direction of the data, as rules. docs/architecture.md says why.

/**
 * A folder may import those before it. `measurement` holds the plain-data types that all of them share; `spectrum`
 * is a transform of samples, which finding the strikes needs as much as finding the partials does.
 */
const FLOW = ["measurement", "audio", "spectrum", "strike", "partials", "bell", "findings", "report", "tap"];

/** Beside the flow: plain arithmetic on measured bells, whose results the reports draw too. */
const BESIDE = {
  foundry: ["measurement"],
  compare: ["measurement", "bell", "findings", "foundry"],
  series: ["measurement", "bell", "findings"],
  shape: ["measurement", "bell", "foundry"],
};

const allowed = { ...Object.fromEntries(FLOW.map((folder, at) => [folder, FLOW.slice(0, at)])), ...BESIDE };
allowed.report = [...allowed.report, ...Object.keys(BESIDE)];

/** @type {import('dependency-cruiser').IConfiguration} */
module.exports = {
  forbidden: [
    {
      name: "no-cycles",
      comment: "A cycle cannot be read in one order.",
      severity: "error",
      from: {},
      to: { circular: true },
    },
    {
      name: "pure-outside-cli",
      comment: "Everything but the command line must run in a browser tab.",
      severity: "error",
      from: { pathNot: "^src/cli/" },
      to: { dependencyTypes: ["core"] },
    },
    {
      name: "public-face-only",
      comment: "A folder is used through its index.ts; the report of one measurement has a face of its own.",
      severity: "error",
      from: { path: "^src/([^/]+)/" },
      to: {
        path: "^src/([^/]+)/",
        pathNot: ["^src/$1/", "^src/[^/]+/index\\.ts$", "^src/report/tap/index\\.ts$"],
      },
    },
    {
      name: "known-folder",
      comment: "A new folder is given its place in .dependency-cruiser.cjs and docs/architecture.md first.",
      severity: "error",
      from: {},
      to: { path: "^src/", pathNot: `^src/(cli|${Object.keys(allowed).join("|")})/` },
    },
    {
      name: "resolvable",
      comment: "An import that leads nowhere, or a package that package.json does not list.",
      severity: "error",
      from: {},
      to: { couldNotResolve: true },
    },
    {
      name: "no-dev-packages",
      comment: "What users run needs only what users install; the build itself is run by those who build.",
      severity: "error",
      from: { path: "^src/", pathNot: "^src/cli/build/" },
      to: { dependencyTypes: ["npm-dev", "npm-no-pkg", "npm-unknown"] },
    },
    ...Object.entries(allowed).map(([folder, before]) => ({
      name: `flow-of-${folder}`,
      comment: `${folder}/ may use ${before.join(", ") || "nothing"} of src/.`,
      severity: "error",
      from: { path: `^src/${folder}/` },
      to: { path: "^src/", pathNot: `^src/(${[folder, ...before].join("|")})/` },
    })),
  ],
  options: {
    doNotFollow: { path: "node_modules" },
    tsConfig: { fileName: "tsconfig.json" },
    // Type-only imports are dependencies of the reader too.
    tsPreCompilationDeps: true,
    enhancedResolveOptions: {
      exportsFields: ["exports"],
      conditionNames: ["import", "types", "node", "default"],
    },
  },
};

import type { Context } from "../context.ts";
import { EXIT } from "../exit.ts";
import { checkOutputs, STDOUT, writeOutput } from "../outputs.ts";
import type { CommandSpec } from "../spec.ts";

export const seriesInit: CommandSpec = {
  name: "init",
  summary: "write a commented series file to begin with",
  arguments: [
    {
      name: "FILE",
      description: "where to write it, such as my-row.yaml; - for standard output",
      completes: "file",
    },
  ],
  options: [],
  examples: ["ringwright series init my-row.yaml"],
  act: ({ args, context }) => init(args[0]!, context),
};

async function init(path: string, context: Context): Promise<number> {
  const { cwd } = context.io;
  const { STARTER_SERIES } = await import("../../series/index.ts");
  checkOutputs([{ option: "series init", path }], { cwd, force: false, inputs: [] });
  if (path === STDOUT) await context.print(STARTER_SERIES);
  else await writeOutput(path, STARTER_SERIES, { cwd, force: false });
  return EXIT.measured;
}

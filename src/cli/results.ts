import type { Context } from "./context.ts";
import { checkOutputs, type OutputTarget, STDOUT, writeOutput } from "./outputs.ts";

/** What every command that has results understands. */
export interface ResultFlags {
  json?: string;
  html?: string;
  csv?: string;
  force?: boolean;
  quiet?: boolean;
}

/** The forms a result can be written in; each is the name of its option. */
const FORMS = ["json", "html", "csv"] as const;
type Form = (typeof FORMS)[number];

/** What a command has to tell; each text is made only when it is asked for. */
export type Results = Partial<Record<Form, () => Promise<string>>> & { summary: () => Promise<string> };

/** Before any work: refuses what must not be written. @throws CliError */
export function checkResults(flags: ResultFlags, inputs: string[], cwd: string): void {
  checkOutputs(targetsOf(flags), { cwd, force: flags.force === true, inputs });
}

/**
 * Writes the files asked for, then prints: the one form sent to standard output alone, or else the summary. Files
 * come first, since a reader that closes the pipe early must not cost the user the report.
 */
export async function deliverResults(flags: ResultFlags, results: Results, context: Context): Promise<void> {
  const targets = targetsOf(flags);
  for (const { form, path } of targets.filter((target) => target.path !== STDOUT)) {
    context.progress.show(`writing ${path}`);
    await writeOutput(path, await results[form]!(), { cwd: context.io.cwd, force: flags.force === true });
    // A person wants to be told; a script that reads standard error does not.
    if (context.io.stderr.isTTY === true && !flags.quiet) await context.say(`wrote ${path}`);
  }
  const alone = targets.find((target) => target.path === STDOUT);
  if (alone) await context.print(await results[alone.form]!());
  else if (!flags.quiet) await context.print(await results.summary());
}

function targetsOf(flags: ResultFlags): (OutputTarget & { form: Form })[] {
  return FORMS.flatMap((form) => {
    const path = flags[form];
    return path === undefined ? [] : [{ form, option: `--${form}`, path }];
  });
}

import { statSync } from "node:fs";
import { resolve } from "node:path";
import { version } from "../../package.json";
import { COMMANDS } from "./commands/register.ts";
import { createContext } from "./context.ts";
import { type Engine, lazyEngine } from "./engine.ts";
import { EXIT } from "./exit.ts";
import type { Io } from "./io.ts";
import { parseArguments } from "./parser.ts";

/** What cannot be looked at, as a name too long or with a NUL in it, is no file to speak of. */
function isFile(path: string): boolean {
  try {
    return statSync(path).isFile();
  } catch {
    return false;
  }
}

/**
 * The whole command line, in one call.
 *
 * @param argv arguments without the interpreter and the script
 * @param io   streams, environment and folder to work in; nothing else of the process is touched, but for the
 *             signals that are held back while a file is being written
 * @param engine what measures and draws; by default the real folders, each loaded when first used
 * @returns the exit status: 0 measured, 1 cannot be measured, 2 wrong usage or unreadable file, 70 a fault of the
 *          tool's own, 130 interrupted; never throws
 */
export async function run(argv: string[], io: Io, engine: Engine = lazyEngine): Promise<number> {
  let context = createContext(io, engine, true);
  try {
    const request = parseArguments(argv, COMMANDS, version, (word) => isFile(resolve(io.cwd, word)));
    if (request.kind === "text") {
      await context.print(request.text);
      return EXIT.measured;
    }
    context = createContext(io, engine, request.colour);
    return await request.spec.act!({ args: request.args, flags: request.flags, context });
  } catch (error) {
    return await context.fail(error).catch(() => EXIT.fault);
  } finally {
    context.progress.clear();
  }
}

import type { Engine } from "./engine.ts";
import { CliError, explainError } from "./exit.ts";
import { type Io, plainLine, wantsColour, writeText } from "./io.ts";
import { createProgress, type Progress } from "./progress.ts";
import { ledBy } from "./sentence.ts";

/** What a command has to work with: the world, the engine, and its voice on stdout and stderr. */
export interface Context {
  io: Io;
  engine: Engine;
  progress: Progress;
  /** Whether the text for stdout may hold colour. */
  colour: boolean;
  /** Columns of the terminal, or null where stdout is none. */
  width: number | null;
  /** A result: stdout, and nothing else ever goes there. */
  print(text: string): Promise<void>;
  /** A warning or an error, one line on stderr. */
  say(sentence: string): Promise<void>;
  /** Says what went wrong, led by where (a path) unless the error names it, and returns the exit status. */
  fail(error: unknown, where?: string): Promise<number>;
}

export function createContext(io: Io, engine: Engine, colourAllowed: boolean): Context {
  // Node raises a closed pipe as an event too, which would end the process with a stack trace if nobody listened.
  for (const stream of [io.stdout, io.stderr]) {
    if (!stream.listeners("error").includes(ignore)) stream.on("error", ignore);
  }
  const progress = createProgress(io.stderr, io.stderr.isTTY === true && io.env.TERM !== "dumb", Date.now);
  const say = async (sentence: string): Promise<void> => {
    progress.clear();
    // That standard error cannot be written to can be said nowhere; the exit status still tells.
    await writeText(io.stderr, `ringwright: ${plainLine(sentence)}\n`, "standard error").catch(ignore);
  };
  return {
    io,
    engine,
    progress,
    colour: wantsColour(io.stdout, io.env, colourAllowed),
    width: io.stdout.isTTY === true ? io.stdout.columns || 80 : null,
    async print(text) {
      progress.clear();
      await writeText(io.stdout, text, "standard output");
    },
    say,
    async fail(error, where) {
      const { status, sentence } = explainError(error);
      await say(where === undefined || error instanceof CliError ? sentence : ledBy(where, sentence));
      // For developers; a user sees one sentence only.
      if (io.env.RINGWRIGHT_DEBUG && error instanceof Error) {
        await writeText(io.stderr, `${error.stack}\n`, "standard error").catch(ignore);
      }
      return status;
    },
  };
}

function ignore(): void {}

import { dirname, resolve } from "node:path";
import type { SeriesFile } from "../../series/index.ts";
import type { Context } from "../context.ts";
import { CliError } from "../exit.ts";
import { readInput, STDIN } from "../inputs.ts";

export interface OpenSeries {
  text: string;
  file: SeriesFile;
  /** The series file's folder: its recordings and its profile are named from there. */
  folder: string;
}

/** Reads a series file. @throws CliError that names the file and the line */
export async function openSeries(path: string, context: Context): Promise<OpenSeries> {
  const { cwd } = context.io;
  const { bytes } = await readInput(path, context.io);
  const text = new TextDecoder("utf-8", { ignoreBOM: true }).decode(bytes);
  const { readSeries } = await import("../../series/index.ts");
  return {
    text,
    file: inFile(path, () => readSeries(text)),
    folder: path === STDIN ? cwd : dirname(resolve(cwd, path)),
  };
}

/** A complaint about a series file, led by its name. */
export function inFile<Value>(path: string, read: () => Value): Value {
  try {
    return read();
  } catch (error) {
    if (error instanceof Error && error.name === "SeriesFileError") {
      throw new CliError(`${path}: ${error.message}`);
    }
    throw error;
  }
}

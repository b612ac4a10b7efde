#!/usr/bin/env node
import { writeSync } from "node:fs";
import { CliError, explainError } from "./exit.ts";
import { plainLine, silenceLibraries } from "./io.ts";
import { run } from "./run.ts";

silenceLibraries(process.env);
// What no step caught, such as an error that a library throws from a timer of its own.
process.on("uncaughtException", (error) => {
  const { status, sentence } = explainError(error);
  const text = process.env.RINGWRIGHT_DEBUG ? (error.stack ?? "") : plainLine(sentence);
  try {
    writeSync(process.stderr.fd, `ringwright: ${text}\n`);
  } finally {
    process.exit(status);
  }
});

function workingFolder(): string {
  try {
    return process.cwd();
  } catch {
    throw new CliError("the folder you are in is not there any more; change to another one and try again");
  }
}

process.exitCode = await run(process.argv.slice(2), {
  stdin: process.stdin,
  stdout: process.stdout,
  stderr: process.stderr,
  env: process.env,
  cwd: workingFolder(),
});

#!/usr/bin/env node
import { writeSync } from "node:fs";
import { EXIT, explainError } from "./exit.ts";
import { plainLine, silenceLibraries } from "./io.ts";
import { run } from "./run.ts";

silenceLibraries(process.env);
// What no step caught, such as an error that a library throws from a timer of its own.
process.on("uncaughtException", (error) => {
  const text = process.env.RINGWRIGHT_DEBUG ? (error.stack ?? "") : plainLine(explainError(error).sentence);
  try {
    writeSync(process.stderr.fd, `ringwright: ${text}\n`);
  } finally {
    process.exit(EXIT.fault);
  }
});

process.exitCode = await run(process.argv.slice(2), {
  stdin: process.stdin,
  stdout: process.stdout,
  stderr: process.stderr,
  env: process.env,
  cwd: process.cwd(),
});

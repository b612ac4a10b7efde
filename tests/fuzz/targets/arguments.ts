import fc from "fast-check";
import { COMMANDS } from "../../../src/cli/commands/register.ts";
import { lazyEngine } from "../../../src/cli/engine.ts";
import type { CommandSpec } from "../../../src/cli/spec.ts";
import { WAV_FILES } from "../files.ts";
import { ODD_TEXTS } from "../json-mutations.ts";
import { MEASUREMENTS } from "../measurements.ts";
import { runProgram } from "../program.ts";
import type { Target } from "../target.ts";
import { PROGRAM_LIMITS } from "./plan.ts";
import { changedMeasurements } from "./saved.ts";
import { FULL_SERIES, seriesTexts } from "./series.ts";

/** Every word that the program knows, from its own tables of commands and options. */
function wordsOf(spec: CommandSpec): string[] {
  return [
    spec.name,
    ...spec.options.map(({ name }) => `--${name}`),
    ...(spec.subcommands ?? []).flatMap(wordsOf),
  ];
}
const KNOWN = [
  ...new Set([...COMMANDS.flatMap(wordsOf), "--help", "-h", "--version", "-V", "--no-color", "--", "-"]),
];

const FILES = [
  ...[
    "bell.json",
    "cracked.json",
    "mutant.json",
    "sound.wav",
    "row.yaml",
    "plain.txt",
    "missing.wav",
    "out.json",
  ],
  ...["out.html", "*.json", "*.wav", "*", "{bell,cracked}.json", "[a-c]*.json", "+(b|c)*.json", "!(x)*.json"],
  ...["bell.json,cracked.json", "sound.wav/x", ".", "", "**", `${"+(a|".repeat(12)}b${")".repeat(12)}*`],
  ...["{1..100000000}.wav", `${"a".repeat(300)}.json`, "[", "{", "(", "*.{wav,json", "\\", "out.json/"],
];
const VALUES = [
  ...[
    "440",
    "1e999",
    "-1",
    "nominal=1234",
    "nominal=",
    "=",
    "12",
    "minor-third",
    "minor",
    "Cu80Sn20",
    "12kg",
  ],
  ...[
    "180mm",
    "C6",
    "1",
    "2",
    "bash",
    "zsh",
    "fish",
    "tap",
    "first",
    "20",
    "us",
    "metric",
    "mm",
    "bell.json:12kg",
  ],
];

/** Text of a user's that names no place outside the folder of the case. */
const garbage = fc
  .oneof(
    fc.string({ maxLength: 12 }),
    fc.string({ unit: "binary", maxLength: 6 }),
    fc.constantFrom(...ODD_TEXTS),
  )
  // The system hands over no NUL in an argument.
  .map((text) => text.replaceAll("\u0000", "").replace(/[/\\]|\.\./g, ""));

const word = fc.oneof(
  { arbitrary: fc.constantFrom(...KNOWN), weight: 6 },
  { arbitrary: fc.constantFrom(...FILES), weight: 6 },
  { arbitrary: fc.constantFrom(...VALUES), weight: 4 },
  { arbitrary: garbage, weight: 2 },
  {
    arbitrary: fc
      .tuple(fc.constantFrom(...KNOWN), fc.constantFrom(...VALUES, ...FILES, ""))
      .map(([option, value]) => `${option}=${value}`),
    weight: 1,
  },
);

/** Lines that begin as one that works does, so that half of them get beyond the parser. */
const BEGINNINGS = [
  ...[
    ["tap", "sound.wav"],
    ["tap"],
    ["compare", "bell.json", "cracked.json"],
    ["compare"],
    ["plan"],
    ["series"],
  ],
  ...[
    ["series", "row.yaml"],
    ["series", "add", "row.yaml", "first", "bell.json"],
    ["series", "init", "new.yaml"],
  ],
  ...[["compare", "bell.json", "mutant.json", "--json", "out.json", "--html", "out.html"]],
  ...[
    ["series", "row.yaml", "--json", "out.json", "--html", "out.html", "--csv", "out.csv"],
    ["completion"],
    [],
  ],
];

/** The program's own engine, but for the fit itself: it takes most of the time, and has a target of its own. */
const ENGINE = { ...lazyEngine, measureTap: async () => structuredClone(MEASUREMENTS[0]!) };

const SERIES = JSON.stringify(FULL_SERIES).replaceAll(/"[a-e]\.json"/g, '"bell.json"');

export const ARGUMENTS_TARGET: Target<{
  argv: string[];
  mutant: unknown;
  series: string | null;
  stdin: string;
}> = {
  name: "arguments",
  what: "whole command lines of known and unknown words: tap, compare, series, plan, completion",
  share: 12,
  limits: PROGRAM_LIMITS,
  cases: fc.record({
    argv: fc
      .tuple(fc.constantFrom(...BEGINNINGS), fc.array(word, { maxLength: 6 }))
      .map(([beginning, more]) => [...beginning, ...more]),
    mutant: changedMeasurements,
    series: fc.option(seriesTexts, { freq: 1 }),
    stdin: fc.constantFrom("", "x", JSON.stringify(MEASUREMENTS[0]), "RIFF"),
  }),
  check: ({ argv, mutant, series, stdin }) =>
    runProgram({
      argv,
      stdin,
      engine: ENGINE,
      files: {
        "bell.json": JSON.stringify(MEASUREMENTS[0]),
        "cracked.json": JSON.stringify(MEASUREMENTS[1]),
        "mutant.json": JSON.stringify(mutant) ?? "",
        "sound.wav": WAV_FILES[0]!,
        "row.yaml": series ?? SERIES,
        "plain.txt": "not a sound\n",
      },
    }),
};

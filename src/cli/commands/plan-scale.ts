import type { BellSize, Contraction, FamilyMember, ScaleRequest } from "../../foundry/index.ts";
import type { TapMeasurement } from "../../measurement/index.ts";
import type { Context } from "../context.ts";
import { CliError, EXIT } from "../exit.ts";
import { A4_OPTION, numberWithin } from "../options.ts";
import { checkResults } from "../results.ts";
import type { CommandSpec } from "../spec.ts";
import { deliverPlan, type PlanFlags } from "./plan-deliver.ts";
import { readMeasuredBell } from "./plan-measurement.ts";
import {
  asMeasured,
  type Foundry,
  optional,
  PLAN_OPTIONS,
  readAs,
  required,
  textOption,
} from "./plan-options.ts";

interface ScaleFlags extends PlanFlags {
  note?: string;
  hz?: number;
  a4?: number;
  partial?: string;
  fromAlloy?: string;
  toAlloy?: string;
  diameter?: string;
  height?: string;
  wall?: string;
  mass?: string;
  wallOnly?: boolean;
  family?: string[];
  contraction?: string;
  measuredAt?: string;
  playedAt?: string;
}

export const planScale: CommandSpec = {
  name: "scale",
  summary: "how large a pattern for the wanted note, from a measured bell",
  arguments: [
    {
      name: "MEASUREMENT",
      description: "the bell to scale: JSON saved by tap, or a recording",
      completes: "file",
    },
  ],
  options: [
    textOption("note", "NOTE", "the note it should sound, as in C6 or F#5"),
    {
      ...textOption("hz", "HZ", "the same in hertz"),
      parse: (text) => numberWithin(text, "--hz", 1, 100000, "hertz"),
    },
    A4_OPTION,
    textOption("partial", "NAME", "the partial to bring to that note (default: the strike note)"),
    textOption("from-alloy", "ALLOY", "what the measured bell is cast in, as in Cu90Sn10"),
    textOption("to-alloy", "ALLOY", "what the new one is to be cast in"),
    textOption("diameter", "LENGTH", "mouth of the measured bell, as in 180mm or 7.1in"),
    textOption("height", "LENGTH", "its height"),
    textOption("wall", "LENGTH", "its wall, where it is thickest"),
    textOption("mass", "MASS", "its mass, as in 4.2kg or 9.3lb"),
    {
      name: "wall-only",
      value: null,
      description: "keep diameter and height and change the wall",
      completes: null,
    },
    {
      ...textOption(
        "family",
        "FILE:SIZE",
        "another measured bell of the family with its diameter (or mass), to fit the scaling exponent; repeatable",
        true,
      ),
      completes: "file",
    },
    textOption(
      "contraction",
      "PERCENT",
      "patternmaker's contraction, as in 1.5% or 3/16in/ft (default: published)",
    ),
    textOption("measured-at", "TEMPERATURE", "metal when measured, as in 5C or 41F; with --played-at"),
    textOption("played-at", "TEMPERATURE", "metal when it is to sound the note"),
    ...PLAN_OPTIONS,
  ],
  examples: [
    "ringwright plan scale bell.json --note C6",
    "ringwright plan scale bell.json --hz 1046.5 --from-alloy Cu90Sn10 --to-alloy Cu80Sn20",
    "ringwright plan scale bell.json --note G5 --diameter 180mm --mass 4.2kg --family small.json:120mm --json plan.json",
  ],
  note: "Sizes are those of the measured bell as cast. Save the plan with --json to review the casting against it.",
  act: ({ args, flags, context }) => act(args[0]!, flags as ScaleFlags, context),
};

async function act(path: string, flags: ScaleFlags, context: Context): Promise<number> {
  const familyPaths = (flags.family ?? []).map((text) => splitMember(text));
  checkResults(flags, [path, ...familyPaths.map((member) => member.path)], context.io.cwd);
  const foundry = await import("../../foundry/index.ts");
  const a4Hz = flags.a4 ?? 440;
  const wanted = await wantedOf(flags, a4Hz);
  const measurement = await readMeasuredBell(path, a4Hz, context);
  const reference = flags.partial ?? foundry.STRIKE_NOTE;
  const request: ScaleRequest = {
    measurement,
    reference,
    targetHz: wanted,
    targetNote: flags.note?.trim() ?? null,
    ...(await sizesOf(flags, familyPaths, measurement, reference, context, foundry)),
    fromAlloy: optional("--from-alloy", flags.fromAlloy, foundry.parseComposition),
    toAlloy: optional("--to-alloy", flags.toAlloy, foundry.parseComposition),
    wallOnly: flags.wallOnly === true,
    contraction: optional("--contraction", flags.contraction, (text) => ownContraction(text, foundry)),
    temperature: temperatureOf(flags, foundry),
  };
  const scale = readAs(path, () => foundry.planScale(request));
  await deliverPlan({ command: "scale", scale }, flags, context);
  return EXIT.measured;
}

async function wantedOf({ note, hz }: ScaleFlags, a4Hz: number): Promise<number> {
  if ((note === undefined) === (hz === undefined)) {
    throw new CliError(
      "say what it should sound: either --note, for example --note C6, or --hz, for example --hz 1046.5",
    );
  }
  if (hz !== undefined) return hz;
  const { noteToHz } = await import("../../bell/index.ts");
  try {
    return noteToHz(note!, a4Hz);
  } catch (error) {
    throw error instanceof RangeError ? new CliError(`--note: ${error.message}`) : error;
  }
}

function ownContraction(text: string, foundry: Foundry): Contraction {
  return { fraction: asMeasured(foundry.parseContraction(text)), source: "given with --contraction" };
}

function temperatureOf({ measuredAt, playedAt }: ScaleFlags, foundry: Foundry): ScaleRequest["temperature"] {
  if (measuredAt === undefined && playedAt === undefined) return null;
  return {
    measuredC: required("--measured-at", measuredAt, "20C", foundry.parseTemperatureC).value,
    playedC: required("--played-at", playedAt, "5C", foundry.parseTemperatureC).value,
  };
}

/** `FILE:SIZE`, split at the last colon, since paths may hold some. */
function splitMember(text: string): { path: string; size: string } {
  const at = text.lastIndexOf(":");
  if (at < 1 || at === text.length - 1) {
    throw new CliError(
      `--family takes a file and its bell's size, as in --family small.json:120mm, not "${text}"`,
    );
  }
  return { path: text.slice(0, at), size: text.slice(at + 1) };
}

async function sizesOf(
  flags: ScaleFlags,
  members: { path: string; size: string }[],
  measurement: TapMeasurement,
  reference: string,
  context: Context,
  foundry: Foundry,
): Promise<{ size: BellSize; family: FamilyMember[] }> {
  const length = (option: string, text?: string) =>
    optional(option, text, (given) => asMeasured(foundry.parseLengthM(given)));
  const size: BellSize = {
    diameterM: length("--diameter", flags.diameter),
    heightM: length("--height", flags.height),
    wallM: length("--wall", flags.wall),
    massKg: optional("--mass", flags.mass, (given) => asMeasured(foundry.parseMassKg(given))),
  };
  if (members.length === 0) return { size, family: [] };
  const byMass = members.every((member) => foundry.isMass(member.size));
  const own = byMass ? size.massKg : size.diameterM;
  if (own === null) {
    const option = byMass ? "--mass" : "--diameter";
    throw new CliError(`with --family the measured bell's own size is needed too; give it with ${option}`);
  }
  const read = (text: string) => asMeasured(byMass ? foundry.parseMassKg(text) : foundry.parseLengthM(text));
  const family = [{ frequencyHz: foundry.referenceHz(measurement, reference), size: own }];
  for (const member of members) {
    const bell = await readMeasuredBell(member.path, flags.a4 ?? 440, context);
    family.push({
      frequencyHz: readAs(member.path, () => foundry.referenceHz(bell, reference)),
      size: readAs("--family", () => read(member.size)),
    });
  }
  return {
    size,
    family: byMass ? family.map((bell) => ({ ...bell, size: foundry.cubeRoot(bell.size) })) : family,
  };
}

import fc from "fast-check";
import { sampleScale } from "../../foundry/plan-samples.ts";
import { changeJson, jsonChanges, ODD_TEXTS } from "../json-mutations.ts";
import { MEASUREMENTS } from "../measurements.ts";
import { runProgram } from "../program.ts";
import type { Limits, Target } from "../target.ts";

/** Loading the program's parts the first time costs about a second of the processor; a plan itself some milliseconds. */
export const PROGRAM_LIMITS: Limits = {
  cpuMs: 5000,
  cpuMsPerMegabyte: 20_000,
  memoryBytes: 192 * 2 ** 20,
  memoryPerByte: 200,
};

const number = fc.oneof(
  fc.constantFrom(
    "0",
    "1",
    "12",
    "0.5",
    "100",
    "1e3",
    "-1",
    ".5",
    "5.",
    "1e308",
    "0.0000001",
    "9".repeat(400),
    "007",
  ),
  fc.double({ min: 0, max: 1e6, noNaN: true }).map((value) => value.toFixed(3)),
);
const of = (units: string[]): fc.Arbitrary<string> =>
  fc.tuple(number, fc.constantFrom(...units)).map(([value, unit]) => value + unit);
const mass = of(["kg", "g", "lb", "t", "oz", "", "m", "KG"]);
const length = of(["mm", "cm", "m", "in", "ft", "", "km"]);
const volume = of(["cm3", "l", "m3", "in3", "mm3", "cm"]);
const percent = of(["%", "", "%%"]);
const temperature = of(["C", "F", "", "K"]);
const element = fc.constantFrom("Cu", "Sn", "Zn", "Pb", "P", "Ni", "Xx", "cu", "");
const alloy = fc.oneof(
  fc.constantFrom(
    "Cu80Sn20",
    "CuSn20",
    "Cu78.5Sn21.5",
    "Cu100",
    "Sn100",
    "Cu88Sn10Zn2",
    "Cu0Sn100",
    "Cu",
    "x",
  ),
  fc
    .array(
      fc.tuple(element, number).map((pair) => pair.join("")),
      { maxLength: 4 },
    )
    .map((parts) => parts.join("")),
  fc.integer({ min: 0, max: 100 }).map((tin) => `Cu${100 - tin}Sn${tin}`),
);
const share = fc.tuple(element, percent).map((pair) => pair.join("="));
const joined = (...parts: fc.Arbitrary<string>[]): fc.Arbitrary<string> =>
  fc.tuple(...parts).map((values) => values.join(":"));
const odd = fc.constantFrom(...ODD_TEXTS.filter((text) => !text.includes("\u0000") && !text.includes("/")));
const note = fc.constantFrom("C6", "F#5", "H3", "C99", "c-1", "Bb4", "");

const VALUES: Record<string, fc.Arbitrary<string>> = {
  mass,
  volume,
  alloy,
  feeding: fc.oneof(percent, mass),
  loss: share,
  return: joined(fc.constantFrom("gates", "pig", "__proto__", ""), mass, alloy),
  new: fc.array(element, { maxLength: 3 }).map((list) => list.join(",")),
  allow: share,
  price: fc.tuple(fc.oneof(element, fc.constant("gates")), number).map((pair) => pair.join("=")),
  crucible: mass,
  have: joined(mass, alloy),
  want: alloy,
  air: mass,
  water: mass,
  "water-temperature": temperature,
  balance: mass,
  note,
  hz: number,
  a4: fc.constantFrom("440", "300", "600", "0", "x"),
  partial: fc.constantFrom("nominal", "hum", "strike note", "quint", "", "x"),
  "from-alloy": alloy,
  "to-alloy": alloy,
  diameter: length,
  height: length,
  wall: length,
  contraction: fc.oneof(percent, fc.constantFrom("3/16in/ft", "0/0in/ft", "1/0in/ft", "99999999999/1in/ft")),
  "measured-at": temperature,
  "played-at": temperature,
  family: joined(fc.constantFrom("bell.json", "cracked.json", "missing.json"), fc.oneof(length, mass)),
  units: fc.constantFrom("metric", "us", "x"),
};

const OPTIONS: Record<string, { needed: string[]; more: string[]; arguments: string[] }> = {
  charge: {
    needed: ["mass", "alloy"],
    more: ["volume", "feeding", "loss", "return", "return", "new", "allow", "price", "crucible", "units"],
    arguments: [],
  },
  correct: { needed: ["have", "want"], more: ["loss", "allow", "crucible", "units"], arguments: [] },
  density: {
    needed: ["air", "water"],
    more: ["water-temperature", "balance", "alloy", "units"],
    arguments: [],
  },
  scale: {
    needed: ["note"],
    more: [
      ...[
        "hz",
        "a4",
        "partial",
        "from-alloy",
        "to-alloy",
        "diameter",
        "height",
        "wall",
        "mass",
        "family",
        "family",
      ],
      ...["contraction", "measured-at", "played-at", "units"],
    ],
    arguments: ["bell.json"],
  },
  review: { needed: [], more: ["mass", "diameter", "units"], arguments: ["plan.json", "bell.json"] },
};

const commandLines: fc.Arbitrary<string[]> = fc.constantFrom(...Object.keys(OPTIONS)).chain((command) => {
  const { needed, more, arguments: given } = OPTIONS[command]!;
  const option = (name: string, freq = 1) =>
    fc
      .option(fc.oneof({ arbitrary: VALUES[name]!, weight: 12 }, { arbitrary: odd, weight: 1 }), { freq })
      .map((value) => (value === null ? [] : [`--${name}`, value]));
  return fc
    .tuple(...needed.map((name) => option(name, 15)), ...more.map((name) => option(name)))
    .map((options) => ["plan", command, ...given, ...options.flat()]);
});

export const PLAN_TARGET: Target<{ argv: string[]; plan: unknown; html: boolean }> = {
  name: "plan",
  what: "plan commands: quantities, alloys, charges, saved plans",
  share: 15,
  limits: PROGRAM_LIMITS,
  cases: fc.record({
    argv: commandLines,
    plan: fc.oneof(
      fc.constant(JSON.parse(JSON.stringify(sampleScale()))),
      jsonChanges.map((changes) => changeJson(JSON.parse(JSON.stringify(sampleScale())), changes)),
    ),
    html: fc.boolean(),
  }),
  check: ({ argv, plan, html }) =>
    runProgram({
      argv: [...argv, "--json", "out.json", ...(html ? ["--html", "out.html"] : [])],
      files: {
        "bell.json": JSON.stringify(MEASUREMENTS[0]),
        "cracked.json": JSON.stringify(MEASUREMENTS[1]),
        "plan.json": JSON.stringify(plan) ?? "",
      },
    }),
};

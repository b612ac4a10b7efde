import type { Context } from "../context.ts";
import { EXIT } from "../exit.ts";
import { checkResults } from "../results.ts";
import type { CommandSpec } from "../spec.ts";
import { deliverPlan, type PlanFlags } from "./plan-deliver.ts";
import { asMeasured, type Foundry, optional, PLAN_OPTIONS, required, textOption } from "./plan-options.ts";

interface DensityFlags extends PlanFlags {
  air?: string;
  water?: string;
  waterTemperature?: string;
  balance?: string;
  alloy?: string;
}

export const planDensity: CommandSpec = {
  name: "density",
  summary: "what weighing a casting in air and in water says about its tin and its pores",
  arguments: [],
  options: [
    textOption("air", "MASS", "the balance's reading in air, with all its digits, as in 812g"),
    textOption("water", "MASS", "its reading with the casting hung under water, as in 718g"),
    textOption(
      "water-temperature",
      "TEMPERATURE",
      "the water's, as in 12C or 54F (default: 20C, give or take 5)",
    ),
    textOption("balance", "MASS", "how far the balance may be off (default: half its last digit)"),
    textOption("alloy", "ALLOY", "what it was meant to be, to reckon its pores, as in Cu80Sn20"),
    ...PLAN_OPTIONS,
  ],
  examples: [
    "ringwright plan density --air 812g --water 718g",
    "ringwright plan density --air 812.4g --water 718.1g --water-temperature 14C --alloy Cu80Sn20",
  ],
  act: ({ flags, context }) => act(flags as DensityFlags, context),
};

/** A tub of tap water that nobody measured. */
const USUAL_WATER = { value: 20, ci95: 5 };

async function act(flags: DensityFlags, context: Context): Promise<number> {
  checkResults(flags, [], context.io.cwd);
  const foundry = await import("../../foundry/index.ts");
  const balanceKg = optional("--balance", flags.balance, foundry.parseMassKg)?.value ?? null;
  const reading = (text: string) => {
    const read = asMeasured(foundry.parseMassKg(text));
    return balanceKg === null ? read : { ...read, ci95: balanceKg };
  };
  const density = foundry.densityFromWeighing({
    airKg: required("--air", flags.air, "812g", reading),
    waterKg: required("--water", flags.water, "718g", reading),
    waterTemperatureC: waterOf(flags.waterTemperature, foundry),
    meant: optional("--alloy", flags.alloy, foundry.parseComposition),
  });
  await deliverPlan({ command: "density", density }, flags, context);
  return EXIT.measured;
}

function waterOf(text: string | undefined, foundry: Foundry) {
  const given = optional("--water-temperature", text, (t) => asMeasured(foundry.parseTemperatureC(t)));
  return given ?? USUAL_WATER;
}

import type { Context } from "../context.ts";
import { EXIT } from "../exit.ts";
import { readInput } from "../inputs.ts";
import { checkResults } from "../results.ts";
import type { CommandSpec } from "../spec.ts";
import { deliverPlan, type PlanFlags } from "./plan-deliver.ts";
import { readMeasuredBell } from "./plan-measurement.ts";
import { asMeasured, optional, PLAN_OPTIONS, readAs, textOption } from "./plan-options.ts";

interface ReviewFlags extends PlanFlags {
  mass?: string;
  diameter?: string;
}

export const planReview: CommandSpec = {
  name: "review",
  summary: "set a casting against its plan: what contraction, alloy or wall the difference implies",
  arguments: [
    { name: "PLAN", description: "the plan, saved by plan scale --json", completes: "file" },
    { name: "MEASUREMENT", description: "the casting: JSON saved by tap, or a recording", completes: "file" },
  ],
  options: [
    textOption("mass", "MASS", "what the casting weighs, feeding system off, as in 4.2kg or 9.3lb"),
    textOption("diameter", "LENGTH", "its mouth as cast, as in 180.5mm or 7.11in"),
    ...PLAN_OPTIONS,
  ],
  examples: [
    "ringwright plan review plan.json casting.json",
    "ringwright plan review plan.json casting.wav --mass 4.21kg --diameter 181mm",
  ],
  act: ({ args, flags, context }) => act(args[0]!, args[1]!, flags as ReviewFlags, context),
};

async function act(planPath: string, path: string, flags: ReviewFlags, context: Context): Promise<number> {
  checkResults(flags, [planPath, path], context.io.cwd);
  const foundry = await import("../../foundry/index.ts");
  const { bytes } = await readInput(planPath, context.io);
  const plan = readAs(planPath, () => foundry.readScalePlan(new TextDecoder().decode(bytes)));
  const massKg = optional("--mass", flags.mass, (text) => asMeasured(foundry.parseMassKg(text)));
  const diameterM = optional("--diameter", flags.diameter, (text) => asMeasured(foundry.parseLengthM(text)));
  const measurement = await readMeasuredBell(path, 440, context);
  const review = readAs(path, () => foundry.reviewPlan({ plan, measurement, massKg, diameterM }));
  await deliverPlan({ command: "review", review }, flags, context);
  return EXIT.measured;
}

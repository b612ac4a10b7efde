import type { Context } from "../context.ts";
import { EXIT } from "../exit.ts";
import { checkResults } from "../results.ts";
import type { CommandSpec } from "../spec.ts";
import { deliverPlan, type PlanFlags } from "./plan-deliver.ts";
import {
  ALLOW_OPTION,
  CRUCIBLE_OPTION,
  LOSS_OPTION,
  optional,
  PLAN_OPTIONS,
  readFractions,
  readMetal,
  required,
  textOption,
} from "./plan-options.ts";

interface CorrectFlags extends PlanFlags {
  have?: string;
  want?: string;
  loss?: string[];
  allow?: string[];
  crucible?: string;
}

export const planCorrect: CommandSpec = {
  name: "correct",
  summary: "what to add to a heat or a wrong casting to bring it to the wanted alloy",
  arguments: [],
  options: [
    textOption("have", "MASS:ALLOY", "the metal there is, as in 10kg:Cu90Sn10"),
    textOption("want", "ALLOY", "the wanted alloy in mass per cent, as in Cu80Sn20"),
    LOSS_OPTION,
    ALLOW_OPTION,
    CRUCIBLE_OPTION,
    ...PLAN_OPTIONS,
  ],
  examples: [
    "ringwright plan correct --have 10kg:Cu90Sn10 --want Cu80Sn20",
    "ringwright plan correct --have 22lb:Cu90Sn10 --want Cu80Sn20 --crucible 33lb --units us",
  ],
  note: "Molten metal kills: local codes and licensed practice first; the sheet carries the usual cautions.",
  act: ({ flags, context }) => act(flags as CorrectFlags, context),
};

async function act(flags: CorrectFlags, context: Context): Promise<number> {
  checkResults(flags, [], context.io.cwd);
  const foundry = await import("../../foundry/index.ts");
  const have = required("--have", flags.have, "10kg:Cu90Sn10", (text) => readMetal("--have", text, foundry));
  const want = required("--want", flags.want, "Cu80Sn20", foundry.parseComposition);
  const correct = foundry.planCorrection({
    haveKg: have.massKg,
    have: have.composition,
    recipe: foundry.recipeFor(want, readFractions("--allow", flags.allow, foundry)),
    losses: readFractions("--loss", flags.loss, foundry),
    crucibleKg: optional("--crucible", flags.crucible, foundry.parseMassKg)?.value ?? null,
  });
  await deliverPlan({ command: "correct", correct }, flags, context);
  for (const reason of correct.cannot) await context.say(`this cannot be corrected: ${reason}`);
  if (correct.crucible?.fits === false)
    await context.say("the corrected heat does not fit the crucible; see the plan");
  return correct.cannot.length === 0 && correct.crucible?.fits !== false ? EXIT.measured : EXIT.notMeasurable;
}

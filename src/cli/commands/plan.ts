import type { CommandSpec } from "../spec.ts";
import { planCharge } from "./plan-charge.ts";
import { planCorrect } from "./plan-correct.ts";
import { planDensity } from "./plan-density.ts";
import { planReview } from "./plan-review.ts";
import { planScale } from "./plan-scale.ts";

export const plan: CommandSpec = {
  name: "plan",
  summary: "plan the next pour: size, charge, correction, density, and the review after it",
  arguments: [],
  options: [],
  examples: [
    "ringwright plan scale bell.json --note C6",
    "ringwright plan charge --mass 12kg --alloy Cu78Sn22 --feeding 30%",
    "ringwright plan correct --have 10kg:Cu90Sn10 --want Cu80Sn20",
  ],
  subcommands: [planScale, planCharge, planCorrect, planDensity, planReview],
};

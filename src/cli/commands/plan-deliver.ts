import { version } from "../../../package.json";
import type { PlanDocument } from "../../foundry/index.ts";
import type { Context } from "../context.ts";
import { deliverResults, type ResultFlags } from "../results.ts";
import type { Units } from "./plan-options.ts";

export interface PlanFlags extends ResultFlags {
  units?: Units;
}

/** Writes the files asked for, then prints the plan. */
export async function deliverPlan(
  plan: Omit<PlanDocument, "schema" | "tool">,
  flags: PlanFlags,
  context: Context,
): Promise<void> {
  const { PLAN_SCHEMA } = await import("../../foundry/index.ts");
  const document: PlanDocument = { schema: PLAN_SCHEMA, tool: { name: "ringwright", version }, ...plan };
  const units = flags.units ?? "metric";
  const report = () => import("../../report/index.ts");
  await deliverResults(
    flags,
    {
      json: async () => `${JSON.stringify(document, null, 2)}\n`,
      html: async () => (await report()).htmlPlan(document, units, today(new Date())),
      summary: async () => (await report()).terminalPlan(document, { ...context, units }),
    },
    context,
  );
}

/** "2026-05-01" by the reader's own calendar. */
function today(date: Date): string {
  const two = (n: number): string => String(n).padStart(2, "0");
  return `${date.getFullYear()}-${two(date.getMonth() + 1)}-${two(date.getDate())}`;
}

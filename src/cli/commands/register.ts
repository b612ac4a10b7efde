import type { CommandSpec } from "../spec.ts";
import { compare } from "./compare.ts";
import { completionOf } from "./completion.ts";
import { forecast } from "./forecast.ts";
import { plan } from "./plan.ts";
import { series } from "./series.ts";
import { tap } from "./tap.ts";

/** Every command, in the order of the help. A new one is a file in this folder and a line here. */
export const COMMANDS: CommandSpec[] = [tap, compare, series, plan, forecast];

COMMANDS.push(completionOf(COMMANDS));

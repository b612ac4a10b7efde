import { charts } from "./charts.ts";
import { plan } from "./plan.ts";
import { print } from "./print.ts";
import { series } from "./series.ts";
import { tables } from "./tables.ts";
import { text } from "./text.ts";
import { tokens } from "./tokens.ts";

/** The style sheet of every report; print comes late, so that it wins. */
export const reportStyle: string = [tokens, text, tables, charts, series, print, plan].join("");

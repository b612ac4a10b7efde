export type * from "./tap.ts";

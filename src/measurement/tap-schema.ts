import schema from "../../docs/schemas/tap-1.schema.json" with { type: "json" };
import type { SchemaNode } from "./schema-check.ts";

/** JSON Schema of `ringwright.tap/1`: the one description that the reader, the writer and other programs share. */
export const TAP_SCHEMA: SchemaNode = schema;

/** Version word of the measurements that this build writes. */
export const TAP_VERSION = "ringwright.tap/1";

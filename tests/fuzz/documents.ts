import Ajv2020 from "ajv/dist/2020.js";
import { readText } from "./root.ts";
import { OutcomeError } from "./target.ts";

const ajv = new Ajv2020({ strict: true, allowUnionTypes: true, strictRequired: false });
const VALIDATORS = new Map(
  ["tap", "compare", "plan", "series"].map((name) => [
    `ringwright.${name}/1`,
    ajv.compile(JSON.parse(readText(`docs/schemas/${name}-1.schema.json`))),
  ]),
);

/** The text is JSON of one of the published schemas, and valid by it. */
export function expectDocument(text: string, where: string): void {
  const document = JSON.parse(text);
  const accepts = VALIDATORS.get(document.schema);
  if (accepts === undefined) throw new OutcomeError(`${where} has the schema ${document.schema}`);
  if (accepts(document)) return;
  const [error] = accepts.errors!;
  throw new OutcomeError(`${where} is not valid: ${error!.instancePath} ${error!.message}`);
}

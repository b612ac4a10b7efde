/** The part of JSON Schema 2020-12 that the schemas of this project use; a test holds them to it. */
export interface SchemaNode {
  $ref?: string;
  $defs?: Record<string, SchemaNode>;
  anyOf?: SchemaNode[];
  const?: string;
  enum?: string[];
  type?: string | string[];
  required?: string[];
  properties?: Record<string, SchemaNode>;
  additionalProperties?: SchemaNode;
  items?: SchemaNode;
  minItems?: number;
  maxItems?: number;
  minimum?: number;
  maximum?: number;
  exclusiveMinimum?: number;
}

/** The first thing in a value that its schema does not allow. */
export interface Complaint {
  /** Path of the field, e.g. "partials[2].frequencyHz.ci95". */
  path: string;
  /** What the schema asks for there, e.g. "a number of 0 or more". */
  expected: string;
  /** What was found, e.g. the text "abc". */
  found: string;
  /** A fixed word differs: tells the alternatives of an anyOf apart. */
  isLabel: boolean;
}

const TYPE_WORDS: Record<string, string> = {
  object: "an object",
  array: "a list",
  string: "a text",
  number: "a number",
  integer: "a whole number",
  boolean: "true or false",
  null: "null",
};

const typeTest: Record<string, (value: unknown) => boolean> = {
  object: (value) => typeof value === "object" && value !== null && !Array.isArray(value),
  array: Array.isArray,
  string: (value) => typeof value === "string",
  // JSON has no other numbers, and a value from elsewhere must not have them either.
  number: (value) => typeof value === "number" && Number.isFinite(value),
  integer: (value) => Number.isInteger(value),
  boolean: (value) => typeof value === "boolean",
  null: (value) => value === null,
};

const MAX_QUOTED = 40;

/** What stands in a field, short enough for one sentence. */
export function describe(value: unknown): string {
  if (value === undefined) return "missing";
  if (typeof value === "string") {
    const text = value.length > MAX_QUOTED ? `${value.slice(0, MAX_QUOTED)}...` : value;
    return `the text ${JSON.stringify(text)}`;
  }
  if (Array.isArray(value)) return `a list of ${value.length}`;
  return typeof value === "object" && value !== null ? "an object" : String(value);
}

/** Follows a reference into `$defs`. */
export function resolve(root: SchemaNode, node: SchemaNode): SchemaNode {
  if (node.$ref === undefined) return node;
  const target = root.$defs?.[node.$ref.replace("#/$defs/", "")];
  if (target === undefined) throw new RangeError(`schema reference ${node.$ref} leads nowhere`);
  return target;
}

function boundWords(node: SchemaNode): string {
  if (node.exclusiveMinimum !== undefined) return ` above ${node.exclusiveMinimum}`;
  if (node.minimum === undefined) return "";
  return node.maximum === undefined
    ? ` of ${node.minimum} or more`
    : ` from ${node.minimum} to ${node.maximum}`;
}

function typeWords(types: readonly string[], node: SchemaNode): string {
  return types
    .map((type) => TYPE_WORDS[type]! + (type === "number" || type === "integer" ? boundWords(node) : ""))
    .join(" or ");
}

function isOutOfBounds(value: number, { minimum, maximum, exclusiveMinimum }: SchemaNode): boolean {
  return (
    (minimum !== undefined && value < minimum) ||
    (maximum !== undefined && value > maximum) ||
    (exclusiveMinimum !== undefined && value <= exclusiveMinimum)
  );
}

const depthOf = (path: string) => path.split(/[.[]/).length;

/** Of the alternatives the one whose fixed words fit, then the one that went furthest, is what the writer meant. */
function complaintOfAny(
  root: SchemaNode,
  options: SchemaNode[],
  value: unknown,
  path: string,
): Complaint | null {
  const complaints: Complaint[] = [];
  for (const option of options) {
    const complaint = firstComplaint(root, option, value, path);
    if (complaint === null) return null;
    complaints.push(complaint);
  }
  const rank = (c: Complaint) => (c.isLabel ? 0 : 1000) + depthOf(c.path);
  return complaints.reduce((best, c) => (rank(c) > rank(best) ? c : best));
}

function complaintInObject(
  root: SchemaNode,
  node: SchemaNode,
  value: Record<string, unknown>,
  path: string,
): Complaint | null {
  const inside = (key: string) =>
    !/^\w+$/.test(key) ? `${path}[${JSON.stringify(key)}]` : path === "" ? key : `${path}.${key}`;
  for (const [key, child] of Object.entries(node.properties ?? {})) {
    const present = Object.hasOwn(value, key);
    if (!present && !node.required?.includes(key)) continue;
    const complaint = firstComplaint(root, child, present ? value[key] : undefined, inside(key));
    if (complaint !== null) return complaint;
  }
  if (node.additionalProperties === undefined) return null;
  for (const key of Object.keys(value)) {
    if (node.properties !== undefined && Object.hasOwn(node.properties, key)) continue;
    const complaint = firstComplaint(root, node.additionalProperties, value[key], inside(key));
    if (complaint !== null) return complaint;
  }
  return null;
}

function complaintInArray(
  root: SchemaNode,
  node: SchemaNode,
  value: unknown[],
  path: string,
): Complaint | null {
  const { minItems = 0, maxItems = Number.POSITIVE_INFINITY, items } = node;
  if (value.length < minItems || value.length > maxItems) {
    const bound = minItems === maxItems ? "exactly" : value.length < minItems ? "at least" : "at most";
    const limit = value.length < minItems ? minItems : maxItems;
    return { path, expected: `a list of ${bound} ${limit}`, found: describe(value), isLabel: false };
  }
  if (items === undefined) return null;
  // Curves are lists of thousands of numbers: no path is written for one that is as it should be.
  const areNumbers = items.type === "number" && items.const === undefined && items.enum === undefined;
  for (let i = 0; i < value.length; i++) {
    const item = value[i];
    if (areNumbers && typeTest.number!(item) && !isOutOfBounds(item as number, items)) continue;
    const complaint = firstComplaint(root, items, item, `${path}[${i}]`);
    if (complaint !== null) return complaint;
  }
  return null;
}

/**
 * Checks a value against a schema, depth first in the schema's own order.
 *
 * @returns the first thing that the schema does not allow, or null
 */
export function firstComplaint(
  root: SchemaNode,
  nodeOrReference: SchemaNode,
  value: unknown,
  path: string,
): Complaint | null {
  const node = resolve(root, nodeOrReference);
  const complain = (expected: string, isLabel = false): Complaint => ({
    path,
    expected,
    found: describe(value),
    isLabel,
  });
  if (node.anyOf !== undefined) return complaintOfAny(root, node.anyOf, value, path);
  if (node.const !== undefined && value !== node.const) return complain(JSON.stringify(node.const), true);
  if (node.enum !== undefined && !node.enum.some((word) => word === value)) {
    return complain(`one of ${node.enum.map((word) => JSON.stringify(word)).join(", ")}`);
  }
  if (node.type !== undefined) {
    const types = [node.type].flat();
    const bad =
      !types.some((type) => typeTest[type]!(value)) ||
      (typeof value === "number" && isOutOfBounds(value, node));
    if (bad) return complain(typeWords(types, node));
  }
  if (Array.isArray(value)) return complaintInArray(root, node, value, path);
  if (typeTest.object!(value)) {
    return complaintInObject(root, node, value as Record<string, unknown>, path);
  }
  return null;
}

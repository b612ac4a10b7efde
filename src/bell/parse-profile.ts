import {
  type PartialStatus,
  type Profile,
  type ProfilePartial,
  type ProfileRimLaw,
  partialByName,
} from "./profile.ts";

/** For a user's own profile that does not say: as wide as the built-in profiles of untuned bells. */
const DEFAULT_SPREAD = 0.08;
const DEFAULT_PRESENCE = 0.7;
const DEFAULT_SPREAD_P = 0.07;
const MAX_PARTIALS = 40;
/**
 * A cent is 0.0006. References are tried on a grid finer than the narrowest spread, over all that the ratios span, so
 * both must have ends.
 */
const MIN_SPREAD = 0.0005;
const MIN_RATIO = 0.001;
const MAX_RATIO = 1000;
/** Of what stands in a field, so much is quoted. */
const MOST_QUOTED = 60;
const MAX_B = 10;
const MAX_P = 4;
const STATUSES: readonly PartialStatus[] = ["read", "from memory", "computed", "assumed"];

type Fields = Record<string, unknown>;

function fail(what: string): never {
  throw new RangeError(`profile: ${what}`);
}

function fieldsOf(value: unknown, where: string): Fields {
  if (typeof value !== "object" || value === null || Array.isArray(value)) {
    fail(`${where} is not a JSON object; write it as { "name": value, ... }`);
  }
  return value as Fields;
}

function onlyKnown(fields: Fields, known: readonly string[], where: string): void {
  for (const key of Object.keys(fields)) {
    if (!known.includes(key))
      fail(`${where} has the unknown field "${key}"; it may have ${known.join(", ")}`);
  }
}

function text(value: unknown, where: string): string {
  if (typeof value !== "string" || value.trim() === "")
    fail(`${where} is not a text; write a non-empty string`);
  return value.trim();
}

function optionalText(value: unknown, where: string): string {
  return value === undefined ? "" : typeof value === "string" ? value : text(value, where);
}

/** What stands in a field, as JSON where it is a single value, its end left out where it is long. */
function quoted(value: unknown): string {
  if (Array.isArray(value)) return `a list of ${value.length}`;
  if (typeof value === "object" && value !== null) return "an object";
  const text = JSON.stringify(value) ?? "missing";
  return text.length > MOST_QUOTED ? `${text.slice(0, MOST_QUOTED)}...` : text;
}

function numberBetween(value: unknown, low: number, high: number, where: string): number {
  if (typeof value !== "number" || !(value > low && value < high)) {
    fail(`${where} is ${quoted(value)}; it must be a number above ${low} and below ${high}`);
  }
  return value;
}

function wholeOrNull(value: unknown, where: string): number | null {
  if (value === undefined || value === null) return null;
  if (typeof value !== "number" || !Number.isInteger(value) || value < 0) {
    fail(`${where} is ${quoted(value)}; it must be a whole number of 0 or more, or null`);
  }
  return value;
}

function texts(value: unknown, where: string): string[] {
  if (value === undefined) return [];
  if (!Array.isArray(value)) fail(`${where} is not a list of texts`);
  return value.map((item) => text(item, where));
}

function statusOf(value: unknown, where: string): PartialStatus {
  if (value === undefined) return "assumed";
  const known = STATUSES.find((status) => status === value);
  if (known === undefined) {
    fail(`${where} is ${quoted(value)}; it must be one of ${STATUSES.join(", ")}`);
  }
  return known;
}

const PARTIAL_FIELDS = [
  ...["name", "alsoCalled", "ratio", "nodalMeridians", "nodalCircles", "rim"],
  ...["spread", "presence", "source", "status"],
];

function parsePartial(value: unknown, index: number): ProfilePartial {
  const numbered = `partial ${index + 1}`;
  const fields = fieldsOf(value, numbered);
  onlyKnown(fields, PARTIAL_FIELDS, numbered);
  const name = text(fields.name, `the name of ${numbered}`);
  const of = (field: string) => `${field} of "${name}"`;
  const { rim = false } = fields;
  if (typeof rim !== "boolean") fail(`${of("rim")} is ${quoted(rim)}; it must be true or false`);
  return {
    name,
    alsoCalled: texts(fields.alsoCalled, of("alsoCalled")),
    ratio: numberBetween(fields.ratio, MIN_RATIO, MAX_RATIO, of("the ratio")),
    nodalMeridians: wholeOrNull(fields.nodalMeridians, of("nodalMeridians")),
    nodalCircles: wholeOrNull(fields.nodalCircles, of("nodalCircles")),
    rim,
    spread: numberBetween(fields.spread ?? DEFAULT_SPREAD, MIN_SPREAD, 1, of("the spread")),
    presence: numberBetween(fields.presence ?? DEFAULT_PRESENCE, 0, 1, of("the presence")),
    source: optionalText(fields.source, of("the source")),
    status: statusOf(fields.status, of("the status")),
  };
}

function checkPartials(partials: ProfilePartial[]): void {
  const names = new Set<string>();
  let previous: ProfilePartial | null = null;
  for (const partial of partials) {
    for (const name of [partial.name, ...partial.alsoCalled]) {
      if (names.has(name.toLowerCase())) fail(`the name "${name}" is used twice; give each partial its own`);
      names.add(name.toLowerCase());
    }
    if (previous !== null && !(partial.ratio > previous.ratio)) {
      fail(`"${partial.name}" is not above "${previous.name}"; list the partials with rising ratios`);
    }
    if (partial.rim && partial.nodalMeridians === null) {
      fail(`"${partial.name}" is a rim partial without nodalMeridians; say how many, or leave "rim" out`);
    }
    previous = partial;
  }
}

function parseRimLaw(value: unknown, partials: readonly ProfilePartial[]): ProfileRimLaw {
  const fields = fieldsOf(value, `"rimLaw"`);
  onlyKnown(fields, ["b", "p", "spreadP", "source", "status"], `"rimLaw"`);
  const rim = partials.filter((partial) => partial.rim);
  if (rim.length < 2) fail(`"rimLaw" is given, but fewer than two partials have "rim": true`);
  const lowest = Math.min(...rim.map((partial) => partial.nodalMeridians ?? 0));
  return {
    b: numberBetween(fields.b, -lowest, MAX_B, `b of "rimLaw"`),
    p: numberBetween(fields.p, 0, MAX_P, `p of "rimLaw"`),
    spreadP: numberBetween(fields.spreadP ?? DEFAULT_SPREAD_P, 0, 1, `spreadP of "rimLaw"`),
    source: optionalText(fields.source, `the source of "rimLaw"`),
    status: statusOf(fields.status, `status of "rimLaw"`),
  };
}

const PROFILE_FIELDS = [
  "schema",
  "id",
  "title",
  "reference",
  "longestRing",
  "strikeHalfOf",
  "rimLaw",
  "note",
  "partials",
];

/**
 * Reads a profile from parsed JSON, a user's own or one that comes with the project.
 *
 * Required are `schema` ("ringwright.profile/1"), `id`, and `partials` with a `name` and a `ratio` each,
 * rising. The rest has defaults: spread 0.08, presence 0.7, not a rim partial, shape unknown, reference the
 * first partial.
 *
 * @throws RangeError with one sentence that names the field and says what belongs there.
 */
export function parseProfile(json: unknown): Profile {
  const fields = fieldsOf(json, "the file");
  if (fields.schema !== "ringwright.profile/1") {
    fail(`"schema" is ${quoted(fields.schema)}; it must be "ringwright.profile/1"`);
  }
  onlyKnown(fields, PROFILE_FIELDS, "the file");
  const id = text(fields.id, `"id"`);
  if (!/^[a-z0-9]+(-[a-z0-9]+)*$/i.test(id)) fail(`the id "${id}" may hold letters, digits and hyphens only`);
  if (!Array.isArray(fields.partials) || fields.partials.length === 0) {
    fail(`"partials" is not a list with at least one partial`);
  }
  if (fields.partials.length > MAX_PARTIALS) {
    fail(`"partials" holds ${fields.partials.length} entries; at most ${MAX_PARTIALS} are read`);
  }
  const partials = fields.partials.map(parsePartial);
  checkPartials(partials);
  const nameOf = (name: string, where: string): string => {
    const found = partialByName(partials, name);
    if (found < 0) fail(`${where} names "${name}", which is not among the partials`);
    return partials[found].name;
  };
  const given = typeof fields.reference === "string" ? [fields.reference] : fields.reference;
  const reference = texts(given, `"reference"`).map((name) => nameOf(name, `"reference"`));
  const optionalName = (value: unknown, where: string): string | null =>
    value === undefined || value === null ? null : nameOf(text(value, where), where);
  return {
    schema: "ringwright.profile/1",
    id,
    title: optionalText(fields.title, `"title"`) || id,
    reference: reference.length > 0 ? reference : [partials[0].name],
    longestRing: optionalName(fields.longestRing, `"longestRing"`),
    strikeHalfOf: optionalName(fields.strikeHalfOf, `"strikeHalfOf"`),
    rimLaw:
      fields.rimLaw === undefined || fields.rimLaw === null ? null : parseRimLaw(fields.rimLaw, partials),
    note: optionalText(fields.note, `"note"`),
    partials,
  };
}

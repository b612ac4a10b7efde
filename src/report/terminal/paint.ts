/** Select Graphic Rendition (ECMA-48) for the few things that are set apart. Colour never stands alone for a meaning. */
const CODES = { bold: "1", dim: "2", green: "32", red: "31" } as const;

export type Look = keyof typeof CODES;
export type Paint = (text: string, ...looks: Look[]) => string;

export function makePaint(colour: boolean): Paint {
  return (text, ...looks) =>
    colour && looks.length > 0
      ? `\u001b[${looks.map((look) => CODES[look]).join(";")}m${text}\u001b[0m`
      : text;
}

import type { LineLook, PointLook } from "../chart-spec.ts";

/** Colours of the charts, read from the style sheet so that there is one place for them. */
export interface Inks {
  ink: string;
  soft: string;
  paper: string;
  grid: string;
  edge: string;
  patina: string;
  chosen: string;
  noise: string;
  lines: Record<LineLook, string>;
  points: Record<PointLook, string>;
}

export function readInks(): Inks {
  const style = getComputedStyle(document.documentElement);
  const read = (name: string) => style.getPropertyValue(`--${name}`).trim();
  return {
    ink: read("ink"),
    soft: read("soft"),
    paper: read("paper"),
    grid: read("grid"),
    edge: read("edge"),
    patina: read("patina"),
    chosen: read("chosen"),
    noise: read("noise"),
    lines: {
      measured: read("measured"),
      model: read("model"),
      noise: read("noise"),
      together: read("model"),
      member: read("member"),
      "other-member": read("other-member"),
      first: read("model"),
      second: read("other-member"),
    },
    points: {
      partial: read("patina"),
      combination: read("ink"),
      interference: read("noise"),
      first: read("patina"),
      second: read("other-member"),
    },
  };
}

/** Dashes and widths, the same as in the legends. */
export const DASHES: Record<LineLook, number[]> = {
  measured: [],
  model: [8, 4],
  noise: [2, 3],
  together: [],
  member: [10, 3, 2, 3],
  "other-member": [4, 4],
  first: [],
  second: [6, 3],
};

export const WIDTHS: Record<LineLook, number> = {
  measured: 1.25,
  model: 2,
  noise: 1.5,
  together: 2,
  member: 1.25,
  "other-member": 1.25,
  first: 1.75,
  second: 1.75,
};

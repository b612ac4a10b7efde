/** A profile: the ideal ratios that the partials of one kind of bell are measured against. */

export type PartialStatus = "read" | "from memory" | "computed" | "assumed";

export interface ProfilePartial {
  name: string;
  /** Other names that a pin may use. */
  alsoCalled: string[];
  /** Ideal ratio, on the scale of the profile. */
  ratio: number;
  /** m, complete nodal meridians (2m nodes around the rim); null where unknown or meaningless. */
  nodalMeridians: number | null;
  /** n, nodal circles; null where unknown. */
  nodalCircles: number | null;
  /** Belongs to the family of rim partials that f = C (m + b)^p is fitted to. */
  rim: boolean;
  /** Standard deviation of ln(ratio) expected on untuned castings. */
  spread: number;
  /** Probability that a careful recording shows the partial. */
  presence: number;
  source: string;
  status: PartialStatus;
}

/** Typical constants of f = C (m + b)^p over the rim partials, and how far p differs between bells. */
export interface ProfileRimLaw {
  b: number;
  p: number;
  /** Standard deviation of p between bells. */
  spreadP: number;
  source: string;
  status: PartialStatus;
}

export interface Profile {
  schema: "ringwright.profile/1";
  id: string;
  title: string;
  /** Names of the partials that ratios are measured from: the first one that is named on the bell. */
  reference: string[];
  /** The partial expected to ring longest of all, or null. */
  longestRing: string | null;
  /** The partial whose half is the strike note by the trade's rule, or null where there is no such rule. */
  strikeHalfOf: string | null;
  /** How the rim partials of such bells follow each other, or null where no law is known. */
  rimLaw: ProfileRimLaw | null;
  note: string;
  /** Ascending in ratio. */
  partials: ProfilePartial[];
}

/** Index of the partial with this name or one of its other names, whatever the case; -1 when there is none. */
export function partialByName(partials: readonly ProfilePartial[], name: string): number {
  const wanted = name.trim().toLowerCase();
  return partials.findIndex((partial) =>
    [partial.name, ...partial.alsoCalled].some((known) => known.toLowerCase() === wanted),
  );
}

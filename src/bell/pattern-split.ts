/**
 * Whether a pattern of K equal ridges, flutes or letters around the bell can split the doublet of m complete nodal
 * meridians: only when 2m is a multiple of K, for only then do the two members meet the ridges differently. Any
 * other split is the casting's or the mounting's.
 *
 * Selection rule of Perrin & Charnley, restated in J. Sound Vib. 95 (1984) 389-395.
 *
 * @param nodalMeridians m, or null when the shape of the mode is not known
 * @param ridges K, or null when the pattern has no such symmetry
 * @returns null when m or K is not known; false for m = 0, which has no doublet
 * @throws RangeError when K is not a whole number above 0, or m not a whole number of 0 or more
 */
export function canPatternSplit(nodalMeridians: number | null, ridges: number | null): boolean | null {
  if (ridges !== null && !(Number.isInteger(ridges) && ridges > 0)) {
    throw new RangeError(`ridges is ${ridges}; it must be a whole number above 0`);
  }
  if (nodalMeridians !== null && !(Number.isInteger(nodalMeridians) && nodalMeridians >= 0)) {
    throw new RangeError(`nodal meridians are ${nodalMeridians}; they must be a whole number of 0 or more`);
  }
  if (nodalMeridians === null || ridges === null) return null;
  return nodalMeridians > 0 && (2 * nodalMeridians) % ridges === 0;
}

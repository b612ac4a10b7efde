/** Poles of the weighting, Hz, and its gain at 1 kHz before normalising, dB. */
const F1 = 20.598997;
const F2 = 107.65265;
const F3 = 737.86223;
const F4 = 12194.217;
/** A at 1 kHz is 0 dB by definition; unnormalised the formula gives -2.000 dB there. */
const AT_1_KHZ_DB = rawDb(1000);

/** 20 lg of the amplitude response before normalising. */
function rawDb(frequencyHz: number): number {
  const s = frequencyHz * frequencyHz;
  const response =
    (F4 * F4 * s * s) / ((s + F1 * F1) * Math.sqrt((s + F2 * F2) * (s + F3 * F3)) * (s + F4 * F4));
  return 20 * Math.log10(response);
}

/**
 * A-weighting in dB at a frequency above 0 in hertz, by the formula and poles of IEC 61672-1, annex E (from memory);
 * 0 at 1 kHz.
 */
export function aWeightingDb(frequencyHz: number): number {
  return rawDb(frequencyHz) - AT_1_KHZ_DB;
}

/**
 * A-weighted levels, dB relative to the A-weighted strongest, in the order given; [] for no partials.
 *
 * @param partials levels relative to any common reference
 */
export function levelsDba(
  partials: readonly { frequencyHz: { value: number }; levelDb: { value: number } }[],
): number[] {
  const weighted = partials.map(
    ({ frequencyHz, levelDb }) => levelDb.value + aWeightingDb(frequencyHz.value),
  );
  const strongest = Math.max(...weighted);
  return weighted.map((level) => level - strongest);
}

/** Kilograms in a sentence, to the gram. */
export function kg(massKg: number): string {
  return `${Number(massKg.toFixed(3))} kg`;
}

/** A fraction in a sentence, as per cent. */
export function percent(fraction: number, decimals = 2): string {
  return `${Number((fraction * 100).toFixed(decimals))} %`;
}

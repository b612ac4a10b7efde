/** A number to so many significant digits, 1 to 17. The largest that a double holds would round to infinity, and stay as they are. */
export function toDigits(x: number, digits: number): number {
  const rounded = Number(x.toPrecision(Math.min(Math.max(digits, 1), 17)));
  return Number.isFinite(rounded) ? rounded : x;
}

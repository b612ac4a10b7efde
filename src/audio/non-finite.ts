/** What is said where samples were no numbers. */
export function nonFiniteWarning(replaced: number): string {
  return replaced === 1
    ? "1 sample is not a finite number and was taken as 0."
    : `${replaced} samples are not finite numbers and were taken as 0.`;
}

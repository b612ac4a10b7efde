import { linePower } from "./line.ts";
import type { StableLine } from "./stabilise.ts";

/** A sideband lies this far under its line at least (25 dB), ... */
const UNDER = 1 / 300;
/** ... no farther from it, Hz, for what modulates a ring (a gain, a bell that swings) is slow, ... */
const FARTHEST_HZ = 30;
/** ... and within this of the other one in power (12 dB) ... */
const ALIKE = 16;
/** ... and in distance, beyond their errors, as part of it. */
const SAME_DISTANCE = 0.1;

/**
 * Lines that are no sidebands. A level or a frequency that moves to and fro puts two weak lines beside each strong one, at the same
 * distance above and below.
 */
export function withoutSidebands(lines: StableLine[]): StableLine[] {
  const gone = new Set<StableLine>();
  for (const strong of lines) {
    const beside = lines.filter(
      (l) => powerAtStart(l) < UNDER * powerAtStart(strong) && Math.abs(offsetHz(l, strong)) < FARTHEST_HZ,
    );
    for (const one of beside) {
      const other = beside.find((l) => areMirrored(l, one, strong));
      if (other) gone.add(one).add(other);
    }
  }
  return lines.filter((l) => !gone.has(l));
}

function areMirrored(a: StableLine, b: StableLine, strong: StableLine): boolean {
  const [da, db] = [offsetHz(a, strong), offsetHz(b, strong)];
  const errorHz = (2 * Math.hypot(a.sdOmega, b.sdOmega)) / (2 * Math.PI);
  const levels = powerAtStart(a) / powerAtStart(b);
  if (levels > ALIKE || levels < 1 / ALIKE) return false;
  return da * db < 0 && Math.abs(da + db) < errorHz + SAME_DISTANCE * Math.abs(da);
}

function offsetHz(line: StableLine, from: StableLine): number {
  return (line.line.omega - from.line.omega) / (2 * Math.PI);
}

function powerAtStart({ early: { line, delayS } }: StableLine): number {
  return linePower(line) * Math.exp(2 * line.alpha * delayS);
}

import type { PassedNoise } from "./passed-noise.ts";
import { type RingDown, type SearchOpener, searchOpener } from "./ring-down.ts";
import type { StableLine } from "./stabilise.ts";

/** What is left of a line while the outer bands of its spectrum close one by one, as part of its energy (-50 dB). */
const LEFT_OVER = 1e-5;
/** What decays so many times as fast as a stronger line within one and a half linewidths is no partner of it. */
const OPENING_RATE = 3;

/** Opens searches in the ring of a recorder that lets only through what stands out of the noise: each line is looked at for as long as its band is open. */
export function passingOpener(ring: RingDown, { noise, closesAt }: PassedNoise): SearchOpener {
  const open = searchOpener(ring, noise);
  return (startSample, misfit) => {
    const search = open(startSample, misfit);
    if (search === null) return null;
    search.departure = () => LEFT_OVER;
    search.passing = {
      noise,
      openS: (omega) => (closesAt(omega / (2 * Math.PI)) - startSample) / ring.sampleRateHz,
    };
    return search;
  };
}

/** Without the gain that still rises as bands open, which is a weak fast line at the frequency of a strong one. */
export function withoutOpenings(lines: StableLine[]): StableLine[] {
  return lines.filter(
    ({ line }) =>
      !lines.some(
        ({ line: strong }) =>
          strong.rho > line.rho &&
          line.alpha > OPENING_RATE * strong.alpha &&
          Math.abs(strong.omega - line.omega) < 3 * line.alpha,
      ),
  );
}

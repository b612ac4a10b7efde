import type { Doublet, Estimate, TapPartial } from "../measurement/index.ts";
import type { Measured } from "./finding.ts";
import { heldLevel } from "./signs/held-level.ts";

/** Said by each finding that would have judged by them. */
export const DECAYS_WITHHELD =
  "The recorder's gain moved, so the decays are not the bell's alone and are withheld. Turn automatic level and limiter off, and record again.";

/** Whether the decays of this measurement are withheld; not where there is too little to tell. */
export function areDecaysWithheld(measured: Parameters<typeof heldLevel>[0]): boolean {
  const { partials, curves, strikes } = measured;
  if (!partials || !curves || !strikes) return false;
  return heldLevel(measured) !== null;
}

/** Half of it lies below nothing: a value that says nothing. */
const open = (e: Estimate): Estimate => ({ value: e.value, ci95: Math.max(e.ci95, e.value) });

const openDoublet = (doublet: Doublet): Doublet => ({
  ...doublet,
  members: doublet.members.map((m) => ({ ...m, decayTimeS: open(m.decayTimeS) })),
});

const openPartial = (p: TapPartial): TapPartial => ({
  ...p,
  decayTimeS: open(p.decayTimeS),
  q: open(p.q),
  lossFactor: open(p.lossFactor),
  doublet: p.doublet === null ? null : openDoublet(p.doublet),
});

/**
 * Withholds what a gain that moved has falsified: decay times, Q and loss factors get intervals as wide as themselves, and the decay
 * of the whole sound is not measured. Everything else stands.
 */
export function withholdDecays(measured: Measured): Measured {
  const { partials, sustain } = measured;
  if (!areDecaysWithheld(measured)) return measured;
  return {
    ...measured,
    partials: partials.map(openPartial),
    sustain: { ...sustain, t60S: null, edtS: null, t20S: null, t30S: null },
  };
}

import type { Doublet, Estimate, TapPartial } from "../measurement/index.ts";
import type { Measured } from "./finding.ts";
import { heldLevel } from "./signs/held-level.ts";

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
  if (heldLevel(measured) === null) return measured;
  return {
    ...measured,
    partials: partials.map(openPartial),
    sustain: { ...sustain, t60S: null, edtS: null, t20S: null, t30S: null },
  };
}

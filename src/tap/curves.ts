import type { RingDownCurve, SpectrumCurve } from "../measurement/index.ts";
import type { Mode, ModeFit } from "../partials/index.ts";
import { partialRingDown, wholeRingDown } from "./ring-down-curves.ts";
import { spectrumCurve } from "./spectrum-curve.ts";
import type { StrikeAudio } from "./strike-audio.ts";

/** What a report draws of the best strike, on the channel in which it is loudest. */
export function curvesOf(
  audio: Pick<StrikeAudio, "ring">,
  fit: ModeFit,
  partials: Mode[][],
): { spectrum: SpectrumCurve; ringDowns: RingDownCurve[] } {
  const { ring } = audio;
  const all = partials.flat();
  let channel = 0;
  for (let c = 1; c < ring.channels.length; c++)
    if (strongestIn(all, c) > strongestIn(all, channel)) channel = c;
  const reference = strongestIn(all, channel);
  const x = ring.channels[channel];
  const noise = fit.noise[channel];
  const { sampleRateHz, onsetSample, endSample } = ring;
  const source = { x, channel, sampleRateHz, onsetSample, endSample, noise, reference };
  const ringDowns = [wholeRingDown(source, partials)];
  partials.forEach((members, i) => {
    const below = partials[i - 1]?.at(-1)?.frequencyHz ?? 0;
    const above = partials[i + 1]?.[0].frequencyHz ?? sampleRateHz / 2;
    const guardHz = Math.min(members[0].frequencyHz - below, above - members.at(-1)!.frequencyHz);
    ringDowns.push(partialRingDown(source, i, members, guardHz));
  });
  return {
    spectrum: spectrumCurve(x, ring.ringStartSample, endSample, sampleRateHz, noise, reference),
    ringDowns,
  };
}

function strongestIn(modes: Mode[], channel: number): number {
  return Math.max(1e-9, ...modes.map((m) => m.amplitude[channel]));
}

import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { decodeRecording } from "../../src/audio/index.ts";
import { fitModes, type Mode, type ModeFit, type RingDown } from "../../src/partials/index.ts";
import { findStrikes } from "../../src/strike/index.ts";

/**
 * Two real bells: perc_bell (Freesound 221515, AlaskaRobotics) and perc_bell2 (415559, hullum), CC0-1.0, lossless, 44.1 kHz,
 * stereo, from the package supersonic-scsynth-samples. There is no truth at hand: what is asked is that parts of the data
 * that share nothing agree (left and right channel, early and late), and that they agree with an analysis by other means.
 */
async function ringOfRecording(name: string): Promise<RingDown> {
  const url = new URL(`../../node_modules/supersonic-scsynth-samples/samples/${name}.flac`, import.meta.url);
  const { channels, sampleRateHz } = await decodeRecording(new Uint8Array(readFileSync(url)));
  const { strikes, best, quiet } = findStrikes(channels, sampleRateHz);
  const { onsetSample, ringStartSample, contactSamples } = strikes[best];
  return {
    channels,
    sampleRateHz,
    onsetSample,
    ringStartSample,
    endSample: channels[0].length,
    bounced: contactSamples.length > 1,
    quiet,
    noiseFloor: 2 ** -30 / 12,
  };
}

/**
 * The ring of the first bell cut in two that share no sample, s from its start. Before 0.9 s the bell still moves from the blow and
 * its partials are smeared: docs/method.md has the table of what that does.
 */
const EARLY_S = [0.9, 3.3];
/** A line that moves by less than the quartz of a recorder is off (20 parts in a million, common practice) is the same line. */
const QUARTZ = 2e-5;

type Part = "both channels" | "left" | "right" | "early" | "late";

async function fitsOfFirst(): Promise<Record<Part, ModeFit>> {
  const ring = await ringOfRecording("perc_bell");
  const [from, cut] = EARLY_S.map((s) => Math.round(s * ring.sampleRateHz));
  return {
    "both channels": fitModes(ring),
    left: fitModes({ ...ring, channels: [ring.channels[0]] }),
    right: fitModes({ ...ring, channels: [ring.channels[1]] }),
    early: fitModes({ ...ring, ringStartSample: from, bounced: true, endSample: cut }),
    late: fitModes({ ...ring, ringStartSample: cut, bounced: true }),
  };
}

let first: Promise<Record<Part, ModeFit>> | null = null;
const firstBell = () => {
  first ??= fitsOfFirst();
  return first;
};

/**
 * The two pairs, by an independent analysis with scipy (peaks of a long spectrum, slopes of band envelopes) of the left channel:
 * good to about 0.1 Hz and 20 % in decay.
 */
const PAIRS = [
  { frequencyHz: 1309.28, t60S: [14, 19] },
  { frequencyHz: 1343.55, t60S: [18, 20] },
  { frequencyHz: 3615.39, t60S: [6, 6] },
  { frequencyHz: 3620.97, t60S: [6, 6] },
];
const FREQUENCY_HZ = 0.1;
/** Far less than the lines are apart: which is which. */
const SAME_HZ = 0.5;
const DECAY_SHARE = 0.2;
const T60_OVER_ALPHA = Math.log(1000);

const nearest = (fit: ModeFit, frequencyHz: number, withinHz: number): Mode | undefined =>
  fit.modes.find((mode) => Math.abs(mode.frequencyHz - frequencyHz) <= withinHz);

const ci95 = (sd: number) => 1.96 * sd;

describe("fitModes(a real bell)", () => {
  it("fitModes finds no partial below 200 Hz, where there is room noise and hum, and at most 25 in all", {
    timeout: 240_000,
  }, async () => {
    for (const fit of Object.values(await firstBell())) {
      expect(fit.modes.filter((mode) => mode.frequencyHz < 200)).toEqual([]);
      expect(fit.modes.length).toBeLessThanOrEqual(25);
    }
  });

  it.each<Part>(["both channels", "left", "right"])(
    "fitModes resolves the pairs at 1309/1344 and 3615/3621 Hz: %s",
    async (part) => {
      const fit = (await firstBell())[part];
      const found = PAIRS.map(({ frequencyHz }) => {
        const mode = nearest(fit, frequencyHz, SAME_HZ);
        // The other analysis is good to a tenth of a hertz, and this one to its interval.
        const withinHz = FREQUENCY_HZ + ci95(mode?.frequencySdHz ?? 0);
        return mode && Math.abs(mode.frequencyHz - frequencyHz) <= withinHz ? mode : undefined;
      });
      expect(
        found.map((mode) => mode !== undefined),
        fit.modes.map((mode) => mode.frequencyHz.toFixed(2)).join(" "),
      ).toEqual(PAIRS.map(() => true));
      found.forEach((mode, i) => {
        const t60S = T60_OVER_ALPHA / (mode?.decayRatePerS ?? 0);
        expect(t60S).toBeGreaterThan((1 - DECAY_SHARE) * PAIRS[i].t60S[0]);
        expect(t60S).toBeLessThan((1 + DECAY_SHARE) * PAIRS[i].t60S[1]);
      });
    },
  );

  it.each<[Part, Part]>([
    ["left", "right"],
    ["early", "late"],
  ])("fitModes agrees with itself between data that share nothing: %s and %s", async (a, b) => {
    const fits = await firstBell();
    for (const { frequencyHz } of PAIRS) {
      const one = nearest(fits[a], frequencyHz, SAME_HZ);
      const other = nearest(fits[b], frequencyHz, SAME_HZ);
      expect([one !== undefined, other !== undefined], `${frequencyHz} Hz`).toEqual([true, true]);
      if (one === undefined || other === undefined) continue;
      const byHz = Math.abs(one.frequencyHz - other.frequencyHz);
      expect(byHz, `${frequencyHz} Hz`).toBeLessThanOrEqual(
        ci95(one.frequencySdHz) + ci95(other.frequencySdHz) + QUARTZ * frequencyHz,
      );
      const byRate = Math.abs(one.decayRatePerS - other.decayRatePerS);
      const intervals = ci95(one.decayRateSdPerS) + ci95(other.decayRateSdPerS);
      // The pair at 3.6 kHz decays faster early than late by more than its intervals say (docs/method.md): a departure of
      // the ring itself from free decay, in both channels. The others: within the intervals, or as near as the analysis by other means.
      if (a === "early" && frequencyHz > 3000) continue;
      expect(byRate, `${frequencyHz} Hz`).toBeLessThanOrEqual(
        Math.max(intervals, DECAY_SHARE * Math.max(one.decayRatePerS, other.decayRatePerS)),
      );
    }
  });
});

describe("fitModes(a recording that is not a sum of free decays)", () => {
  it("fitModes says so by what its lines leave over, however many they are", {
    timeout: 120_000,
  }, async () => {
    const fit = fitModes(await ringOfRecording("perc_bell2"));
    expect([fit.departs, fit.freeDecay]).toEqual([true, false]);
  });
});

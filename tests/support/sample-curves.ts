import type { RingDownCurve, SpectrumCurve, TapPartial } from "../../src/measurement/index.ts";

const MIN_DB = -120;

/** Power level of the beating, decaying members of one partial at time t, dB. */
function partialLevelDb(partial: TapPartial, timeS: number): number {
  const members = partial.doublet?.members ?? [
    {
      frequencyHz: partial.frequencyHz,
      decayTimeS: partial.decayTimeS,
      levelDb: partial.levelDb,
      phaseRad: partial.phaseRad,
    },
  ];
  const base = members[0]?.frequencyHz.value ?? 0;
  let re = 0;
  let im = 0;
  for (const member of members) {
    const amplitude = 10 ** ((member.levelDb.value - (60 * timeS) / member.decayTimeS.value) / 20);
    const angle = 2 * Math.PI * (member.frequencyHz.value - base) * timeS + member.phaseRad.value;
    re += amplitude * Math.cos(angle);
    im += amplitude * Math.sin(angle);
  }
  return Math.max(10 * Math.log10(re * re + im * im + 1e-30), MIN_DB);
}

const addNoise = (levelDb: number, noiseDb: number) =>
  10 * Math.log10(10 ** (levelDb / 10) + 10 ** (noiseDb / 10));

function ringDown(
  partial: number | null,
  durationS: number,
  noiseDb: number,
  levelAt: (timeS: number) => number,
): RingDownCurve {
  const timeS = Array.from({ length: 161 }, (_, i) => (durationS * i) / 160);
  const modelDb = timeS.map(levelAt);
  return { partial, timeS, levelDb: modelDb.map((level) => addNoise(level, noiseDb)), modelDb, noiseDb };
}

/** The whole sound and each partial, as a fit would draw them. */
export function sampleRingDowns(partials: TapPartial[], durationS: number, noiseDb: number): RingDownCurve[] {
  if (partials.length === 0) return [];
  const whole = (timeS: number) =>
    10 * Math.log10(partials.reduce((sum, p) => sum + 10 ** (partialLevelDb(p, timeS) / 10), 0));
  return [
    ringDown(null, durationS, noiseDb, whole),
    ...partials.map((p, i) => ringDown(i, durationS, noiseDb - 10, (timeS) => partialLevelDb(p, timeS))),
  ];
}

/** Resonance lines over a falling noise floor, on 300 frequencies in geometric steps and on the lines themselves. */
export function sampleSpectrum(partials: TapPartial[], noiseDb: number): SpectrumCurve {
  const grid = Array.from({ length: 300 }, (_, i) => 50 * 300 ** (i / 299));
  const lines = partials.flatMap((p) => (p.doublet?.members ?? [p]).map((m) => m.frequencyHz.value));
  const frequencyHz = [...grid, ...lines].sort((a, b) => a - b);
  const noise = frequencyHz.map((f) => noiseDb - 6 * Math.log10(f / 50));
  const levelDb = frequencyHz.map((f, i) => {
    const power = partials
      .flatMap((p) => p.doublet?.members ?? [p])
      .reduce((sum, member) => {
        const halfWidthHz = 6.9078 / member.decayTimeS.value / (2 * Math.PI);
        const offset = (f - member.frequencyHz.value) / halfWidthHz;
        return sum + 10 ** (member.levelDb.value / 10) / (1 + offset * offset);
      }, 0);
    return 10 * Math.log10(power + 10 ** ((noise[i] ?? noiseDb) / 10));
  });
  return { frequencyHz, levelDb, noiseDb: noise };
}

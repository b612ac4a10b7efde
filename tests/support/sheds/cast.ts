/** Computed recordings of castings, with the whole truth. Units in the names; amplitudes on one arbitrary scale until rendered. */

/** One mode as it was struck. */
export interface CastMode {
  /** The trade's name, or null. */
  name: string | null;
  /** Modes of one number are the members of a pair. */
  pair: number;
  frequencyHz: number;
  t60S: number;
  /** At the end of an infinitely short blow. */
  amplitude: number;
  phaseRad: number;
}

/** A line as it stands in the recording. */
export interface TrueLine {
  name: string | null;
  pair: number;
  frequencyHz: number;
  t60S: number;
  /** 0.1 s after the strike, relative to the strongest line there. */
  levelDb: number;
  /** A^2 fs / (8 alpha S): the matched-filter signal-to-noise ratio of docs/method.md. */
  rho: number;
  /** Within 35 dB of the strongest, rho over 1000, and slower than 1.5 times what the room takes. */
  mustSee: boolean;
  /** Within 12 dB of the strongest, besides. */
  isStrong: boolean;
}

export interface CastTruth {
  kind: string;
  /** "shed", "garden" or "tower". */
  place: string;
  sampleRateHz: number;
  durationS: number;
  onsetS: number;
  roomRtS: number;
  /** Of the bell, ascending. */
  lines: TrueLine[];
  /** Of other things that sound: neighbours, mains. Listed or not, they are neither right nor ghosts. */
  othersHz: number[];
  noteHz: number | null;
  /** How often all lines together grow louder and softer, or 0: sidebands lie so far from the lines. */
  swingHz: number;
  /** Where the frequency begins so much higher, relative, and settles: what lies between is right. */
  sharp: number;
  /** What is wrong with the casting or the recording: "cracked", "bounced", "gain", "swinging", "clipped", "porous". */
  faults: string[];
}

export interface CastRecording {
  sampleRateHz: number;
  channel: Float32Array;
  truth: CastTruth;
}

const MUST_SEE_DB = -35;
const STRONG_DB = -12;
const MUST_SEE_RHO = 1000;
const OVER_ROOM = 1.5;
/** When levels are compared, s after the strike: the blow is over, and lines that nobody can follow are gone. */
const LEVEL_AFTER_S = 0.1;

/** Full scale = 1; noise is the variance of a sample of white noise of the density at a frequency. */
export function trueLines(
  modes: (CastMode & { recorded: number })[],
  sampleRateHz: number,
  noiseVariance: (frequencyHz: number) => number,
  roomRtS: number,
): TrueLine[] {
  const levels = modes.map((m) => 20 * Math.log10(m.recorded) - (60 * LEVEL_AFTER_S) / m.t60S);
  const top = Math.max(...levels);
  return modes
    .map((mode, i): TrueLine => {
      const { name, pair, frequencyHz, t60S, recorded } = mode;
      const alpha = Math.log(1000) / t60S;
      const rho = (recorded ** 2 * sampleRateHz) / (8 * alpha * noiseVariance(frequencyHz));
      const levelDb = levels[i] - top;
      const mustSee = levelDb >= MUST_SEE_DB && rho > MUST_SEE_RHO && t60S > OVER_ROOM * roomRtS;
      return {
        name,
        pair,
        frequencyHz,
        t60S,
        levelDb,
        rho,
        mustSee,
        isStrong: mustSee && levelDb >= STRONG_DB,
      };
    })
    .sort((a, b) => a.frequencyHz - b.frequencyHz);
}

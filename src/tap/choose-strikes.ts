import type { StrikeInfo } from "../measurement/index.ts";
import type { ModeFit } from "../partials/index.ts";
import { NotMeasurableError } from "./errors.ts";
import type { ExaminedRecording, FoundStrike } from "./examine.ts";
import { otherBellCents, outlyingStrike } from "./pool-strikes.ts";
import { ringsOn } from "./rings-on.ts";

/** Strikes with less than this over the noise are left out when there are better ones. */
const USEFUL_SNR_DB = 15;
/** Strikes that ring free for less than this part of the longest are left out. */
const USEFUL_LENGTH = 0.25;

/** One strike by its place: of which recording, and which of its strikes. */
export interface StrikePlace {
  recording: number;
  strike: number;
}

export interface FittedStrike extends StrikePlace {
  fit: ModeFit;
}

export interface ChosenStrikes {
  /** What is pooled, the best first. */
  used: FittedStrike[];
  /** Of every strike found, in the order in which they were struck. */
  infos: StrikeInfo[];
}

/**
 * The strikes that are worth a fit, in the order in which they are taken: recording by recording, the best of each first.
 *
 * @throws NotMeasurableError where there is no strike at all
 */
export function strikesToFit(examined: ExaminedRecording[]): StrikePlace[] {
  const places = placesOf(examined);
  if (places.length === 0) throw new NotMeasurableError(whyNone(examined));
  const reasons = reasonsAgainst(places);
  return places.filter((_, i) => reasons[i] === null).map(({ recording, strike }) => ({ recording, strike }));
}

/**
 * From the fits of all strikes worth it to those that are pooled: of each other one it is said why it was left out.
 *
 * @param fits those of `strikesToFit`, in that order
 * @throws NotMeasurableError where no strike shows a partial
 */
export function chooseStrikes(examined: ExaminedRecording[], fits: FittedStrike[]): ChosenStrikes {
  const places = placesOf(examined);
  const reasons = reasonsAgainst(places);
  const at = (place: StrikePlace): number =>
    places.findIndex((p) => p.recording === place.recording && p.strike === place.strike);
  const used = fits.filter((fitted) => {
    if (fitted.fit.modes.length > 0) return true;
    reasons[at(fitted)] = "no partial stands over the noise";
    return false;
  });
  const atS = (fitted: FittedStrike): number => {
    const { found, rateHz } = places[at(fitted)];
    return found.strike.onsetSample / rateHz;
  };
  const lastOf = new Map<number, FittedStrike>();
  for (const strike of used.toSorted((a, b) => atS(a) - atS(b))) {
    const before = lastOf.get(strike.recording);
    if (before && ringsOn(before.fit.modes, strike.fit.modes, atS(strike) - atS(before))) {
      reasons[at(strike)] = "the bell only rings on from the strike before: another sound";
      used.splice(used.indexOf(strike), 1);
    } else lastOf.set(strike.recording, strike);
  }
  const otherBells = places.map((): number | null => null);
  for (;;) {
    const out = outlyingStrike(used.map(({ fit }) => fit.modes));
    if (out < 0) break;
    const [stranger] = used.splice(out, 1);
    const cents = otherBellCents(stranger.fit.modes, used[0].fit.modes);
    otherBells[at(stranger)] = cents;
    reasons[at(stranger)] =
      cents === null
        ? "its frequencies stand apart from those of the other strikes"
        : `another bell, ${shiftWords(cents)}`;
  }
  if (used.length === 0) {
    throw new NotMeasurableError(
      "no partial stands over the noise; record closer to the bell, in a quiet place, and let it ring out",
    );
  }
  const infos = places.map((place, i) => {
    const { found, rateHz } = place;
    const fit = used.find((u) => u.recording === place.recording && u.strike === place.strike)?.fit;
    const fitStart = fit?.startSample ?? found.strike.ringStartSample;
    return {
      ...strikeInfo(place.recording, found, rateHz, fitStart, reasons[i]),
      otherBellCents: otherBells[i],
    };
  });
  return { used, infos: infos.sort((a, b) => a.recording - b.recording || a.onsetS - b.onsetS) };
}

/** "51 cents higher". */
function shiftWords(cents: number): string {
  return `${Math.abs(cents).toFixed(0)} cents ${cents > 0 ? "higher" : "lower"}`;
}

interface Place extends StrikePlace {
  found: FoundStrike;
  rateHz: number;
}

function placesOf(examined: ExaminedRecording[]): Place[] {
  return examined.flatMap(({ strikes, info }, recording) =>
    strikes.map((found, strike) => ({ recording, strike, found, rateHz: info.sampleRateHz })),
  );
}

function whyNone(examined: ExaminedRecording[]): string {
  const none = examined.find(({ reason }) => reason !== null);
  if (none === undefined)
    return "no strike was found; record one clear strike with a second of quiet before it";
  return examined.length > 1 ? `${none.info.file}: ${none.reason}` : none.reason!;
}

/** Of each strike why it is not worth a fit, or null. */
function reasonsAgainst(places: Place[]): (string | null)[] {
  if (places.length === 1) return [null];
  const usableS = places.map(
    ({ found, rateHz }) => (found.endSample - found.strike.ringStartSample) / rateHz,
  );
  const longest = Math.max(...usableS);
  const loudest = Math.max(...places.map(({ found }) => found.strike.snrDb));
  return places.map(({ found }, i) => {
    if (found.strike.snrDb < USEFUL_SNR_DB && loudest >= USEFUL_SNR_DB) return "too quiet against the noise";
    if (usableS[i] < USEFUL_LENGTH * longest) return "rings free for too short a time";
    return null;
  });
}

export function strikeInfo(
  recording: number,
  { strike, endSample }: FoundStrike,
  sampleRateHz: number,
  fitStartSample: number,
  leftOut: string | null,
): StrikeInfo {
  const s = (sample: number) => sample / sampleRateHz;
  return {
    recording,
    onsetS: s(strike.onsetSample),
    contactsS: strike.contactSamples.map(s),
    fitStartS: s(fitStartSample),
    endS: s(endSample),
    endedBy: strike.endedBy,
    peakDbfs: strike.peakDbfs,
    usedS: s(endSample - fitStartSample),
    snrDb: strike.snrDb,
    clipped: strike.clipped,
    rattle: strike.rattle,
    leftOut,
  };
}

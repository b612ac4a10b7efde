import { type Document, LineCounter, parseDocument } from "yaml";
import { CONCERT_A4_HZ, DEFAULT_PROFILE_ID, profileIds } from "../../bell/index.ts";
import { SeriesFileError } from "../error.ts";
import {
  ownTemperament,
  TEMPERAMENT_IDS,
  type Temperament,
  temperamentById,
  tunedNoteHz,
} from "../temperament.ts";
import { Fields } from "./fields.ts";
import { levelsOf, MOST_LEVELS } from "./levels.ts";
import type { SeriesBell, SeriesFile, SeriesPass } from "./series-file.ts";

const FILE_KEYS = ["set", "a4Hz", "temperament", "tonic", "profile", "anchor", "bells"] as const;
const BELL_KEYS = ["name", "target", "alloy", "massKg", "diameterMm", "passes"] as const;
const PASS_KEYS = ["date", "recordings", "removedG", "removedMm", "at", "metalC", "airC", "note"] as const;

/** What no text holds: a zero byte, or what stands for bytes that are no letters. */
const UNWRITTEN = ["\0", "\ufffd"];

/** Parses YAML, of which JSON is a part. @throws SeriesFileError naming the line where the text is neither */
export function parseSeriesDocument(text: string): { document: Document; lines: LineCounter } {
  const lines = new LineCounter();
  if (text.trim() === "") {
    throw new SeriesFileError("line 1: the file is empty; ringwright series init writes one to begin with");
  }
  if (UNWRITTEN.some((letter) => (text.split("\n", 1)[0] ?? "").includes(letter))) {
    throw new SeriesFileError(
      "line 1: this is no text, so no series file; name the YAML or JSON file, or begin with ringwright series init",
    );
  }
  if (levelsOf(text) > MOST_LEVELS) {
    throw new SeriesFileError(
      `line 1: this file has more than ${MOST_LEVELS} levels of lists and maps, and a series file six; mend it, or begin with ringwright series init`,
    );
  }
  const document = parseDocument(text.replace(/^\ufeff/, ""), {
    lineCounter: lines,
    prettyErrors: false,
    // What it would only warn of, on standard error, is refused below or harmless.
    logLevel: "error",
  });
  const [error] = document.errors;
  if (error) {
    throw new SeriesFileError(
      `line ${lines.linePos(error.pos[0]).line}: this is neither YAML nor JSON (${error.message.split("\n")[0]}); mend it, or begin with ringwright series init`,
    );
  }
  try {
    // What a file unfolds to follows from its length: aliases of aliases, and circles of them, are refused here.
    document.toJS();
  } catch (error) {
    if (!(error instanceof ReferenceError)) throw error;
    throw new SeriesFileError(
      "line 1: the aliases (*) of this file lead nowhere or unfold to too much; write the values themselves",
    );
  }
  return { document, lines };
}

/**
 * Reads a series file, YAML or JSON.
 *
 * @throws SeriesFileError with one sentence: the line, the field, what is there, what to write
 */
export function readSeries(text: string): SeriesFile {
  const { document, lines } = parseSeriesDocument(text);
  const root = new Fields(document, lines);
  root.knowsOnly(FILE_KEYS);
  const a4Hz = root.at("a4Hz").number(300, 600, "hertz") ?? CONCERT_A4_HZ;
  const temperament = readTemperament(root);
  const places = root.at("bells").list();
  if (places.length === 0)
    root.at("bells").fail("write a list of bells, each with a name, a target and passes");
  const bells = places.map((place) => readBell(place, temperament, a4Hz));
  for (const [i, { name }] of bells.entries()) {
    if (bells.findIndex((other) => other.name === name) < i)
      places[i]!.at("name").fail("another bell has this name; give each its own");
  }
  return {
    set: root.at("set").needText("the name of the set"),
    a4Hz,
    temperament,
    profile: readProfile(root.at("profile")),
    anchor: root.at("anchor").oneOf(["a4", "set"], "a4"),
    bells,
  };
}

/** A built-in profile or a JSON file, which the command line reads. */
function readProfile(place: Fields): string {
  const text = place.text() ?? DEFAULT_PROFILE_ID;
  const known = profileIds();
  if (/\.json$/i.test(text) || known.includes(text)) return text;
  return place.fail(`write one of ${known.join(", ")}, or a JSON file of your own`);
}

function readTemperament(root: Fields): Temperament {
  const place = root.at("temperament");
  const tonic = root.at("tonic").text() ?? "C";
  const guarded = (make: () => Temperament, at: Fields): Temperament => {
    try {
      return make();
    } catch (error) {
      if (error instanceof RangeError) throw new SeriesFileError(`line ${at.line}: ${error.message}`);
      throw error;
    }
  };
  // With a temperament known to be right, only the tonic is left to be wrong.
  guarded(() => temperamentById("equal", tonic), root.at("tonic"));
  if (Array.isArray(place.value)) {
    const cents = place.list().map((step) => step.number(0, 1200, "cents") ?? step.fail("write cents"));
    return guarded(() => ownTemperament(cents, tonic), place);
  }
  const id = place.text() ?? TEMPERAMENT_IDS[0]!;
  return guarded(() => temperamentById(id, tonic), place);
}

function readBell(place: Fields, temperament: Temperament, a4Hz: number): SeriesBell {
  place.knowsOnly(BELL_KEYS);
  const name = place.at("name").needText("what you call this bell");
  return {
    name,
    target: place.at("target").needText("a note such as C6, or hertz"),
    targetHz: targetHz(place.at("target"), temperament, a4Hz),
    alloy: place.at("alloy").text(),
    massKg: place.at("massKg").number(0.001, 500000, "kilograms"),
    diameterMm: place.at("diameterMm").number(1, 10000, "millimetres"),
    passes: place.at("passes").list().map(readPass),
  };
}

/** The lowest and the highest strike note that is taken for one, hertz. */
const LOWEST_HZ = 10;
const HIGHEST_HZ = 20000;

function targetHz(place: Fields, temperament: Temperament, a4Hz: number): number {
  const expected = `write a note such as C6, or hertz from ${LOWEST_HZ} to ${HIGHEST_HZ}`;
  const { value } = place;
  const plain = typeof value === "string" ? /^\s*(\d+(?:\.\d+)?)\s*(?:hz)?\s*$/i.exec(value) : null;
  const hertz = plain ? Number(plain[1]) : value;
  if (typeof hertz === "number") {
    return hertz >= LOWEST_HZ && hertz <= HIGHEST_HZ ? hertz : place.fail(expected);
  }
  try {
    const noteHz = tunedNoteHz(String(value), temperament, a4Hz);
    return noteHz >= LOWEST_HZ && noteHz <= HIGHEST_HZ ? noteHz : place.fail(expected);
  } catch (error) {
    if (error instanceof RangeError) return place.fail(expected);
    throw error;
  }
}

function readPass(place: Fields): SeriesPass {
  place.knowsOnly(PASS_KEYS);
  const recordings = place
    .at("recordings")
    .list()
    .map((each) => each.needText("the name of a recording"));
  if (recordings.length === 0) place.at("recordings").fail("write a list with at least one recording");
  const removedG = place.at("removedG").number(0, 1e6, "grams");
  const removedMm = place.at("removedMm").number(0, 1000, "millimetres");
  const at = place.at("at").text();
  if (removedG !== null && removedMm !== null)
    place.at("removedMm").fail("this pass has removedG too; keep the one that was measured best");
  if ((removedG ?? removedMm ?? 0) > 0 && at === null)
    place
      .at("at")
      .fail("write where the metal was taken off, such as inner lip, soundbow, waist, shoulder, crown");
  return {
    date: place.at("date").text(),
    recordings,
    line: place.line,
    removedG,
    removedMm,
    at: at?.toLowerCase() ?? null,
    metalC: place.at("metalC").number(-50, 100, "degrees Celsius"),
    airC: place.at("airC").number(-50, 60, "degrees Celsius"),
    note: place.at("note").text(),
  };
}

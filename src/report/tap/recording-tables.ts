import type { RecordingInfo, StrikeInfo, TapMeasurement } from "../../measurement/index.ts";
import { foreign, type Html, type HtmlValue, html } from "../html.ts";
import { countOf, NOT_MEASURED, plainNumber } from "../numbers.ts";
import { plainRows, type TableColumn, table } from "../table.ts";

const number = (head: HtmlValue): TableColumn => ({ head, kind: "number" });
const text = (head: HtmlValue): TableColumn => ({ head, kind: "text" });

/** Everything about a recording that a reader must know before trusting what was measured on it, in short sentences. */
export function recordingNotes(recording: RecordingInfo): string[] {
  const { lossy, clipped, clippedSamples, dcOffset, warnings } = recording;
  return [
    ...(lossy ? ["lossy coding, which removes weak partials"] : []),
    ...(clipped ? [`clipped: ${countOf(clippedSamples, "sample")} at full scale`] : []),
    ...(Math.abs(dcOffset) >= 0.001
      ? [`constant offset of ${(100 * dcOffset).toFixed(1)} % of full scale removed`]
      : []),
    ...warnings,
  ];
}

/** What is odd about one strike, in short words. */
export function strikeNotes(strike: StrikeInfo): string[] {
  const { contactsS, clipped, rattle, leftOut } = strike;
  return [
    ...(contactsS.length > 1 ? [`${contactsS.length} contacts of the rod`] : []),
    ...(clipped ? ["clipped"] : []),
    ...(rattle ? ["rattle"] : []),
    ...(leftOut === null ? [] : [`left out: ${leftOut}`]),
  ];
}

/** Coding of a recording in a few words, e.g. "wav, 24 bit, 48000 Hz, 1 channel". */
export function codingText({ format, bits, sampleRateHz, channels }: RecordingInfo): string {
  return [
    format,
    ...(bits === null ? [] : [`${bits} bit`]),
    `${sampleRateHz} Hz`,
    countOf(channels, "channel"),
  ].join(", ");
}

const sentences = (notes: string[]): HtmlValue =>
  notes.length === 0 ? NOT_MEASURED : foreign(notes.join("; "));

function recordingsTable(m: TapMeasurement): Html {
  return table({
    caption: m.recordings.length === 1 ? "The recording." : "The recordings.",
    name: "Recordings",
    columns: [text("file"), text("coding"), number("length, s"), text("channels used"), text("notes")],
    rows: plainRows(
      m.recordings.map((each) => [
        foreign(each.file),
        codingText(each),
        plainNumber(each.durationS, 2),
        foreign(each.channelUse),
        sentences(recordingNotes(each)),
      ]),
    ),
  });
}

function strikesTable(m: TapMeasurement): Html {
  if (m.strikes.length === 0) return html`<p>No strike was found.</p>\n`;
  const several = m.recordings.length > 1;
  return table({
    caption: html`${countOf(m.strikes.length, "strike")} found. Times count from the start of the recording.`,
    name: "Strikes",
    columns: [
      text("strike"),
      ...(several ? [text("file")] : []),
      number("contact, s"),
      number("fit from, s"),
      number("to, s"),
      number("used, s"),
      text("ended by"),
      number("peak, dBFS"),
      number("over noise, dB"),
      text("notes"),
    ],
    rows: plainRows(
      m.strikes.map((strike, i) => [
        i + 1,
        ...(several ? [foreign(m.recordings[strike.recording]?.file ?? NOT_MEASURED)] : []),
        plainNumber(strike.onsetS, 3),
        plainNumber(strike.fitStartS, 3),
        plainNumber(strike.endS, 3),
        plainNumber(strike.usedS, 3),
        strike.endedBy,
        plainNumber(strike.peakDbfs, 1),
        plainNumber(strike.snrDb, 0),
        sentences(strikeNotes(strike)),
      ]),
    ),
  });
}

/** The recordings and the strikes in them. */
export function recordingTables(m: TapMeasurement): Html {
  return html`${recordingsTable(m)}${strikesTable(m)}`;
}

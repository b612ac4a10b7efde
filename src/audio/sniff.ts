import { hasText } from "./bytes.ts";
import { skipId3, startsMpegAudio } from "./mpeg-frames.ts";
import { UnreadableAudioError } from "./recording.ts";
import refused from "./refused-formats.json" with { type: "json" };

export type PackedFormat = "flac" | "mpeg" | "ogg";

const READ = "WAV, FLAC, MP3, Ogg Vorbis and Ogg Opus";

const ADVICE: Record<string, string> = {
  export: "which is not read here: export the recording as WAV or FLAC and try again",
  unpack: "not a recording: unpack it and give the recording inside",
  give: `not a recording: give the sound file itself (${READ} are read)`,
};

/** Whether the bytes, the first twelve at least, begin a WAV file or one of its long forms; one cut short counts too. */
export function startsWav(bytes: Uint8Array): boolean {
  const isRiff = ["RIFF", "RF64", "BW64"].some((id) => hasText(bytes, 0, id));
  return isRiff && (hasText(bytes, 8, "WAVE") || bytes.length < 12);
}

/**
 * Which reader the bytes of all but WAV are for, by what they begin with; a file's name says nothing certain.
 *
 * @throws UnreadableAudioError for whatever none of the readers reads, naming what it is where its first bytes say so
 */
export function sniffPacked(bytes: Uint8Array): PackedFormat {
  if (bytes.length === 0) throw new UnreadableAudioError("The file is empty: copy or record it again.");
  if (hasText(bytes, 0, "OggS")) return "ogg";
  const afterTag = skipId3(bytes);
  if (hasText(bytes, afterTag, "fLaC")) return "flac";
  if (isText(bytes)) {
    const is = isHtml(bytes) ? "a web page" : "a text file";
    throw new UnreadableAudioError(`This is ${is}, ${ADVICE.give}.`);
  }
  for (const { offset, hex, is, advice } of refused.formats) {
    if (hasHex(bytes, offset, hex)) throw new UnreadableAudioError(`This is ${is}, ${ADVICE[advice]}.`);
  }
  if (startsMpegAudio(bytes)) return "mpeg";
  if (isAdts(bytes, afterTag)) throw new UnreadableAudioError(`This is an AAC file, ${ADVICE.export}.`);
  throw new UnreadableAudioError(`This is not a sound file of a known kind: give one of ${READ}.`);
}

function hasHex(bytes: Uint8Array, offset: number, hex: string): boolean {
  const count = hex.length / 2;
  if (bytes.length < offset + count) return false;
  for (let i = 0; i < count; i++) {
    if (bytes[offset + i] !== Number.parseInt(hex.slice(2 * i, 2 * i + 2), 16)) return false;
  }
  return true;
}

/** ADTS, the bare stream of AAC: the 12-bit sync word with a layer of 0, which MPEG audio proper never has. */
function isAdts(bytes: Uint8Array, offset: number): boolean {
  return bytes.length > offset + 6 && bytes[offset] === 0xff && (bytes[offset + 1] & 0xf6) === 0xf0;
}

/** True when the beginning is UTF-8 without control characters, or carries the byte order mark of UTF-16. */
function isText(bytes: Uint8Array): boolean {
  const head = bytes.subarray(0, 1024);
  if ((head[0] === 0xff && head[1] === 0xfe) || (head[0] === 0xfe && head[1] === 0xff)) return true;
  for (const byte of head) {
    if (byte < 0x20 && byte !== 0x09 && byte !== 0x0a && byte !== 0x0c && byte !== 0x0d) return false;
  }
  try {
    // stream: a character cut at the end of the head is no fault
    new TextDecoder("utf-8", { fatal: true }).decode(head, { stream: true });
    return true;
  } catch {
    return false;
  }
}

function isHtml(bytes: Uint8Array): boolean {
  const head = new TextDecoder().decode(bytes.subarray(0, 1024)).trimStart().toLowerCase();
  return head.startsWith("<!doctype html") || head.startsWith("<html") || head.includes("<body");
}

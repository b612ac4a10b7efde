import { describe, expect, test } from "vitest";
import { UnreadableAudioError } from "../../src/audio/recording.ts";
import { sniffPacked, startsWav } from "../../src/audio/sniff.ts";
import { fixture, packageSample } from "./samples.ts";
import { concat, text, u32 } from "./wav-builder.ts";

const sniffFormat = (bytes: Uint8Array) => (startsWav(bytes) ? "wav" : sniffPacked(bytes));

function refusal(bytes: Uint8Array): string {
  try {
    return `read as ${sniffFormat(bytes)}`;
  } catch (error) {
    if (error instanceof UnreadableAudioError) return error.message;
    throw error;
  }
}

/** An MP4-like box: its length, its name, then a few bytes. */
const box = (name: string) => concat([u32(0x18000000), text(name), text("M4A "), new Uint8Array(12)]);
const binary = (head: string) => concat([text(head), Uint8Array.of(0, 1, 2, 3, 0xff, 0xfe, 0, 0, 0, 0)]);

describe("sniffFormat", () => {
  test("sniffFormat names an empty file", () => {
    expect(refusal(new Uint8Array(0))).toContain("empty");
  });

  test("sniffFormat says what a file that is no recording is, in one sentence with what to do", () => {
    const cases: [string, Uint8Array, string][] = [
      ["a text file", text("The wide mouth of the bell\n"), "give the sound file"],
      ["a text file", text("name;note\nBell 1;f#2 é".normalize("NFC")), "give the sound file"],
      ["a text file", Uint8Array.of(0xff, 0xfe, 0x41, 0, 0x42, 0), "give the sound file"],
      ["a web page", text("\n<!DOCTYPE html><title>404</title>"), "give the sound file"],
      ["a web page", text("<html><body>Not found</body></html>"), "give the sound file"],
      ["a ZIP archive", binary("PK\x03\x04"), "unpack it"],
      ["a PDF document", binary("%PDF-1.7"), "give the sound file"],
      ["a JPEG picture", Uint8Array.of(0xff, 0xd8, 0xff, 0xe0, 0, 0x10), "give the sound file"],
      ["an M4A or MP4 file", box("ftyp"), "export the recording as WAV or FLAC"],
      ["a QuickTime file", box("moov"), "export the recording as WAV or FLAC"],
      ["a CAF file", binary("caff"), "export the recording as WAV or FLAC"],
      ["an AIFF file", packageSample("bd_haus.aiff"), "export the recording as WAV or FLAC"],
      [
        "a WebM or Matroska file",
        Uint8Array.of(0x1a, 0x45, 0xdf, 0xa3, 0),
        "export the recording as WAV or FLAC",
      ],
      ["an AVI video", concat([text("RIFF"), u32(0), text("AVI LIST"), u32(0)]), "export the recording"],
      ["an AAC file", Uint8Array.of(0xff, 0xf1, 0x50, 0x80, 0x03, 0xdf, 0xfc, 0), "export the recording"],
      ["an AMR voice recording", binary("#!AMR\n"), "export the recording as WAV or FLAC"],
    ];
    for (const [is, bytes, advice] of cases) {
      expect(refusal(bytes)).toContain(`This is ${is}`);
      expect(refusal(bytes)).toContain(advice);
      expect(refusal(bytes)).toMatch(/^[^.]+\.$/);
    }
  });

  test("sniffFormat says so of bytes that mean nothing to it", () => {
    for (const bytes of [new Uint8Array(100), Uint8Array.of(0xff), Uint8Array.of(0, 200, 1, 99)]) {
      expect(refusal(bytes)).toContain("not a sound file of a known kind");
    }
  });

  test("sniffFormat knows what is read by its first bytes, behind an ID3 tag too", () => {
    expect(sniffFormat(fixture("tone.mp3"))).toBe("mpeg");
    expect(sniffFormat(fixture("tone.ogg"))).toBe("ogg");
    expect(sniffFormat(fixture("tone.opus"))).toBe("ogg");
    expect(sniffFormat(fixture("deep.flac"))).toBe("flac");
    const tag = concat([text("ID3"), Uint8Array.of(4, 0, 0, 0, 0, 1, 5), new Uint8Array(133)]);
    expect(sniffFormat(concat([tag, fixture("deep.flac")]))).toBe("flac");
    expect(sniffFormat(concat([tag, fixture("tone.mp3")]))).toBe("mpeg");
    for (const id of ["RIFF", "RF64", "BW64"]) {
      expect(sniffFormat(concat([text(id), u32(0), text("WAVE")]))).toBe("wav");
    }
  });
});

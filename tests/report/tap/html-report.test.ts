import { beforeAll, describe, expect, test } from "vitest";
import type { TapMeasurement } from "../../../src/measurement/index.ts";
import { htmlReport } from "../../../src/report/index.ts";
import { estimateText } from "../../../src/report/numbers.ts";
import {
  crackedBell,
  emptyMeasurement,
  noisyRecording,
  SOUND_SPECS,
  soundBell,
} from "../../support/sample-measurement.ts";
import { sampleMeasurement } from "../../support/sample-parts.ts";
import { reportAssets } from "../support/assets.ts";
import { HOSTILE, hostileBell } from "../support/hostile.ts";

let assets: Awaited<ReturnType<typeof reportAssets>>;
beforeAll(async () => {
  assets = await reportAssets();
});

/** The document without the inlined scripts and styles: what the measurement itself put there. */
const bodyOf = (text: string) => text.replace(/<(script|style)>[\s\S]*?<\/\1>/g, "");
const report = (m: TapMeasurement) => htmlReport(m, { ...assets, audio: null });

describe("htmlReport", () => {
  test.each([
    ["soundBell", () => soundBell()],
    ["crackedBell", () => crackedBell()],
    ["noisyRecording", () => noisyRecording()],
    ["emptyMeasurement", () => emptyMeasurement()],
  ])("htmlReport(%s) is whole, has every part, and never writes what was not measured", async (_, make) => {
    const text = await report(make());
    expect(text.startsWith("<!doctype html>")).toBe(true);
    expect(text.endsWith("</html>\n")).toBe(true);
    for (const id of [
      "findings",
      "glance",
      "listen",
      "partials",
      "spectrum",
      "ring-down",
      "deviation",
      "beats",
      "method",
    ]) {
      expect(text).toContain(`<section id="${id}"`);
    }
    expect(bodyOf(text)).not.toMatch(/NaN|Infinity|undefined|\[object/);
  });

  test("htmlReport(m) shows hostile text as text, wherever it stands", async () => {
    const body = bodyOf(await report(hostileBell()));
    expect(body).toContain("<h1><bdi>&lt;script&gt;alert(1)&lt;/script&gt;</bdi></h1>");
    expect(body).not.toContain(HOSTILE);
    expect(body).not.toMatch(/<(img|svg onload|script>|!--)/);
    // With the quoted values taken out, a handler would be left standing as an attribute.
    expect(body.replace(/"[^"]*"/g, "")).not.toMatch(/<[^>]*\son[a-z]+\s*=/i);
    expect(body.match(/<script/g)).toEqual(["<script"]);
  });

  test("htmlReport(m) writes every estimate of every partial in its tables", async () => {
    const bell = soundBell();
    const body = bodyOf(await report(bell));
    const cells = [...body.matchAll(/<t[dh][^>]*>(.*?)<\/t[dh]>/gs)].map(([, cell]) =>
      cell!.replace(/\u00a0/g, " "),
    );
    // Spot values as formatEstimate writes them.
    for (const text of ["261.2000 ± 0.0010", "44.31 ± 0.89", "−8.10 ± 0.30", "5260 ± 110", "0.900 ± 0.016"]) {
      expect(cells.some((cell) => cell.includes(text))).toBe(true);
    }
    for (const partial of bell.partials) {
      if (partial.name !== null) expect(cells.some((cell) => cell.includes(partial.name!))).toBe(true);
      for (const member of partial.doublet?.members ?? []) {
        expect(
          cells.some(
            (cell) => cell === estimateText(member.frequencyHz, "frequency").replace(/\u00a0/g, " "),
          ),
        ).toBe(true);
      }
    }
  });

  test("htmlReport(m) lists what the profile expects and was not found", async () => {
    expect(bodyOf(await report(soundBell()))).not.toContain("Expected, not found");
    expect(bodyOf(await report(crackedBell()))).toMatch(
      /Expected, not found<\/h3>[\s\S]*?<th scope="row"><bdi>quint<\/bdi><\/th><td class="number">1\.5<\/td>/,
    );
  });

  test("htmlReport(m) plays the recording only where it was given, from inside the file", async () => {
    expect(bodyOf(await report(soundBell()))).not.toContain("<audio");
    const withAudio = await htmlReport(soundBell(), {
      ...assets,
      audio: { recordingWav: Uint8Array.of(82, 73, 70, 70) },
    });
    expect(withAudio).toContain('src="data:audio/wav;base64,UklGRg=="');
    expect(withAudio).not.toContain("autoplay");
  });

  test("htmlReport(m) says which stretch of a long recording it holds, and the limit; and which of several it plays", async () => {
    const recordingWav = Uint8Array.of(82, 73, 70, 70);
    const cut = { fromS: 99.75, toS: 112, mostMiB: 8 };
    const text = bodyOf(await htmlReport(soundBell(), { ...assets, audio: { recordingWav, cut } })).replace(
      /\u00a0/g,
      " ",
    );
    expect(text).toContain("the stretch from 99.8 to 112.0 s");
    expect(text).toContain("a report carries at most 8 MiB of sound");
    expect(bodyOf(await htmlReport(soundBell(), { ...assets, audio: { recordingWav } }))).toContain(
      "The recording as it was read:",
    );
    const several = soundBell();
    several.recordings.push({ ...several.recordings[0]!, file: "other.wav" });
    const both = bodyOf(await htmlReport(several, { ...assets, audio: { recordingWav } }));
    expect(both).toMatch(/The recording <bdi>[^<]+<\/bdi> as it was read:/);
  });

  test("htmlReport(m) names what asks for attention once below its headline, each a link to its finding", async () => {
    const text = await report(crackedBell());
    const asked = crackedBell().findings.filter(({ outcome }) => outcome === "attention");
    expect(asked.length).toBeGreaterThan(0);
    for (const { id } of asked) {
      expect(text).toContain(`<li><a href="#finding-${id}">`);
      expect(text).toContain(`id="finding-${id}"`);
    }
    const calm = soundBell();
    calm.findings = [];
    expect(await report(calm)).not.toContain('class="asks"');
  });

  test("htmlReport(m) tells the recorder's clock only where an interval is as narrow", async () => {
    expect(await report(soundBell())).toContain("No interval holds the recorder&#39;s own clock");
    const wide = soundBell();
    for (const partial of wide.partials) partial.frequencyHz.ci95 = partial.frequencyHz.value / 1000;
    expect(await report(wide)).not.toContain("recorder&#39;s own clock");
  });

  test("htmlReport(m) says where a partial without a name lies, and lists one pitch once", async () => {
    const bell = soundBell();
    for (const partial of bell.partials) Object.assign(partial, { name: null, nameConfidence: null });
    const [first] = bell.strikeNote!.candidates;
    bell.strikeNote!.candidates = [first!, { ...first!, method: "half the nominal", weight: 0.5 }];
    const text = bodyOf(await report(bell)).replace(/\u00a0/g, " ");
    expect(text).toContain("partial 2, 521.4 Hz");
    expect(text).toContain("none named");
    const table = /aria-label="Strike note"[\s\S]*?<\/table>/.exec(text)![0];
    expect(table.match(/<tr/g)).toHaveLength(2);
    expect(table).toContain("half the nominal");
  });

  test("htmlReport(m) has the date that the caller gives and none of its own", async () => {
    const text = await htmlReport(soundBell(), { ...assets, audio: null, generatedAt: "2026-05-01 12:00" });
    expect(text).toContain("ringwright 0.1.0, 2026-05-01 12:00");
    expect(await report(soundBell())).toBe(await report(soundBell()));
  });

  test("htmlReport(m) of sixty partials, each a pair, stays under 1.5 MB without audio", async () => {
    const specs = Array.from({ length: 60 }, (_, i) => ({
      ...SOUND_SPECS[0]!,
      name: `partial ${i}`,
      frequencyHz: 200 * 1.07 ** i,
      splitHz: 0.4,
    }));
    const text = await report(sampleMeasurement(specs));
    expect(new TextEncoder().encode(text).length).toBeLessThan(1.5e6);
  });

  test("the client script is small, and neither it nor chart.js evaluates text", () => {
    // chart.js 4.6.1 itself is 210 kB; the client has no reason to pass a tenth of it.
    expect(assets.script.length).toBeLessThan(21_000);
    for (const source of [assets.script, assets.chartJsSource])
      expect(source).not.toMatch(/\beval\(|new Function\b/);
  });
});

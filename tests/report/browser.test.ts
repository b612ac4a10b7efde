import { describe, expect, test } from "vitest";
import type { TapMeasurement } from "../../src/measurement/index.ts";
import { htmlReport } from "../../src/report/index.ts";
import { emptyMeasurement, noisyRecording, soundBell } from "../support/sample-measurement.ts";
import { reportAssets } from "./support/assets.ts";
import { cutTables, foldOut, tooWide, tooWideOnPaper, useReports, violations } from "./support/browser.ts";
import { HOSTILE, hostileBell } from "./support/hostile.ts";

/** A second of silence, 8 kHz, 16 bit, as a WAV file: something that the policy must let play. */
function silentWav(): Uint8Array {
  const samples = 8000;
  const bytes = new DataView(new ArrayBuffer(44 + 2 * samples));
  const text = (at: number, word: string) =>
    [...word].forEach((letter, i) => {
      bytes.setUint8(at + i, letter.charCodeAt(0));
    });
  text(0, "RIFF");
  bytes.setUint32(4, 36 + 2 * samples, true);
  text(8, "WAVEfmt ");
  bytes.setUint32(16, 16, true);
  bytes.setUint16(20, 1, true);
  bytes.setUint16(22, 1, true);
  bytes.setUint32(24, 8000, true);
  bytes.setUint32(28, 16000, true);
  bytes.setUint16(32, 2, true);
  bytes.setUint16(34, 16, true);
  text(36, "data");
  bytes.setUint32(40, 2 * samples, true);
  return new Uint8Array(bytes.buffer);
}

const reports = useReports(async () => {
  const assets = await reportAssets();
  const samples: Record<string, TapMeasurement> = {
    sound: soundBell(),
    hostile: hostileBell(),
    noisy: noisyRecording(),
    empty: emptyMeasurement(),
  };
  const texts = Object.entries(samples).map(async ([name, m]) => {
    const audio = name === "sound" ? { recordingWav: silentWav() } : null;
    return [name, await htmlReport(m, { ...assets, audio })] as const;
  });
  return Object.fromEntries(await Promise.all(texts));
});

/** Of each canvas, by its id: the share of pixels that carry ink, and how many are green as only fits and points are. */
const INK = `Object.fromEntries([...document.querySelectorAll("canvas")].map((canvas) => {
  const { data } = canvas.getContext("2d").getImageData(0, 0, canvas.width, canvas.height);
  let inked = 0;
  let green = 0;
  for (let i = 0; i < data.length; i += 4) {
    if (data[i + 3] > 0) inked++;
    if (data[i + 3] > 100 && data[i + 1] - data[i] > 40) green++;
  }
  return [canvas.id, [inked / (data.length / 4), green]];
}))`;

describe("the report in Chromium", () => {
  test("draws every chart, says nothing on the console, and asks for nothing but itself", async () => {
    const { page, heard, asked, close } = await reports.open("sound");
    const ink = (await page.evaluate(INK)) as Record<string, [number, number]>;
    // Spectrum, whole ring-down, one for each of eight partials, deviation, two pairs.
    expect(Object.keys(ink)).toHaveLength(13);
    for (const [id, [share, green]] of Object.entries(ink)) {
      // An empty canvas has no ink at all; axes, grid and text are all but grey.
      expect(share, id).toBeGreaterThan(0.01);
      expect(green, id).toBeGreaterThan(50);
    }
    expect(heard).toEqual([]);
    expect(asked).toEqual([reports.address("sound")]);
    await close();
  });

  test("shows a bell named <script>alert(1)</script> as text and runs none of it", async () => {
    const { page, heard, asked, close } = await reports.open("hostile");
    expect(await page.textContent("h1")).toBe(HOSTILE);
    expect(await page.title()).toContain(HOSTILE);
    await page.locator(".chooser").first().click();
    expect(await page.textContent("#player-text")).toContain(HOSTILE);
    expect(await page.locator("img, svg[onload], [onmouseover]").count()).toBe(0);
    expect(heard).toEqual([]);
    expect(asked).toEqual([reports.address("hostile")]);
    await close();
  });

  test("keeps foreign script, style, image and connection out by its policy, even when they are put into the page", async () => {
    const { page, asked, close } = await reports.open("sound");
    const got = (await page.evaluate(`(async () => {
      const script = document.createElement("script");
      script.textContent = "window.foreign = true";
      document.body.append(script);
      document.body.insertAdjacentHTML("beforeend", "<b id='styled' style='color: rgb(1, 2, 3)' onclick='window.clicked = true'>x</b>");
      document.getElementById("styled").click();
      const fetched = await fetch("https://example.invalid/").then(() => "fetched", () => "refused");
      // Later, from the page's own task: what runs inside this call is exempt.
      const evaluated = await new Promise((done) => setTimeout(() => {
        try { new Function("return 1")(); done("evaluated"); } catch { done("refused"); }
      }, 20));
      return [window.foreign, window.clicked, getComputedStyle(document.getElementById("styled")).color, fetched, evaluated];
    })()`)) as unknown[];
    expect(got[0]).toBeFalsy();
    expect(got[1]).toBeFalsy();
    expect(got[2]).not.toBe("rgb(1, 2, 3)");
    expect(got.slice(3)).toEqual(["refused", "refused"]);
    expect(asked).toEqual([reports.address("sound")]);
    await close();
  });

  test.each([
    ["sound", { colorScheme: "light" as const }],
    ["sound", { colorScheme: "dark" as const }],
    ["sound", { colorScheme: "light" as const, viewport: { width: 390, height: 844 } }],
    ["sound", { colorScheme: "dark" as const, viewport: { width: 320, height: 640 } }],
    ["hostile", { colorScheme: "light" as const, viewport: { width: 320, height: 640 } }],
    ["empty", { colorScheme: "light" as const }],
  ])(
    "%s in %j gives axe-core nothing to object to and nothing to scroll sideways, folded out and with a partial chosen",
    async (name, options) => {
      const { page, heard, close } = await reports.open(name, options);
      expect(await violations(page)).toEqual([]);
      await foldOut(page);
      if (name !== "empty") await page.locator(".chooser").first().click();
      expect(await violations(page)).toEqual([]);
      expect(await tooWide(page)).toEqual([]);
      expect(heard).toEqual([]);
      await close();
    },
  );

  test("shows every table whole in a window of 1280 px, folded out", async () => {
    const { page, close } = await reports.open("sound", { viewport: { width: 1280, height: 900 } });
    await foldOut(page);
    expect(await cutTables(page)).toEqual([]);
    await close();
  });

  // WCAG 2.2, 1.4.10 (reflow): 320 CSS px without scrolling in two directions, data tables excepted.
  test("scrolls no page at 320 px; a table that is wider does so in its own box, by keyboard too, and its edge shows that there is more", async () => {
    const { page, close } = await reports.open("sound", { viewport: { width: 320, height: 640 } });
    await foldOut(page);
    expect(await page.evaluate("document.documentElement.scrollWidth")).toBe(320);
    const cut = await cutTables(page);
    expect(cut).toContain("Partials");
    expect(cut).not.toContain("The bell at a glance");
    const box = page.getByRole("group", { name: "Partials", exact: true });
    await box.focus();
    await page.keyboard.press("ArrowRight");
    await expect.poll(() => box.evaluate((each) => each.scrollLeft)).toBeGreaterThan(0);
    const ground = await box.evaluate((each) => getComputedStyle(each).backgroundAttachment);
    expect(ground).toContain("local");
    await close();
  });

  test("lets a partial be chosen by keyboard: it sounds, lights up in every chart, and Escape puts it out", async () => {
    const { page, heard, close } = await reports.open("sound");
    const pixels = (id: string) => page.evaluate(`document.getElementById("${id}").toDataURL()`);
    const charts = ["chart-spectrum", "chart-ring-down", "chart-deviation"];
    const before = await Promise.all(charts.map(pixels));
    const prime = page.locator("#partials .chooser").nth(1);
    await prime.focus();
    await page.keyboard.press("Enter");
    expect(await prime.getAttribute("aria-pressed")).toBe("true");
    expect(await page.locator("#player").isVisible()).toBe(true);
    expect(await page.textContent("#announce")).toBe("Playing prime alone, 521 Hz");
    const after = await Promise.all(charts.map(pixels));
    charts.forEach((_, i) => {
      expect(after[i]).not.toBe(before[i]);
    });
    const chosen = await page
      .locator("figure.is-chosen canvas")
      .evaluateAll((all) => all.map(({ id }) => id));
    expect(chosen).toEqual(["chart-ring-down-1", "chart-beats-1"]);
    await page.keyboard.press("Escape");
    expect(await page.locator("#player").isVisible()).toBe(false);
    expect(await Promise.all(charts.map(pixels))).toEqual(before);
    expect(heard).toEqual([]);
    await close();
  });

  test("chooses a partial where its point in a chart is clicked", async () => {
    const { page, close } = await reports.open("sound");
    // The octave nominal is the lowest row.
    const at = (await page.evaluate(`(() => {
      const chart = Chart.getChart("chart-deviation");
      return [chart.scales.x.getPixelForValue(69.875), chart.scales.y.getPixelForValue(0)];
    })()`)) as [number, number];
    await page.locator("#chart-deviation").click({ position: { x: at[0], y: at[1] } });
    expect(await page.locator("#partials tr.is-chosen th").textContent()).toBe("octave nominal");
    await close();
  });

  test("plays nothing by itself, begins softly, and can play the recording that it holds", async () => {
    const { page, heard, close } = await reports.open("sound");
    await page.waitForFunction("document.getElementById('recording').readyState >= 1");
    const audio = (await page.evaluate(`(() => {
      const audio = document.getElementById("recording");
      return [audio.paused, audio.duration, audio.volume];
    })()`)) as [boolean, number, number];
    expect(audio[0]).toBe(true);
    expect(audio[1]).toBeCloseTo(1, 2);
    // A quarter of the slider is a sixteenth of the gain: 24 dB below full.
    expect(audio[2]).toBeCloseTo(1 / 16, 6);
    expect(await page.locator("#player").isVisible()).toBe(false);
    await page.getByRole("button", { name: "Hear the bell rebuilt" }).click();
    expect(await page.textContent("#player-text")).toBe("Playing the bell rebuilt from its partials");
    await page.getByRole("button", { name: "Stop" }).click();
    expect(await page.locator("#player").isVisible()).toBe(false);
    expect(heard).toEqual([]);
    await close();
  });

  test("reads without scripts: tables, the picture and a text for each chart are there, empty charts are not", async () => {
    const { page, heard, close } = await reports.open("sound", { javaScriptEnabled: false });
    expect(await page.locator("canvas").first().isVisible()).toBe(false);
    expect(await page.locator("figure .without-script").count()).toBe(13);
    for (const text of await page.locator("figure .without-script").all())
      expect(await text.isVisible()).toBe(true);
    expect(await page.locator("#partials tbody tr").first().isVisible()).toBe(true);
    expect(await page.locator("#glance .strip").first().isVisible()).toBe(true);
    expect(await page.locator("#play-all").isVisible()).toBe(false);
    // The policy lets the style sheet in.
    expect(await page.locator("body").evaluate((body) => getComputedStyle(body).maxWidth)).not.toBe("none");
    expect(heard).toEqual([]);
    await close();
  });

  test("prints from a dark screen: charts redrawn for paper, all folded out, nothing wider than A4 or Letter", async () => {
    const { page, heard, close } = await reports.open("sound", { colorScheme: "dark" });
    await page.evaluate(`window.addEventListener("beforeprint", () => {
      window.seen = {
        printing: document.documentElement.classList.contains("printing"),
        open: [...document.querySelectorAll("details")].every((each) => each.open),
        ink: Chart.getChart("chart-spectrum").options.scales.x.ticks.color,
      };
    })`);
    const pdf = await page.pdf({ format: "A4" });
    expect(pdf.subarray(0, 5).toString()).toBe("%PDF-");
    expect((pdf.toString("latin1").match(/\/Type\s*\/Page\b/g) ?? []).length).toBeGreaterThan(2);
    // --soft of the light style.
    expect(await page.evaluate("window.seen")).toEqual({ printing: true, open: true, ink: "#575a50" });
    expect(await page.evaluate(`document.documentElement.classList.contains("printing")`)).toBe(false);
    await page.emulateMedia({ media: "print", colorScheme: "dark" });
    expect(await page.evaluate("getComputedStyle(document.body).color")).toBe("rgb(35, 38, 31)");
    expect(await tooWideOnPaper(page)).toEqual([]);
    expect(heard).toEqual([]);
    await close();
  });
});

import { describe, expect, test } from "vitest";
import { compareCastings } from "../../../src/compare/index.ts";
import { htmlCompare } from "../../../src/report/index.ts";
import { reportAssets } from "../support/assets.ts";
import { cutTables, foldOut, tooWide, tooWideOnPaper, useReports, violations } from "../support/browser.ts";
import { HOSTILE, hostileBell } from "../support/hostile.ts";
import { nothingInCommon, threeCastings, twoAlloys } from "./compared.ts";

/** Two castings with hostile text wherever a user or a file can put text. */
function hostile() {
  const measurements = [hostileBell(), hostileBell()];
  const facts = { label: HOSTILE, alloy: HOSTILE, massKg: null, diameterM: null };
  const inputs = measurements.map((measurement) => ({ ...facts, measurement }));
  // An alloy that is none is refused by the reader of alloys; here it comes from a file that was tampered with.
  const comparison = compareCastings(
    inputs.map((input) => ({ ...input, alloy: null })),
    0,
    HOSTILE,
  );
  for (const casting of comparison.castings) Object.assign(casting, { alloy: HOSTILE });
  return { comparison, measurements };
}

const reports = useReports(async () => {
  const assets = await reportAssets();
  const samples = {
    two: twoAlloys(),
    three: threeCastings(),
    nothing: nothingInCommon(),
    hostile: hostile(),
  };
  const texts = Object.entries(samples).map(
    async ([name, { comparison, measurements }]) =>
      [name, await htmlCompare(comparison, measurements, assets)] as const,
  );
  return Object.fromEntries(await Promise.all(texts));
});

/** Of each canvas, by its id: how many pixels carry the green of A and the copper of B. */
const INK = `Object.fromEntries([...document.querySelectorAll("canvas")].map((canvas) => {
  const { data } = canvas.getContext("2d").getImageData(0, 0, canvas.width, canvas.height);
  let green = 0;
  let copper = 0;
  for (let i = 0; i < data.length; i += 4) {
    if (data[i + 3] > 100 && data[i + 1] - data[i] > 40) green++;
    if (data[i + 3] > 100 && data[i] - data[i + 2] > 80) copper++;
  }
  return [canvas.id, [green, copper]];
}))`;

describe("the report of a comparison in Chromium", () => {
  test("shows every table whole in a window of 1280 px, folded out", async () => {
    const { page, close } = await reports.open("two", { viewport: { width: 1280, height: 900 } });
    await foldOut(page);
    expect(await cutTables(page)).toEqual([]);
    await close();
  });

  test("draws both castings in every chart, says nothing on the console, and asks for nothing but itself", async () => {
    const { page, heard, asked, close } = await reports.open("two");
    const ink = (await page.evaluate(INK)) as Record<string, [number, number]>;
    // Two spectra, the whole ring-down, seven pairs, decay, loss, shift, deviations.
    expect(Object.keys(ink)).toHaveLength(2 + 1 + 7 + 2 + 2);
    for (const [id, [green, copper]] of Object.entries(ink)) {
      expect(green, id).toBeGreaterThan(50);
      if (id !== "chart-shift") expect(copper, id).toBeGreaterThan(50);
    }
    expect(heard).toEqual([]);
    expect(asked).toEqual([reports.address("two")]);
    await close();
  });

  test("lets A, B, and A then B be heard, and says which", async () => {
    const { page, heard, close } = await reports.open("two");
    for (const [name, said] of [
      ["Hear A", "Playing A, rebuilt"],
      ["Hear B", "Playing B, rebuilt"],
      ["Hear A, then B", "Playing A, then B, at equal loudness"],
    ] as const) {
      await page.getByRole("button", { name, exact: true }).click();
      expect(await page.textContent("#announce")).toBe(said);
      expect(await page.locator("#player").isVisible()).toBe(true);
    }
    await page.keyboard.press("Escape");
    expect(await page.locator("#player").isVisible()).toBe(false);
    expect(heard).toEqual([]);
    await close();
  });

  test("lets a pair be chosen: it sounds of A, then of B, and lights up in table and charts", async () => {
    const { page, heard, close } = await reports.open("two");
    await page.locator("#partials .chooser").nth(2).click();
    expect(await page.textContent("#announce")).toBe("Playing tierce of A, then of B");
    expect(await page.locator("#partials tr.is-chosen th").textContent()).toBe("tierce");
    const chosen = await page
      .locator("figure.is-chosen canvas")
      .evaluateAll((all) => all.map(({ id }) => id));
    expect(chosen).toEqual(["chart-ring-downs-2"]);
    expect(heard).toEqual([]);
    await close();
  });

  test("leads from a clause of the result to its finding, also without scripts", async () => {
    for (const javaScriptEnabled of [true, false]) {
      const { page, close } = await reports.open("two", { javaScriptEnabled });
      await page.locator(".result a").last().click();
      expect(page.url()).toBe(`${reports.address("two")}#finding-pitch`);
      await page.waitForTimeout(50);
      expect(await page.locator("#finding-pitch").isVisible()).toBe(true);
      expect(await page.locator("canvas").first().isVisible()).toBe(javaScriptEnabled);
      await close();
    }
  });

  test("shows castings named <script>alert(1)</script> as text and runs none of it", async () => {
    const { page, heard, asked, close } = await reports.open("hostile");
    expect(await page.textContent("h1")).toContain(HOSTILE);
    await page.locator(".chooser").first().click();
    expect(await page.locator("img, svg[onload], [onmouseover]").count()).toBe(0);
    expect(heard).toEqual([]);
    expect(asked).toEqual([reports.address("hostile")]);
    await close();
  });

  test.each([
    ["two", { colorScheme: "light" as const }],
    ["two", { colorScheme: "dark" as const, viewport: { width: 390, height: 844 } }],
    ["two", { colorScheme: "light" as const, viewport: { width: 320, height: 640 } }],
    ["hostile", { colorScheme: "light" as const, viewport: { width: 390, height: 844 } }],
    ["three", { colorScheme: "light" as const }],
    ["nothing", { colorScheme: "light" as const }],
  ])("%s in %j gives axe-core nothing to object to and nothing to scroll sideways", async (name, options) => {
    const { page, heard, close } = await reports.open(name, options);
    await foldOut(page);
    expect(await violations(page)).toEqual([]);
    expect(await tooWide(page)).toEqual([]);
    expect(heard).toEqual([]);
    await close();
  });

  test("prints on A4 and Letter with nothing wider than the sheet", async () => {
    const { page, close } = await reports.open("two");
    const pdf = await page.pdf({ format: "A4" });
    expect(pdf.subarray(0, 5).toString()).toBe("%PDF-");
    expect(await tooWideOnPaper(page)).toEqual([]);
    await close();
  });
});

import { beforeAll, describe, expect, test } from "vitest";
import { compareCastings } from "../../src/compare/index.ts";
import { htmlCompare, htmlPlan, htmlReport, htmlSeries } from "../../src/report/index.ts";
import { casting } from "../compare/support/sample-castings.ts";
import { sampleReview, sampleScale } from "../foundry/plan-samples.ts";
import { hostileSeries } from "./series/sample-series.ts";
import { reportAssets } from "./support/assets.ts";
import { useReports, type Watched } from "./support/browser.ts";
import { HOSTILE_NAMES, hostileBell } from "./support/hostile.ts";

/** Every kind of report, each with hostile text wherever a user or a file can put text. */
const KINDS = ["tap", "compare", "series", "plan", "review"] as const;

const bellCalled = (label: string) => {
  const bell = hostileBell();
  bell.options.label = label;
  return bell;
};

async function everyReport(name: string): Promise<Record<string, string>> {
  const assets = await reportAssets();
  const bells = [bellCalled(name), bellCalled(name)];
  const comparison = compareCastings(
    bells.map((bell) => casting(bell, { label: name })),
    0,
    name,
  );
  const plan = sampleScale({ measurement: bellCalled(name) });
  plan.scale!.notes.push(name);
  plan.scale!.targetNote = name;
  const review = sampleReview();
  review.review!.label = name;
  review.review!.text.push(name);
  for (const partial of review.review!.partials) partial.name = name;
  return {
    tap: await htmlReport(bells[0]!, { ...assets, audio: null }),
    compare: await htmlCompare(comparison, bells, assets),
    series: await htmlSeries(hostileSeries(name), { ...assets, tapLink: () => null }),
    plan: await htmlPlan(plan, "metric"),
    review: await htmlPlan(review, "metric"),
  };
}

const policyOf = (text: string) =>
  /http-equiv="Content-Security-Policy" content="([^"]*)"/.exec(text)![1]!.replaceAll("&#39;", "'");

describe("the policy of every report", () => {
  let texts: Record<string, string>;
  beforeAll(async () => {
    texts = await everyReport("a bell");
  }, 60_000);

  test.each(KINDS)("the policy of %s lets in what it carries, by hash, and nothing else", (kind) => {
    const directives = new Map(
      policyOf(texts[kind]!)
        .split("; ")
        .map((directive) => {
          const [name, ...sources] = directive.split(" ");
          return [name!, sources];
        }),
    );
    expect(directives.get("default-src")).toEqual(["'none'"]);
    expect(directives.get("base-uri")).toEqual(["'none'"]);
    expect(directives.get("form-action")).toEqual(["'none'"]);
    expect(directives.get("img-src")).toEqual(["data:"]);
    for (const source of directives.get("style-src")!) expect(source).toMatch(/^'sha256-[\w+/]{43}='$/);
    const scripts = directives.get("script-src")!;
    if (kind === "plan" || kind === "review") expect(scripts).toEqual(["'none'"]);
    else for (const source of scripts) expect(source).toMatch(/^'sha256-[\w+/]{43}='$/);
    expect(policyOf(texts[kind]!)).not.toMatch(/unsafe|\*|https?:/);
    // The policy holds for what stands after it, so it stands before anything that could load or run.
    expect(texts[kind]!.indexOf("Content-Security-Policy")).toBeLessThan(
      texts[kind]!.search(/<(script|style|link|img|title)/),
    );
  });
});

/** Puts into a page what a policy must keep out, and tells what became of it. */
const INTRUDE = `(async () => {
  const refused = [];
  document.addEventListener("securitypolicyviolation", (event) => refused.push(event.effectiveDirective));
  const seen = async (directive) => {
    for (let i = 0; i < 100 && !refused.includes(directive); i++) await new Promise((done) => setTimeout(done, 50));
  };
  const into = (markup) => document.body.insertAdjacentHTML("beforeend", markup);
  const script = document.createElement("script");
  script.textContent = "window.ran = true";
  document.body.append(script);
  const style = document.createElement("style");
  style.textContent = "body { outline: 7px solid red }";
  document.head.append(style);
  into("<b id='in' style='color: rgb(1, 2, 3)' onclick='window.clicked = true'>x</b>");
  document.getElementById("in").click();
  into("<form id='form' action='https://example.invalid/'><input name='a'></form>");
  document.getElementById("form").submit();
  await seen("form-action");
  into("<a id='link' href='javascript:window.followed = true'>x</a>");
  document.getElementById("link").click();
  into("<img src='https://example.invalid/x.png'><iframe src='https://example.invalid/'></iframe>");
  into("<object data='https://example.invalid/x'></object><audio src='https://example.invalid/x.wav'></audio>");
  const base = document.createElement("base");
  base.href = "https://example.invalid/";
  document.head.append(base);
  await fetch("https://example.invalid/").catch(() => {});
  for (const directive of ["base-uri", "connect-src", "frame-src", "img-src", "media-src", "object-src"]) await seen(directive);
  return {
    acted: [window.ran, window.clicked, window.followed].some(Boolean),
    outline: getComputedStyle(document.body).outlineWidth,
    colour: getComputedStyle(document.getElementById("in")).color,
    base: document.baseURI,
    refused: [...new Set(refused)].sort(),
  };
})()`;

describe("every report in Chromium", () => {
  const reports = useReports(async () => {
    const texts: Record<string, string> = {};
    for (const [i, name] of HOSTILE_NAMES.entries())
      for (const [kind, text] of Object.entries(await everyReport(name))) texts[`${kind} ${i}`] = text;
    return texts;
  });

  test.each(KINDS)(
    "%s keeps out foreign script, style, handler, image, frame, form, base and connection",
    async (kind) => {
      const { page, asked, close } = await reports.open(`${kind} 0`);
      const failed: string[] = [];
      page.on("requestfailed", (request) => failed.push(`${request.url()} ${request.failure()?.errorText}`));
      const got = (await page.evaluate(INTRUDE)) as Record<string, unknown>;
      expect(got.acted).toBe(false);
      expect(got.outline).not.toBe("7px");
      expect(got.colour).not.toBe("rgb(1, 2, 3)");
      expect(got.base).toBe(reports.address(`${kind} 0`));
      expect(got.refused).toEqual(
        expect.arrayContaining([
          "base-uri",
          "connect-src",
          "form-action",
          "frame-src",
          "img-src",
          "media-src",
          "object-src",
          "script-src-attr",
          "script-src-elem",
          "style-src-attr",
          "style-src-elem",
        ]),
      );
      // Chromium tells of a request that it refuses; none left the machine.
      for (const url of asked.slice(1)) expect(failed).toContain(`${url} csp`);
      expect(asked[0]).toBe(reports.address(`${kind} 0`));
      await close();
    },
  );

  /** Elements, roles and attributes of the page without its texts: what a hostile name must not add to. */
  const SKELETON = `[...document.querySelectorAll("*")].map((each) => each.localName + [...each.attributes].map(({ name }) => name).sort())
    .filter((each) => !each.startsWith("wbr")).join()`;

  test.each(KINDS)(
    "%s has the same elements whatever a bell is called, runs nothing, asks for nothing and hides nothing",
    async (kind) => {
      const look = async (
        name: string,
      ): Promise<Pick<Watched, "heard" | "asked"> & { skeleton: string; text: string; title: string }> => {
        const { page, heard, asked, close } = await reports.open(name);
        const skeleton = (await page.evaluate(SKELETON)) as string;
        const text = (await page.textContent("h1"))!;
        const title = await page.title();
        await close();
        return { skeleton, text, title, heard, asked };
      };
      const plain = (await look(`${kind} 0`)).skeleton;
      for (const [i, name] of HOSTILE_NAMES.entries()) {
        const { skeleton, text, title, heard, asked } = await look(`${kind} ${i}`);
        expect(skeleton, name).toBe(plain);
        expect(heard, name).toEqual([]);
        expect(asked, name).toEqual([reports.address(`${kind} ${i}`)]);
        for (const shown of [text, title])
          expect(shown).not.toMatch(/\p{Cc}|[\u2028\u202a-\u202e\u2066-\u2069]/u);
      }
    },
    40_000,
  );
});

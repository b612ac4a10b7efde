import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { type Browser, type BrowserContextOptions, chromium, type Page } from "playwright-core";
import { afterAll, beforeAll } from "vitest";

const ARGUMENTS = [
  "--headless",
  "--no-sandbox",
  "--disable-gpu",
  "--disable-quic",
  "--no-first-run",
  "--disable-background-networking",
  "--disable-component-update",
  "--disable-sync",
];

/** Chromium from CHROMIUM_PATH or its usual place; without it the tests fail, they are never skipped. */
async function openBrowser(): Promise<Browser> {
  const executablePath = process.env.CHROMIUM_PATH || "/usr/bin/chromium";
  if (!existsSync(executablePath)) {
    throw new Error(`no Chromium at ${executablePath}: install it or set CHROMIUM_PATH`);
  }
  return chromium.launch({ executablePath, args: ARGUMENTS });
}

/** The set-up of a file of tests in Chromium. */
export interface Reports {
  /** The browser; at hand once the tests run. */
  readonly browser: Browser;
  /** Where the report of this name lies. */
  address: (name: string) => string;
  /** Opens the report of this name. */
  open: (name: string, options?: BrowserContextOptions) => Promise<Watched>;
}

/** Before the tests of a file: writes its reports and opens the browser; after them both go. */
export function useReports(make: () => Promise<Record<string, string>>): Reports {
  const folder = makeFolder();
  const addresses: Record<string, string> = {};
  let browser: Browser | null = null;
  beforeAll(async () => {
    const [texts, opened] = await Promise.all([make(), openBrowser()]);
    browser = opened;
    for (const [name, text] of Object.entries(texts)) addresses[name] = folder.write(`${name}.html`, text);
  }, 60_000);
  afterAll(async () => {
    await browser?.close();
    folder.remove();
  });
  const address = (name: string): string => {
    const found = addresses[name];
    if (found === undefined) throw new Error(`no report is called ${name}`);
    return found;
  };
  return {
    get browser() {
      return browser!;
    },
    address,
    open: (name, options) => openPage(browser!, address(name), options),
  };
}

const axeSource = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

/**
 * What axe-core finds against WCAG 2.2 A and AA and its own best practice, as "rule: first element". Evaluated from outside,
 * as the policy of the page lets nothing else in.
 */
export async function violations(page: Page): Promise<string[]> {
  await page.evaluate(axeSource);
  return page.evaluate(`axe.run(document, {
    runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
  }).then(({ violations }) => violations.map(({ id, nodes }) => id + ": " + nodes[0].html.slice(0, 160)))`);
}

/** Folds everything out. */
export async function foldOut(page: Page): Promise<void> {
  await page.evaluate(`document.querySelectorAll("details").forEach((each) => { each.open = true; })`);
}

/** Elements that reach over the right edge of the window, outside of what may be scrolled. */
export async function tooWide(page: Page): Promise<string[]> {
  return page.evaluate(`[...document.querySelectorAll("body *")]
    .filter((each) => !each.closest(".scroll table") || matchMedia("print").matches)
    .filter((each) => each.getBoundingClientRect().right > innerWidth + 1)
    .map((each) => each.outerHTML.slice(0, 80))`);
}

/** Names of the tables that are wider than their box. */
export async function cutTables(page: Page): Promise<string[]> {
  return page.evaluate(`[...document.querySelectorAll(".scroll")]
    .filter((each) => each.scrollWidth > each.clientWidth)
    .map((each) => each.getAttribute("aria-label"))`);
}

/** The widths of A4 and Letter less their margins of 14 mm, at 96 px an inch. */
const PAPER_PX = [210, 215.9].map((sheetMm) => Math.floor((sheetMm - 28) * (96 / 25.4)));

/** What is wider than the paper when the page is laid out for print. */
export async function tooWideOnPaper(page: Page): Promise<string[]> {
  await page.emulateMedia({ media: "print" });
  const wide: string[] = [];
  for (const width of PAPER_PX) {
    await page.setViewportSize({ width, height: 1000 });
    wide.push(...(await tooWide(page)));
  }
  return wide;
}

/** Files that live as long as the tests. */
function makeFolder(): { write: (name: string, text: string) => string; remove: () => void } {
  const folder = mkdtempSync(join(tmpdir(), "ringwright-report-"));
  return {
    write(name, text) {
      const path = join(folder, name);
      writeFileSync(path, text);
      return pathToFileURL(path).href;
    },
    remove: () => rmSync(folder, { recursive: true, force: true }),
  };
}

/** A page and everything it said or asked for. */
export interface Watched {
  page: Page;
  /** Console messages, uncaught errors and dialogs. */
  heard: string[];
  /** Addresses asked for, without those that lie inside the file. */
  asked: string[];
  close: () => Promise<void>;
}

async function openPage(
  browser: Browser,
  address: string,
  options: BrowserContextOptions = {},
): Promise<Watched> {
  const context = await browser.newContext({ viewport: { width: 1200, height: 900 }, ...options });
  const page = await context.newPage();
  const heard: string[] = [];
  const asked: string[] = [];
  page.on("console", (message) => heard.push(message.text()));
  page.on("pageerror", (error) => heard.push(String(error)));
  page.on("dialog", (dialog) => {
    heard.push(dialog.message());
    void dialog.dismiss();
  });
  page.on("request", (request) => {
    if (!/^(data|blob):/.test(request.url())) asked.push(request.url());
  });
  await page.goto(address);
  return { page, heard, asked, close: () => context.close() };
}

import { existsSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { type Browser, type BrowserContextOptions, chromium, type Page } from "playwright-core";

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
export async function openBrowser(): Promise<Browser> {
  const executablePath = process.env.CHROMIUM_PATH || "/usr/bin/chromium";
  if (!existsSync(executablePath)) {
    throw new Error(`no Chromium at ${executablePath}: install it or set CHROMIUM_PATH`);
  }
  return chromium.launch({ executablePath, args: ARGUMENTS });
}

/** Files that live as long as the tests. */
export function makeFolder(): { write: (name: string, text: string) => string; remove: () => void } {
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

export async function openPage(
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

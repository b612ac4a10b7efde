import { createHash } from "node:crypto";
import { describe, expect, test } from "vitest";
import { base64, contentPolicy, hashSource } from "../../src/report/csp.ts";

describe("base64", () => {
  // RFC 4648, section 10.
  test.each([
    ["", ""],
    ["f", "Zg=="],
    ["fo", "Zm8="],
    ["foo", "Zm9v"],
    ["foobar", "Zm9vYmFy"],
  ])("base64 of the bytes of %j is %j", (text, coded) => {
    expect(base64(new TextEncoder().encode(text))).toBe(coded);
  });

  test("base64(bytes) takes more bytes than an argument list", () => {
    const bytes = Uint8Array.from({ length: 200_003 }, (_, i) => (i * 7) % 251);
    expect(base64(bytes)).toBe(Buffer.from(bytes).toString("base64"));
  });
});

describe("hashSource", () => {
  test("hashSource('alert(\\'Hello, world.\\');') is the example of the Content Security Policy standard", async () => {
    // W3C, Content Security Policy Level 2, section 7.17.2 (memory; the digest is checked against node's own besides).
    expect(await hashSource("alert('Hello, world.');")).toBe(
      "'sha256-qznLcsROx4GACP2dm0UCKCzCG+HiZ1guq6ZZDob/Tng='",
    );
  });

  test("hashSource(text) hashes the UTF-8 bytes", async () => {
    const text = "\u00b1 \u03b1 \u{1f514}";
    expect(await hashSource(text)).toBe(
      `'sha256-${createHash("sha256").update(text, "utf8").digest("base64")}'`,
    );
  });
});

describe("contentPolicy", () => {
  test("contentPolicy([], []) allows no script and no style", async () => {
    const policy = await contentPolicy([], []);
    expect(policy).toContain("default-src 'none'");
    expect(policy).toContain("script-src 'none'");
    expect(policy).toContain("style-src 'none'");
  });

  test("contentPolicy(scripts, styles) names each by its hash and never opens a general door", async () => {
    const policy = await contentPolicy(["a()", "b()"], ["p{}"]);
    expect(policy).toContain(`script-src ${await hashSource("a()")} ${await hashSource("b()")};`);
    expect(policy).toContain(`style-src ${await hashSource("p{}")};`);
    expect(policy).not.toMatch(/unsafe|https?:|\*|self/);
  });
});

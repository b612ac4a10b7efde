import { createHash } from "node:crypto";
import { describe, expect, test } from "vitest";
import { html } from "../../src/report/html.ts";
import { inlineScript, page } from "../../src/report/page.ts";

describe("inlineScript", () => {
  test("inlineScript(source) lets no end tag and no comment through, and keeps what strings mean", () => {
    const source = 'const a = "</script><!--</SCRIPT>";';
    const safe = inlineScript(source);
    expect(safe).not.toMatch(/<\/script|<!--/i);
    expect(new Function(`${safe} return a;`)()).toBe("</script><!--</SCRIPT>");
  });

  test("inlineScript(source) takes out carriage returns and the pointer to a source map", () => {
    expect(inlineScript("a();\r\nb();\rc();\n//# sourceMappingURL=x.js.map\n")).toBe("a();\nb();\nc();\n\n");
  });
});

describe("page", () => {
  const parts = {
    title: "A </title><script>alert(1)</script>",
    masthead: html`<h1>A</h1>`,
    main: html`<p>main</p>`,
    foot: html`<p>foot</p>`,
    data: { charts: [], voices: [] },
    scripts: ["var x = 1;", "var y = '</script>';"],
  };

  test("page(parts) hashes exactly what stands between the tags", async () => {
    const text = await page(parts);
    const policy = /http-equiv="Content-Security-Policy" content="([^"]+)"/.exec(text)![1]!;
    const inlined = [...text.matchAll(/<(script|style)>([\s\S]*?)<\/\1>/g)];
    expect(inlined).toHaveLength(3);
    for (const [, , body] of inlined) {
      const hash = createHash("sha256").update(body!, "utf8").digest("base64");
      expect(policy).toContain(`&#39;sha256-${hash}&#39;`);
    }
  });

  test("page(parts) names the policy before anything that it governs", async () => {
    const text = await page(parts);
    expect(text.indexOf("Content-Security-Policy")).toBeLessThan(text.indexOf("<style"));
    expect(text.indexOf("charset")).toBeLessThan(text.indexOf("Content-Security-Policy"));
  });

  test("page(parts) has no inline handler, no style attribute and no address", async () => {
    const text = await page(parts);
    expect(text).not.toMatch(/\son[a-z]+=/i);
    expect(text).not.toMatch(/\sstyle=/i);
    // The one http address is the name space of the icon's own SVG, which nobody fetches.
    const addresses = [...text.matchAll(/https?:[^\s'"&]+/g)].map(([address]) => address);
    expect(addresses).toEqual(["http://www.w3.org/2000/svg"]);
    expect(text).toContain("<title>A &lt;/title&gt;&lt;script&gt;alert(1)&lt;/script&gt;</title>");
  });
});

import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { escapeHtml, foreign, html, jsonForScript, trustedHtml } from "../../src/report/html.ts";

const ENTITY_VALUES: Record<string, string> = {
  "&lt;": "<",
  "&gt;": ">",
  "&amp;": "&",
  "&quot;": '"',
  "&#39;": "'",
};
const decode = (text: string) => text.replace(/&(lt|gt|amp|quot|#39);/g, (entity) => ENTITY_VALUES[entity]!);

describe("escapeHtml", () => {
  test("escapeHtml('') is ''", () => {
    expect(escapeHtml("")).toBe("");
  });

  test("escapeHtml(text) replaces what HTML forbids, a carriage return and the C1 controls among it", () => {
    expect(escapeHtml("a\u0000b\rc\u001bd\u0085e\tf\ng")).toBe("a\ufffdb\ufffdc\ufffdd\ufffde\tf\ng");
  });

  test("escapeHtml(text) leaves no character that opens a tag or closes an attribute, and loses nothing", () => {
    fc.assert(
      fc.property(fc.string({ unit: "grapheme" }), (text) => {
        const escaped = escapeHtml(text);
        expect(escaped).not.toMatch(/[<>"']/);
        expect(escaped.replace(/&(lt|gt|amp|quot|#39);/g, "")).not.toContain("&");
        // biome-ignore lint/suspicious/noControlCharactersInRegex: the replaced characters
        expect(decode(escaped)).toBe(text.replace(/[\u0000-\u0008\u000b-\u001f\u007f-\u009f]/g, "\ufffd"));
      }),
      { seed: 11, numRuns: 300 },
    );
  });
});

describe("html", () => {
  test("html`...` escapes strings, takes HTML as it is, joins arrays and leaves null out", () => {
    const part = html`<b>${"<&>"}</b>`;
    expect(html`${part}|${["a", part, null]}|${null}|${3}`.text).toBe(
      "<b>&lt;&amp;&gt;</b>|a<b>&lt;&amp;&gt;</b>||3",
    );
  });

  test("html`...` keeps a value inside a quoted attribute", () => {
    expect(html`<a title="${'" onclick="alert(1)'}">`.text).toBe('<a title="&quot; onclick=&quot;alert(1)">');
  });

  test("trustedHtml(text) is not escaped", () => {
    expect(html`${trustedHtml("<i>")}`.text).toBe("<i>");
  });

  test("foreign(text) is escaped and isolated from the direction of what stands around it", () => {
    expect(foreign("<\u202e>").text).toBe("<bdi>&lt;\u202e&gt;</bdi>");
  });
});

describe("jsonForScript", () => {
  test("jsonForScript(value) holds no end tag, no comment and no line separator, and parses to the same value", () => {
    const value = { a: "</script><!--<script>", b: "\u2028\u2029", c: [1, null] };
    const { text } = jsonForScript(value);
    expect(text).not.toMatch(/[<\u2028\u2029]/);
    expect(JSON.parse(text)).toEqual(value);
  });
});

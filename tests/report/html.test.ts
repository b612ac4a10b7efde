import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  escapeHtml,
  foreign,
  html,
  inert,
  jsonForScript,
  prose,
  trustedHtml,
} from "../../src/report/html.ts";

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

  test("escapeHtml(text) replaces what would turn the writing direction or end a line, and half characters", () => {
    expect(escapeHtml("a\u202eb\u2066c\u2028d\ud800e")).toBe("a\ufffdb\ufffdc\ufffdd\ufffde");
    // Scripts written from right to left, their marks and whole pairs stay.
    expect(escapeHtml("\u05e4\u05e2\u05de\u05d5\u05df\u200f \u{1f514}")).toBe(
      "\u05e4\u05e2\u05de\u05d5\u05df\u200f \u{1f514}",
    );
  });

  test("escapeHtml(text) leaves no character that opens a tag or closes an attribute, and loses nothing", () => {
    fc.assert(
      fc.property(fc.string({ unit: "grapheme" }), (text) => {
        const escaped = escapeHtml(text);
        expect(escaped).not.toMatch(/[<>"']/);
        expect(escaped.replace(/&(lt|gt|amp|quot|#39);/g, "")).not.toContain("&");
        expect(decode(escaped)).toBe(inert(text));
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
    expect(foreign("<\u05d0>").text).toBe("<bdi>&lt;\u05d0&gt;</bdi>");
  });
});

describe("prose", () => {
  test("prose(text) keeps numbers with their intervals and units, and options whole, and escapes the rest", () => {
    expect(prose("1.5 ± 0.2 Hz <b>, see --pin nominal=HERTZ or --ridges.").text).toBe(
      '<bdi>1.5\u00a0±\u00a00.2\u00a0Hz &lt;b&gt;, see <span class="option">--pin nominal=HERTZ</span> or <span class="option">--ridges</span>.</bdi>',
    );
    expect(prose("").text).toBe("<bdi></bdi>");
  });
});

describe("jsonForScript", () => {
  test("jsonForScript(value) holds no end tag, no comment and no line separator, and parses to the same value", () => {
    const value = { a: "</script><!--<script>", b: "\u05d0\"'&", c: [1, null] };
    const { text } = jsonForScript(value);
    expect(text).not.toMatch(/[<\u2028\u2029]/);
    expect(JSON.parse(text)).toEqual(value);
    expect(jsonForScript(["a\u2028\u2029\u202e\u0000"]).text).toBe('["a\ufffd\ufffd\ufffd\ufffd"]');
  });
});

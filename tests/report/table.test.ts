import { describe, expect, test } from "vitest";
import { facts, plainRows, table } from "../../src/report/table.ts";

const columns = [
  { head: "partial", kind: "text" as const },
  { head: "Hz", kind: "number" as const },
];

describe("table", () => {
  test("table(parts) without rows keeps its heads", () => {
    const { text } = table({ caption: "none", name: "none", columns, rows: [] });
    expect(text).toContain('<th scope="col">partial</th><th scope="col" class="number">Hz</th>');
    expect(text).not.toContain("<td");
  });

  test("table(parts) escapes cells, heads, caption and name", () => {
    const { text } = table({
      caption: "<c>",
      name: '"n"',
      columns: [{ head: "<h>", kind: "text" }],
      rows: plainRows([["<r>"]]),
    });
    expect(text).toContain("<caption>&lt;c&gt;</caption>");
    expect(text).toContain('aria-label="&quot;n&quot;" tabindex="0"');
    expect(text).toContain('<th scope="col">&lt;h&gt;</th>');
    expect(text).toContain('<th scope="row">&lt;r&gt;</th>');
  });

  test("table(parts) marks a row that stands for something, and its head can become a button", () => {
    const { text } = table({ caption: "c", name: "n", columns, rows: [{ cells: ["hum", "261"], mark: 0 }] });
    expect(text).toContain(
      '<tr data-mark="0"><th scope="row"><span data-choose="0">hum</span></th><td class="number">261</td></tr>',
    );
  });
});

describe("facts", () => {
  test("facts(pairs) pairs each term with its value", () => {
    expect(facts([["A4", "440 Hz"]]).text).toContain("<div><dt>A4</dt><dd>440 Hz</dd></div>");
  });
});

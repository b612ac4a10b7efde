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

describe("a number in a table", () => {
  test("table(parts) lets a line end before an interval, where there is no room, and nowhere else in it", () => {
    const cells = ["hum", "(5.52\u00a0\u00b1\u00a00.01)\u00a0\u00d7\u00a010\u207b\u2074"];
    const { text } = table({ caption: "c", name: "n", columns, rows: plainRows([cells]) });
    expect(text).toContain('<td class="number">(5.52 \u00b1\u00a00.01)\u00a0\u00d7\u00a010\u207b\u2074</td>');
  });

  test("table(parts) sets the head of a row as the head of its column is set", () => {
    const { text } = table({ caption: "c", name: "n", columns: [columns[1]!], rows: plainRows([["1"]]) });
    expect(text).toContain('<th scope="row" class="number">1</th>');
  });
});

describe("facts", () => {
  test("facts(pairs) pairs each term with its value", () => {
    expect(facts([["A4", "440 Hz"]]).text).toContain("<div><dt>A4</dt><dd>440 Hz</dd></div>");
  });
});

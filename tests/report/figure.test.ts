import { describe, expect, test } from "vitest";
import { figure, legend, moreNumbers, section } from "../../src/report/figure.ts";
import { html } from "../../src/report/html.ts";

describe("figure", () => {
  const parts = { id: "chart-x", caption: "c", description: 'a "b" <c>', small: false, mark: null };

  test("figure(parts) says what the chart shows twice: to those who hear it, and where no script draws it", () => {
    const { text } = figure(parts);
    expect(text).toContain(
      '<canvas id="chart-x" role="img" aria-label="a &quot;b&quot; &lt;c&gt;"></canvas>',
    );
    expect(text).toContain('<p class="without-script">a &quot;b&quot; &lt;c&gt;</p>');
  });

  test("figure(parts) carries the mark of what it stands for", () => {
    expect(figure(parts).text).toContain('<figure class="chart">');
    expect(figure({ ...parts, small: true, mark: 3 }).text).toContain(
      '<figure class="chart small" data-mark="3">',
    );
  });
});

describe("legend", () => {
  test("legend([]) is an empty list", () => {
    expect(legend([]).text.trim()).toBe('<ul class="legend"></ul>');
  });

  test("legend(entries) draws a line for a line and a shape for a point, so that no entry rests on colour", () => {
    const { text } = legend([
      { look: "noise", text: "noise" },
      { look: "combination", text: "combination" },
      { look: "interference", text: "interference" },
    ]);
    const paths = [...text.matchAll(/<path class="[^"]*" d="([^"]*)"/g)].map(([, path]) => path);
    expect(new Set(paths).size).toBe(3);
    expect(text).toContain("</svg>noise</li>");
  });
});

describe("moreNumbers and section", () => {
  test("moreNumbers(summary, body) folds the body away without a script", () => {
    expect(moreNumbers("<s>", html`<p>b</p>`).text).toContain(
      "<summary>&lt;s&gt;</summary>\n<p>b</p></details>",
    );
  });

  test("section(id, heading, body) is named by its heading", () => {
    expect(section("beats", "Beats", html`<p>b</p>`).text).toContain(
      '<section id="beats" aria-labelledby="beats-heading">\n<h2 id="beats-heading">Beats</h2>',
    );
  });
});

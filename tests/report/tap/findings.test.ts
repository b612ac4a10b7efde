import { describe, expect, test } from "vitest";
import type { Evidence, Finding, FindingOutcome } from "../../../src/measurement/index.ts";
import { findingsList } from "../../../src/report/tap/findings.ts";
import { soundBell } from "../../support/sample-measurement.ts";
import { sampleRecording } from "../../support/sample-parts.ts";

const finding = (outcome: FindingOutcome, title: string, evidence: Evidence[] = []): Finding => {
  return { id: title, title, outcome, text: `text of ${title}`, evidence };
};
const list = (...findings: Finding[]) => findingsList(soundBell({ findings })).text;

describe("findingsList", () => {
  test("findingsList(m) without findings says so", () => {
    expect(list()).toContain("There are no findings.");
  });

  test("findingsList(m) puts attention first and names every outcome in words beside its sign", () => {
    const text = list(finding("note", "n"), finding("attention", "a"), finding("good", "g"));
    const words = [...text.matchAll(/class="outcome">([^<]+)</g)].map(([, word]) => word);
    expect(words).toEqual(["attention", "note", "good"]);
    const signs = [...text.matchAll(/class="sign"[^>]*><path d="([^"]+)"/g)].map(([, path]) => path);
    expect(new Set(signs).size).toBe(3);
  });

  test("findingsList(m) folds three good ones or more under their headings, behind the rest", () => {
    const good = ["one", "two", "three"].map((title) => finding("good", title));
    const text = list(...good, finding("note", "n"));
    expect(text).toContain("<summary>All well: one; two; three</summary>");
    expect(text.indexOf("finding note")).toBeLessThan(text.indexOf("All well"));
    expect(list(...good.slice(1))).not.toContain("All well");
  });

  test("findingsList(m) folds what could not be answered, and counts it", () => {
    const text = list(finding("not-measurable", "u"), finding("good", "g"));
    expect(text).toContain("<summary>1 question could not be answered from this recording</summary>");
    expect(text).toContain("<strong><bdi>u</bdi></strong>: <bdi>text of u</bdi>");
  });

  test("findingsList(m) shows a number with its interval, and one without as it is", () => {
    const text = list(
      finding("note", "n", [
        { kind: "number", label: "split", value: 0.42, ci95: 0.03, unit: "Hz" },
        { kind: "number", label: "strikes", value: 2, ci95: null, unit: "" },
      ]),
    );
    expect(text).toContain("<bdi>split</bdi>: 0.420\u00a0\u00b1\u00a00.030\u00a0Hz</li>");
    expect(text).toContain("<bdi>strikes</bdi>: 2</li>");
  });

  test("findingsList(m) leads from a chart to its part of the page and chooses the partial without a sound", () => {
    const text = list(
      finding("note", "n", [{ kind: "chart", label: "its beat", chart: "beats", partial: 1 }]),
    );
    expect(text).toContain(
      '<a href="#beats" data-choose-quietly="1"><bdi>its beat</bdi> (<bdi>prime</bdi>)</a>',
    );
  });

  test("findingsList(m) names the recording of a stretch of time only where there are several", () => {
    const stretch: Evidence = { kind: "time", label: "rattle", fromS: 0.5, toS: 1, recording: 1 };
    expect(list(finding("note", "n", [stretch]))).toContain("0.500 to 1.000\u00a0s</li>");
    const recordings = [sampleRecording({ file: "a.wav" }), sampleRecording({ file: "b.wav" })];
    const m = soundBell({ recordings, findings: [finding("note", "n", [stretch])] });
    expect(findingsList(m).text).toContain("0.500 to 1.000\u00a0s of <bdi>b.wav</bdi></li>");
  });

  test("findingsList(m) folds a table of evidence, numbers to the right, a gap as a dash", () => {
    const table: Evidence = {
      kind: "table",
      label: "Q",
      columns: ["partial", "Q"],
      rows: [
        ["hum", 5200],
        ["quint", null],
      ],
    };
    const text = list(finding("attention", "a", [table]));
    expect(text).toContain("<details");
    expect(text).toContain('<td class="number">5200</td>');
    expect(text).toContain('<td class="number">\u2013</td>');
  });
});

import { describe, expect, test } from "vitest";
import type { Doublet, Finding, FindingOutcome } from "../../../src/measurement/index.ts";
import {
  attentionLine,
  beatText,
  bellLabel,
  headline,
  judgedFindings,
  notFound,
  notMeasurable,
  partialLabel,
  unnamedNote,
} from "../../../src/report/tap/words.ts";
import {
  crackedBell,
  emptyMeasurement,
  noisyRecording,
  soundBell,
} from "../../support/sample-measurement.ts";
import { estimate, sampleRecording } from "../../support/sample-parts.ts";

const finding = (outcome: FindingOutcome, title: string, text = "because"): Finding => {
  return { id: title, title, outcome, text, evidence: [] };
};
const plain = (text: string) => text.replace(/\u00a0/g, " ").replace(/\u2212/g, "-");

describe("bellLabel", () => {
  test("bellLabel(m) falls back to the file, and to words for standard input", () => {
    const unnamed = { ...soundBell().options, label: "  " };
    expect(bellLabel(soundBell({ options: unnamed }))).toBe("invented-sample.wav");
    expect(bellLabel(soundBell({ options: unnamed, recording: sampleRecording({ file: "-" }) }))).toBe(
      "Bell from standard input",
    );
  });
});

describe("partialLabel", () => {
  test("partialLabel(m, i) numbers what has no name, as the tables do", () => {
    expect([partialLabel(soundBell(), 0), partialLabel(soundBell(), 5)]).toEqual(["hum", "partial 6"]);
  });
});

describe("notFound", () => {
  test("notFound(m) is what the profile expects and no partial is named for", () => {
    expect(notFound(soundBell({ expectedPartials: [] }))).toEqual([]);
    expect(notFound(soundBell())).toEqual([]);
    expect(notFound(crackedBell()).map(({ name }) => name)).toEqual(["quint"]);
    expect(notFound(emptyMeasurement())).toEqual(emptyMeasurement().expectedPartials);
  });
});

describe("judgedFindings and notMeasurable", () => {
  const findings = [
    finding("note", "n"),
    finding("not-measurable", "u1", "too short"),
    finding("good", "g"),
    finding("attention", "a"),
    finding("not-measurable", "u2", "too short"),
    finding("not-measurable", "u3", "too loud"),
  ];

  test("judgedFindings(findings) puts what asks for attention first and leaves out what was not judged", () => {
    expect(judgedFindings(findings).map(({ title }) => title)).toEqual(["a", "n", "g"]);
  });

  test("notMeasurable(findings) gathers those with one reason", () => {
    expect(notMeasurable(findings)).toEqual([
      { titles: ["u1", "u2"], reason: "too short" },
      { titles: ["u3"], reason: "too loud" },
    ]);
  });
});

describe("beatText", () => {
  const member = soundBell().partials[1]!.doublet!.members[0]!;
  const doublet = (value: number, ci95: number, members = 2): Doublet => ({
    members: Array.from({ length: members }, () => member),
    splitHz: estimate(value, ci95),
    beatDepthDb: 12.6,
  });

  test("beatText(doublet) gives no beat where the interval of the split reaches zero", () => {
    expect(plain(beatText(doublet(0.1, 0.1)))).toBe("2 members 0.10 ± 0.10 Hz apart");
  });

  test("beatText(doublet) of a slow beat gives its period, the relative interval being that of the split", () => {
    // 1/0.5 = 2 s; 0.02/0.5 = 4 % of it is 0.08 s.
    expect(plain(beatText(doublet(0.5, 0.02)))).toBe(
      "2 members 0.500 ± 0.020 Hz apart: one beat in 2.000 ± 0.080 s, about 13 dB deep",
    );
  });

  test("beatText(doublet) of a fast beat counts beats a second", () => {
    expect(plain(beatText(doublet(5, 0.1)))).toBe(
      "2 members 5.00 ± 0.10 Hz apart, as many beats a second, about 13 dB deep",
    );
  });

  test("beatText(cluster) gives the width only: three members beat in no single period", () => {
    expect(plain(beatText(doublet(5, 0.1, 3)))).toBe("3 members over 5.00 ± 0.10 Hz, beats about 13 dB deep");
  });
});

describe("headline", () => {
  test("headline(m) of what does not sound like one bell gives no note and no tuning", () => {
    const finding = { id: "second-bell", title: "x", outcome: "attention" as const, text: "", evidence: [] };
    expect(headline(soundBell({ findings: [finding] }), "This", true)).toBe(
      "This sounds like more than one bell: 8 partials are listed, but a mixture has no note and no tuning",
    );
  });

  test("unnamedNote(m) of a mixture asks for no profile and no pin", () => {
    const finding = { id: "second-bell", title: "x", outcome: "attention" as const, text: "", evidence: [] };
    expect(unnamedNote(soundBell({ findings: [finding] }))).toBe(
      "No partial is named: more than one bell seems to sound.",
    );
    expect(unnamedNote(soundBell({ findings: [] }))).toContain("--pin nominal=HERTZ");
  });

  test("headline(m) of nothing measured gives the reason", () => {
    expect(headline(emptyMeasurement({ findings: [] }), "This bell", true)).toBe(
      "This bell gave no partial that could be measured: no line stands above the noise",
    );
  });

  test("headline(m) of no free decay claims neither note nor ring time", () => {
    expect(plain(headline(noisyRecording({ findings: [] }), "This bell", true))).toBe(
      "This bell does not ring as a sum of free decays; 2 visible peaks with wide intervals are listed",
    );
  });

  test("headline(m) gives note, ring time, partials and the range of deviations, each with its interval", () => {
    expect(plain(headline(soundBell({ findings: [] }), "This bell", true))).toBe(
      "This bell sounds C5 -0.20 ± 0.20 cents (523.200 ± 0.060 Hz), falls by 60 dB in 8.10 ± 0.30 s as a whole and " +
        "shows 8 partials (7 named, 2 split in two or more); those that are tuned one by one lie from " +
        "-18.86 ± 0.10 cents to +9.05 ± 0.10 cents against their ideals",
    );
  });

  test("headline(m) says the kind that the tool found itself, and no other", () => {
    const kind = { title: "Tubular bell", probability: 0.97, strikeHalfOf: "mode 4", tried: [] };
    const of = (chosenBy: "user" | "recognised" | "default", profile: string) => {
      const bell = soundBell({ findings: [] });
      return headline(
        { ...bell, options: { ...bell.options, profile }, kind: { ...kind, chosenBy } },
        "This",
        true,
      );
    };
    expect(of("recognised", "tubular")).toMatch(
      /^This has the modes of a tubular bell, whose strike note is half of mode 4, sounds C5 /,
    );
    for (const said of [
      of("user", "tubular"),
      of("recognised", "minor-third"),
      of("default", "minor-third"),
    ]) {
      expect(said).toMatch(/^This sounds C5 /);
    }
  });

  test("headline(m) says that no strike note could be told", () => {
    expect(headline(crackedBell(), "This bell", true)).toContain("has no strike note that could be told");
  });
});

describe("attentionLine", () => {
  test("attentionLine(findings) names three that ask for attention and counts the rest", () => {
    const five = ["a", "b", "c", "d", "e"].map((title) => finding("attention", title));
    expect(attentionLine([finding("good", "g"), ...five])).toBe("For attention: a; b; c; and 2 more.");
    expect(attentionLine([finding("note", "n"), five[0]!])).toBe("For attention: a.");
    expect(attentionLine([finding("note", "n")])).toBeNull();
  });
});

import { describe, expect, test } from "vitest";
import type { TapMeasurement } from "../../src/measurement/index.ts";
import { crackedBell, noisyRecording, SOUND_SPECS, soundBell } from "../support/sample-measurement.ts";
import { type PartialSpec, sampleMeasurement, sampleStrike } from "../support/sample-parts.ts";
import { columnOf, findingOf } from "./support.ts";

const soundness = (m: TapMeasurement) => findingOf("soundness", m);
const bell = (change: (s: PartialSpec) => PartialSpec) => sampleMeasurement(SOUND_SPECS.map(change));

/** 1 / loss factor = pi f T60 / ln 1000 (Cremer & Heckl). */
const lossFactor = (frequencyHz: number, t60S: number) => Math.log(1000) / (Math.PI * frequencyHz * t60S);

describe("soundness", () => {
  test("soundness is not measurable where the ring-down is no free decay, and still shows its table", () => {
    const finding = soundness(noisyRecording());
    expect(finding.outcome).toBe("not-measurable");
    expect(finding.text).toContain("not a sum of free decays");
    expect(columnOf(finding, "partial")).toEqual(["unnamed", "unnamed"]);
  });

  test("soundness gives no verdict on four partials, and says what to do", () => {
    const finding = soundness(sampleMeasurement(SOUND_SPECS.slice(0, 4)));
    expect(finding.outcome).toBe("not-measurable");
    expect(finding.text).toMatch(
      /decay of 4 partials .* at least 5 are needed.*record in a quieter place\.$/,
    );
  });

  test("soundness gives no verdict on decays whose intervals are as wide as they are", () => {
    const finding = soundness(bell((s) => ({ ...s, relativeCi95: 1 })));
    expect(finding.outcome).toBe("not-measurable");
    expect(columnOf(finding, "remark")).toEqual(SOUND_SPECS.map(() => "decay too uncertain to judge"));
  });

  test("soundness of a sound bell finds nothing, and says what it cannot hear", () => {
    const finding = soundness(soundBell());
    expect(finding.outcome).toBe("good");
    expect(finding.text).toMatch(/each of 8 partials rings within/i);
    expect(finding.text).toContain("A flaw that changes neither ring nor split is not heard");
    expect(columnOf(finding, "remark")).toEqual(SOUND_SPECS.map(() => ""));
  });

  test("soundness of a fine church bell is not suspect, uneven as its decay times are", () => {
    // D5 English church bell: frequencies and 60 dB times as Rossing published them, from memory; order of magnitude.
    const times: [number, number][] = [
      ...([
        [293, 52],
        [586, 16],
        [693, 16],
        [882, 6],
        [1172, 3],
        [1465, 1.4],
      ] as [number, number][]),
      ...([
        [1560, 3.6],
        [1764, 5],
        [2441, 4.2],
        [3183, 3],
        [3982, 2],
        [4813, 1],
      ] as [number, number][]),
    ];
    const specs = times.map(([frequencyHz, t60]) => ({
      frequencyHz,
      lossFactor: lossFactor(frequencyHz, t60),
      levelDb: 0,
    }));
    expect(soundness(sampleMeasurement(specs)).outcome).toBe("good");
  });

  test.each([
    // Modal frequencies of a small handbell: Csound manual, appendix Modal Frequency Ratios (J. Bower, S. Lindroth).
    [
      "small handbell",
      [
        ...[1312.0, 1314.5, 2353.3, 2362.9, 3306.5, 3309.4, 3923.8, 3928.2, 4966.6, 4993.7],
        ...[5994.4, 6003.0, 6598.9, 6619.7, 8413.1, 8453.3, 9292.4, 9305.2],
      ],
    ],
    // Albert Clock bell, Belfast, to its nominal: public Csound tables by I. McCurdy, 2011.
    [
      "Albert Clock bell",
      [
        ...[0.612, 0.615, 0.8017, 0.8097, 1.0, 1.0028, 1.4771, 1.4829, 2.0433, 2.0439, 2.6594, 2.6613],
        ...[3.3288, 3.331, 4.0238, 4.0325, 4.7618, 4.7756],
      ].map((ratio) => 500 * ratio),
    ],
  ])("soundness of the doublets of the %s is not suspect", (_, frequencies) => {
    const specs: PartialSpec[] = [];
    for (let i = 0; i < frequencies.length; i += 2) {
      const [low, high] = [frequencies[i]!, frequencies[i + 1]!];
      specs.push({ frequencyHz: (low + high) / 2, lossFactor: 3e-4, levelDb: 0, splitHz: high - low });
    }
    expect(soundness(sampleMeasurement(specs)).outcome).toBe("good");
  });

  test("soundness of a cracked bell is suspect, with Q, split, other causes and the next step", () => {
    const finding = soundness(crackedBell());
    expect(finding.outcome).toBe("attention");
    expect(finding.title).toBe("Suspect: partials that ring too short and a split far beyond the rest");
    expect(finding.text).toMatch(
      /^The tierce rings less than a tenth as long as the bell's other partials lead one to expect \(Q 323 \u00b1 19 instead of 3\d00 \u00b1 \d+\)\. /,
    );
    expect(finding.text).toMatch(
      / The nominal is split far wider than the others \(by 1\.39\d* \u00b1 0\.\d+ % of its frequency\)\. /,
    );
    expect(finding.text).toContain("so can a hand, a cord or a bench");
    expect(finding.text).toContain("Hang the bell freely, strike it at three places 25° apart");
    const names = columnOf(finding, "partial");
    const remarks = columnOf(finding, "remark");
    expect(remarks[names.indexOf("tierce")]).toBe("rings too short");
    expect(remarks[names.indexOf("nominal")]).toBe("split far beyond the rest");
  });

  test("soundness of a partial with four times the loss of the trend is good, with ten times it is suspect", () => {
    // The limit is five (thresholds.json); the trend moves by a few percent with the partial itself.
    const damped = (times: number) =>
      bell((s) => (s.name === "tierce" ? { ...s, lossFactor: s.lossFactor * times } : s));
    expect(soundness(damped(4)).outcome).toBe("good");
    expect(soundness(damped(10)).outcome).toBe("attention");
  });

  test("soundness of several damped partials names each with its fraction in words, the numbers after", () => {
    const times: Record<string, number> = { tierce: 8, quint: 30 };
    const finding = soundness(bell((s) => ({ ...s, lossFactor: s.lossFactor * (times[s.name ?? ""] ?? 1) })));
    // Eight and thirty times the loss; the trend moves by some percent with the damped ones.
    expect(finding.text).toMatch(
      /^2 partials ring far shorter than the bell's others lead one to expect: the tierce about an? (seventh|eighth|ninth) as long \(Q .* instead of .*\) and the quint less than a tenth as long \(Q .* instead of .*\)\. /,
    );
  });

  test("soundness of a bell with uneven decays gives a range for what is expected, and holds the fraction against its lower end", () => {
    const uneven = bell((s) => {
      const up = SOUND_SPECS.findIndex(({ frequencyHz }) => frequencyHz === s.frequencyHz) % 2 === 0;
      return { ...s, lossFactor: s.lossFactor * (s.name === "tierce" ? 60 : up ? 1.3 : 1 / 1.3) };
    });
    const finding = soundness(uneven);
    expect(finding.text).toMatch(
      /^The tierce rings (at most about an? \w+|less than a tenth) as long as the bell's other partials lead one to expect \(Q .* \u00b1 .* instead of \d+ to \d+\)\. /,
    );
    const trend = columnOf(finding, "Q by the bell's trend");
    expect(trend.every((cell) => /^\d+ to \d+$/.test(String(cell)))).toBe(true);
  });

  test("soundness is not outvoted by damped partials that are split so far that each counts as two", () => {
    // Three of eight are damped; with their twins two per cent higher they are six of eleven.
    const split = SOUND_SPECS.flatMap((s, i) => {
      if (i % 3 !== 1) return [s];
      const bad = { ...s, lossFactor: s.lossFactor * 15 };
      return [bad, { ...bad, name: null, frequencyHz: 1.02 * s.frequencyHz }];
    });
    const finding = soundness(sampleMeasurement(split));
    expect(finding.outcome).toBe("attention");
    expect(finding.title).toContain("partials that ring too short");
  });

  test("soundness does not take a wide interval for a short ring", () => {
    // Ten times the loss, known to half of itself: ten less five reaches the limit of five times the trend.
    const wide = bell((s) =>
      s.name === "tierce" ? { ...s, lossFactor: s.lossFactor * 10, relativeCi95: 0.5 } : s,
    );
    expect(soundness(wide).outcome).toBe("good");
  });

  test("soundness of a bell that is damped all over is suspect, though no partial stands out", () => {
    const finding = soundness(bell((s) => ({ ...s, lossFactor: s.lossFactor * 20 })));
    expect(finding.outcome).toBe("attention");
    expect(finding.title).toBe("Suspect: damped all over");
    expect(finding.text).toMatch(
      /^The whole bell dies away too fast \(the median loss factor of 8 partials is .* \u00b1 .*, where sound bells stay below 0\.002\)\. /,
    );
  });

  test("soundness does not take a wide interval for a wide split", () => {
    // 14.6 Hz of 1046.8 Hz are 1.39 %, the limit 1 %: a half-width of 4.5 Hz reaches below it, one of 4 Hz does not.
    const outcome = (ci95: number) => {
      const m = bell((s) => (s.name === "nominal" ? { ...s, splitHz: 14.6 } : s));
      for (const { doublet } of m.partials) if (doublet?.splitHz.value === 14.6) doublet.splitHz.ci95 = ci95;
      return soundness(m).outcome;
    };
    expect([4, 4.5].map(outcome)).toEqual(["attention", "good"]);
  });

  test("soundness does not hold a split against the casting that the pattern's ridges can make", () => {
    const split = (ridges: number | null) => {
      const m = bell((s) => (s.name === "nominal" ? { ...s, splitHz: 14.6 } : s));
      return soundness({ ...m, options: { ...m.options, ridges } }).outcome;
    };
    // The nominal has m = 4: 2m = 8 is a multiple of 4 and 8, not of 3 or 16 (Perrin & Charnley).
    expect([null, 3, 4, 8, 16].map(split)).toEqual(["attention", "attention", "good", "good", "attention"]);
  });

  test("soundness of a bell with dozens of partials is no suspect for a single damped one, but no green light either", () => {
    const rich = (damped: number[]) =>
      Array.from({ length: 30 }, (_, i) => ({
        frequencyHz: 300 * 1.1 ** i,
        lossFactor: 3e-4 * (damped.includes(i) ? 15 : 1),
        levelDb: -0.5 * i,
      }));
    const one = soundness(sampleMeasurement(rich([8])));
    expect(one.outcome).toBe("note");
    expect(one.text).toContain("dies far sooner than the rest, as a few do in a sound bell too");
    expect(columnOf(one, "remark")[8]).toBe("rings too short");
    // As a crack does: one partial in six.
    expect(soundness(sampleMeasurement(rich([3, 8, 13, 18, 23]))).outcome).toBe("attention");
  });

  test("soundness does not take two lines of a bell that has many there for a split", () => {
    const bellOf = (step: number, count: number) =>
      sampleMeasurement(
        Array.from({ length: count }, (_, i) => ({
          frequencyHz: 400 * step ** i,
          lossFactor: 3e-4,
          levelDb: 0,
          ...(i === count >> 1 ? { splitHz: 0.011 * 400 * step ** i } : {}),
        })),
      );
    // 12 lines within half an octave either way are 12 x 2 x 1.1 % / ln 2 = 0.4 by chance; two are 0.06.
    expect(soundness(bellOf(1.055, 40)).outcome).toBe("good");
    expect(soundness(bellOf(1.35, 9)).outcome).toBe("attention");
  });

  describe("with a partial of the profile missing", () => {
    const without = (name: string, over: Partial<TapMeasurement> = {}) =>
      soundness(
        sampleMeasurement(
          SOUND_SPECS.filter((s) => s.name !== name),
          over,
        ),
      );

    test("soundness names it, as a note with the likelier causes first", () => {
      const finding = without("tierce");
      expect(finding.outcome).toBe("note");
      expect(finding.text).toMatch(
        /^The tierce is not heard where the partials beside lead one to expect it\./,
      );
      expect(finding.text).toContain("strike at another place");
    });

    test("soundness does not miss a partial that careful recordings often lack, nor one at the end of the row", () => {
      expect(without("quint").outcome).toBe("good");
      expect(without("hum").outcome).toBe("good");
      expect(without("octave nominal").outcome).toBe("good");
    });

    test("soundness does not miss what noise may hide", () => {
      expect(without("tierce", { strikes: [sampleStrike({ snrDb: 40 })] }).outcome).toBe("good");
    });

    test("soundness does not miss a partial while an unnamed or doubtful one lies near its place", () => {
      const open = (nameConfidence: number) =>
        soundness(bell((s) => (s.name === "tierce" ? { ...s, frequencyHz: 680, nameConfidence } : s)))
          .outcome;
      expect([open(0.3), open(0.95)]).toEqual(["good", "good"]);
    });
  });
});

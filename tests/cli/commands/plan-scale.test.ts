import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { soundBell } from "../../support/sample-measurement.ts";
import { temporaryFolder } from "../harness.ts";
import { planned, refused, withBells } from "./plan-support.ts";

describe("plan scale", () => {
  it("plan scale refuses what cannot be meant, in one sentence", async () => {
    const cwd = withBells();
    await refused(["scale", "bell.json"], /either --note, for example --note C6, or --hz/, cwd);
    await refused(["scale", "bell.json", "--note", "C6", "--hz", "1000"], /either --note/, cwd);
    await refused(["scale", "bell.json", "--note", "H6"], /--note: "H6" is not a note/, cwd);
    await refused(["scale", "bell.json", "--hz", "0"], /--hz takes hertz between/, cwd);
    await refused(["scale", "missing.json", "--note", "C6"], /missing.json: there is no such file/, cwd);
    await refused(
      ["scale", "empty.json", "--note", "C6"],
      /empty.json: the measurement has no strike note/,
      cwd,
    );
    await refused(
      ["scale", "bell.json", "--note", "C6", "--partial", "twelfth"],
      /no partial called twelfth; .*nominal/,
      cwd,
    );
    await refused(["scale", "bell.json", "--note", "C6", "--to-alloy", "Cu80Sn20"], /needs both/, cwd);
    await refused(
      ["scale", "bell.json", "--note", "C6", "--from-alloy", "Cu90", "--to-alloy", "Cu80Sn20"],
      /--from-alloy: "Cu90" adds up to 90/,
      cwd,
    );
    await refused(
      ["scale", "bell.json", "--note", "C6", "--diameter", "180"],
      /--diameter: "180" is not a length/,
      cwd,
    );
    await refused(
      ["scale", "bell.json", "--note", "C6", "--measured-at", "5C"],
      /--played-at is needed/,
      cwd,
    );
    await refused(
      ["scale", "bell.json", "--note", "C6", "--units", "imperial"],
      /--units takes metric or us/,
      cwd,
    );
    await refused(
      ["scale", "bell.json", "--note", "C6", "--json", "bell.json", "--force"],
      /would replace an input/,
      cwd,
    );
  });

  it("plan scale refuses a damaged measurement by its field", async () => {
    const cwd = temporaryFolder();
    writeFileSync(join(cwd, "bell.json"), JSON.stringify({ ...soundBell(), partials: 3 }));
    await refused(["scale", "bell.json", "--note", "C6"], /bell.json: .*partials/, cwd);
    writeFileSync(join(cwd, "cut.json"), JSON.stringify(soundBell()).slice(0, 999));
    await refused(["scale", "cut.json", "--note", "C6"], /cut.json: /, cwd);
  });

  it("plan scale takes a note or hertz, from a saved measurement or a recording", async () => {
    const cwd = withBells();
    const note = await planned(["scale", "bell.json", "--note", "C6"], cwd);
    // Strike note 523.2 Hz to C6 = 1046.50 Hz (equal temperament, A4 = 440 Hz).
    expect(note.scale!.factor.value).toBeCloseTo(523.2 / 1046.502, 5);
    const hertz = await planned(["scale", "bell.wav", "--hz", "1046.5"], cwd);
    expect(hertz.scale!.factor.value).toBeCloseTo(523.2 / 1046.5, 12);
    expect(hertz.scale!.from.label).toBe("bell");
    const other = await planned(["scale", "bell.json", "--note", "C6", "--a4", "432"], cwd);
    expect(other.scale!.targetHz).toBeCloseTo((1046.502 * 432) / 440, 2);
  });

  it("plan scale carries alloys, sizes and temperatures in either system of units", async () => {
    const { scale } = await planned(
      ["scale", "bell.json", "--hz", "523.2", "--from-alloy", "Cu90Sn10", "--to-alloy", "Cu80Sn20"].concat([
        "--diameter",
        "10.0in",
        "--mass",
        "20.0lb",
        "--measured-at",
        "41F",
        "--played-at",
        "20C",
        "--contraction",
        "3/16in/ft",
      ]),
      withBells(),
    );
    expect(scale!.alloy!.frequencyRatio.ci95 / scale!.alloy!.frequencyRatio.value).toBeGreaterThanOrEqual(
      0.05,
    );
    expect(scale!.lengths[0]!.hadM).toEqual({
      value: expect.closeTo(0.254, 12),
      ci95: expect.closeTo(0.00127, 12),
    });
    expect(scale!.temperature).toMatchObject({ measuredC: expect.closeTo(5, 12), playedC: 20 });
    expect(scale!.contraction.percent.value).toBeCloseTo(1.5625, 9);
    expect(scale!.contraction.source).toBe("given with --contraction");
  });

  it("plan scale fits the exponent of a family, by diameter or by mass", async () => {
    const cwd = withBells();
    const small = soundBell();
    small.strikeNote!.frequencyHz.value *= 2;
    writeFileSync(join(cwd, "small.json"), JSON.stringify(small));
    const byDiameter = await planned(
      ["scale", "bell.json", "--note", "G5", "--diameter", "300.0mm", "--family", "small.json:150.0mm"],
      cwd,
    );
    expect(byDiameter.scale!.exponent.value).toBeCloseTo(1, 12);
    expect(byDiameter.scale!.family).toEqual({ bells: 2, scatterRelative: null });
    const byMass = await planned(
      ["scale", "bell.json", "--note", "G5", "--mass", "16.0kg", "--family", "small.json:2.0kg"],
      cwd,
    );
    expect(byMass.scale!.exponent.value).toBeCloseTo(1, 12);
    await refused(
      ["scale", "bell.json", "--note", "G5", "--family", "small.json:150mm"],
      /give it with --diameter/,
      cwd,
    );
    await refused(
      ["scale", "bell.json", "--note", "G5", "--family", "small.json"],
      /--family takes a file and its bell's size/,
      cwd,
    );
    await refused(
      ["scale", "bell.json", "--note", "G5", "--diameter", "3mm", "--family", "small.json:3mm"],
      /two or more measured bells/,
      cwd,
    );
  });

  it("plan scale changes the wall alone when asked", async () => {
    const { scale } = await planned(
      ["scale", "bell.json", "--hz", "560", "--wall-only", "--wall", "20mm"],
      withBells(),
    );
    expect(scale!.law).toBe("wall");
    expect(scale!.wallFactor!.value).toBeGreaterThan(1);
  });
});

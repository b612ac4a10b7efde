import { describe, expect, it } from "vitest";
import { referenceHz, STRIKE_NOTE } from "../../src/foundry/reference.ts";
import { soundBell } from "../support/sample-measurement.ts";

describe("referenceHz", () => {
  it("referenceHz(a partial that is not there) lists those that have a name, each once", () => {
    const bell = soundBell();
    const some = bell.partials.filter(({ name }) => name === null || name === "hum");
    expect(some.length).toBeGreaterThan(1);
    const measurement = { ...bell, partials: [...some, ...some], strikeNote: null };
    expect(() => referenceHz(measurement, "prime")).toThrow(
      /^the measurement has no partial called prime; go by one of its partials: hum$/,
    );
    expect(() => referenceHz(measurement, STRIKE_NOTE)).toThrow(/^the measurement has no strike note; go by/);
  });

  it("referenceHz(of a mixture of two bells) gives no strike note", () => {
    const finding = { id: "second-bell", title: "x", outcome: "attention" as const, text: "", evidence: [] };
    const mixture = soundBell({ findings: [finding] });
    expect(() => referenceHz(mixture, STRIKE_NOTE)).toThrow(/^two bells seem to sound in the measurement/);
    expect(referenceHz(mixture, "hum")).toEqual(mixture.partials.find((p) => p.name === "hum")!.frequencyHz);
    const one = soundBell({ findings: [{ ...finding, outcome: "good" }] });
    expect(referenceHz(one, STRIKE_NOTE)).toEqual(one.strikeNote!.frequencyHz);
  });
});

import fc from "fast-check";
import {
  namePartials,
  parseProfile,
  profileById,
  profileIds,
  strikeNoteOf,
} from "../../../src/bell/index.ts";
import { plainLine } from "../../../src/cli/io.ts";
import { soundBell } from "../../support/sample-measurement.ts";
import { changeJson, jsonChanges } from "../json-mutations.ts";
import { expectFiniteData, expectRefusal, expectSentence } from "../outcome.ts";
import type { Target } from "../target.ts";

const { partials: MEASURED } = soundBell();
const TO_NAME = MEASURED.map(({ frequencyHz, decayTimeS, levelDb }) => ({
  frequencyHz,
  decayTimeS: decayTimeS.value,
  levelDb: levelDb.value,
}));

/** A profile as its file has it: what a user's own is copied from. */
const PROFILES = profileIds().map((id) => ({ ...profileById(id) }));

export const PROFILE_TARGET: Target<{ profile: unknown; pins: Record<string, number> }> = {
  name: "profile",
  what: "profiles of ideal ratios, and naming a bell by those that are taken",
  share: 40,
  limits: { cpuMs: 1000, cpuMsPerMegabyte: 20_000, memoryBytes: 96 * 2 ** 20, memoryPerByte: 100 },
  cases: fc
    .record({
      of: fc.nat(PROFILES.length - 1),
      changes: jsonChanges,
      pins: fc.dictionary(
        fc.constantFrom("nominal", "hum", "x", "__proto__"),
        fc.constantFrom(1, 523, 1046.8, 1e5),
        {
          maxKeys: 2,
        },
      ),
    })
    .map(({ of, changes, pins }) => ({ profile: changeJson(PROFILES[of], changes), pins })),
  async check({ profile: json, pins }) {
    const weightBytes = (JSON.stringify(json) ?? "").length;
    let profile: ReturnType<typeof parseProfile>;
    try {
      profile = parseProfile(json);
    } catch (error) {
      expectRefusal(error, ["RangeError"]);
      return { outcome: "refused", weightBytes };
    }
    const named = namePartials(TO_NAME, profile, pins);
    const note = strikeNoteOf(MEASURED, 440, profile);
    // As it is saved: what JSON does not know would be lost to null there.
    expectFiniteData(named, "naming");
    expectFiniteData(note, "strikeNote");
    // A name in them may be as long as a file has it; the command line cuts it.
    for (const warning of named.warnings) expectSentence(plainLine(warning));
    return { outcome: "accepted", weightBytes };
  },
};

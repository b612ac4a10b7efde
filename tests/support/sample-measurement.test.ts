import { describe, expect, test } from "vitest";
import { crackedBell, emptyMeasurement, noisyRecording, soundBell } from "./sample-measurement.ts";

const SAMPLES = { soundBell, crackedBell, noisyRecording, emptyMeasurement };

describe("samples", () => {
  test.each(Object.entries(SAMPLES))(
    "%s holds only plain data that JSON carries, and says it is invented",
    (_, build) => {
      const sample = build();
      expect(JSON.parse(JSON.stringify(sample))).toEqual(sample);
      expect(sample.options.label).toMatch(/^(Invented .*)?$/);
    },
  );
});

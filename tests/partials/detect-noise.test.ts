import { describe, expect, it } from "vitest";
import { detect } from "../../src/partials/detect.ts";
import { detectionSearch } from "./detections.ts";

describe("detect, of noise", () => {
  it.each([
    [1, 100],
    [2, 40],
  ])(
    "detect(noise alone, %d channels) finds something in a few recordings of a hundred at the most",
    (channels, recordings) => {
      let found = 0;
      for (let seed = 0; seed < recordings; seed++) {
        if (detect(detectionSearch(seed, channels, []), 0).length > 0) found++;
      }
      // One in a hundred by the threshold; the noise is itself measured, to some 5 % at its 20 least sure centres, which raises a tail of
      // exp(-15) by e^(0.75): two or three in a hundred, and three standard deviations of that.
      expect(found).toBeLessThanOrEqual(0.03 * recordings + 3 * Math.sqrt(0.03 * recordings));
    },
  );
});

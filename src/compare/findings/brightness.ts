import { readable } from "../../measurement/index.ts";
import { ratioText } from "../words.ts";
import { type CompareRule, notMeasurable } from "./rule.ts";

/** Where the sound's weight lies, one against the other. */
export const brightness: CompareRule = {
  id: "brightness",
  subject: "Brightness",
  assess({ a, b, whole: { brightnessRatio, relativeBrightnessRatio } }) {
    if (brightnessRatio === null) return notMeasurable("Brightness", "It was not measured in both.");
    const relative =
      relativeBrightnessRatio === null
        ? ""
        : ` Each taken over its own pitch: ${ratioText(relativeBrightnessRatio)}.`;
    return {
      outcome: "note",
      title: "Brightness of the strikes measured",
      text: `In the strike that each measurement took its levels from, the A-weighted centroid of ${b.letter} is ${ratioText(brightnessRatio)} times that of ${a.letter}.${relative} A harder or faster rod and another place on the rim change it as much as a casting does: strike both alike.`,
      evidence: [
        {
          kind: "number",
          label: `centroid, ${b.letter} over ${a.letter}`,
          ...readable(brightnessRatio, "times"),
          unit: "",
        },
        ...(relativeBrightnessRatio === null
          ? []
          : [
              {
                kind: "number" as const,
                label: `relative centroid, ${b.letter} over ${a.letter}`,
                ...readable(relativeBrightnessRatio, "times"),
                unit: "",
              },
            ]),
      ],
      clause: null,
    };
  },
};

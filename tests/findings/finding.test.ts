import { describe, expect, test } from "vitest";
import { defineFinding, type Input } from "../../src/findings/finding.ts";
import { emptyMeasurement, soundBell } from "../support/sample-measurement.ts";

const nothingToSay = { outcome: "note", title: "Invented", text: "Invented.", evidence: [] } as const;

describe("defineFinding", () => {
  test.each([
    ["partials", [], "no partial of the bell was found"],
    ["strikeNote", null, "the partials do not settle on a strike note"],
    ["rimLaw", undefined, "too few rim partials were named to place them in a row"],
  ] as [Input, unknown, string][])(
    "find with %s %j is not measurable, with the reason",
    (name, value, reason) => {
      const rule = defineFinding({
        id: "invented",
        subject: "An invented subject",
        needs: ["fit", name],
        uses: [],
        assess: () => {
          throw new Error("must not be reached");
        },
      });
      expect(rule.find({ ...soundBell(), [name]: value })).toEqual({
        id: "invented",
        title: "An invented subject",
        outcome: "not-measurable",
        text: `Cannot be judged: ${reason}.`,
        evidence: [],
      });
    },
  );

  test("find hands over what was declared and nothing else", () => {
    let handed: string[] = [];
    const rule = defineFinding({
      id: "invented",
      subject: "",
      needs: ["partials", "fit"],
      uses: ["interference"],
      assess: (picked) => {
        handed = Object.keys(picked);
        return { ...nothingToSay, evidence: [] };
      },
    });
    rule.find(soundBell());
    expect(handed.sort()).toEqual(["fit", "interference", "partials"]);
  });

  test("find runs where only what it looks at besides is empty", () => {
    const rule = defineFinding({
      id: "invented",
      subject: "",
      needs: ["fit"],
      uses: ["partials", "strikeNote"],
      assess: ({ partials, strikeNote }) => ({
        ...nothingToSay,
        text: `${partials.length} ${strikeNote}`,
        evidence: [],
      }),
    });
    expect(rule.find(emptyMeasurement()).text).toBe("0 null");
  });

  test.each([new Error("boom"), "boom"])("find turns a throw of %s into a plain reason", (thrown) => {
    const rule = defineFinding({
      id: "invented",
      subject: "An invented subject",
      needs: ["fit"],
      uses: [],
      assess: () => {
        throw thrown;
      },
    });
    const { outcome, title, text } = rule.find(soundBell());
    expect([outcome, title]).toEqual(["not-measurable", "An invented subject"]);
    expect(text).toMatch(/^Cannot be judged: this check failed \(boom\); the other findings stand\./);
  });
});

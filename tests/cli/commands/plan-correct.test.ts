import { describe, expect, it } from "vitest";
import { temporaryFolder } from "../harness.ts";
import { planned, refused } from "./plan-support.ts";

describe("plan correct", () => {
  it("plan correct refuses what cannot be meant", async () => {
    await refused(["correct", "--want", "Cu80Sn20"], /--have is needed, for example --have 10kg:Cu90Sn10/);
    await refused(["correct", "--have", "10kg:Cu90Sn10"], /--want is needed/);
    await refused(
      ["correct", "--have", "10kg", "--want", "Cu80Sn20"],
      /--have takes a mass and a composition/,
    );
    await refused(
      ["correct", "--have", "Cu90Sn10:10kg", "--want", "Cu80Sn20"],
      /--have: "Cu90Sn10" is not a mass/,
    );
  });

  it("plan correct of 1 kg Cu90Sn10 to Cu80Sn20 is 0.125 kg tin", async () => {
    const { correct } = await planned(["correct", "--have", "1kg:Cu90Sn10", "--want", "Cu80Sn20"]);
    expect(correct!.add).toEqual([{ element: "Sn", name: "tin", massKg: expect.closeTo(0.125, 14) }]);
    expect(correct!.totalKg).toBeCloseTo(1.125, 14);
  });

  it("plan correct checks the crucible: it fits at 15 kg, not at 11 kg, which exits 1", async () => {
    const argv = ["correct", "--have", "10kg:Cu90Sn10", "--want", "Cu80Sn20", "--crucible"];
    expect((await planned([...argv, "15kg"])).correct!.crucible!.fits).toBe(true);
    const { correct } = await planned([...argv, "11kg"], temporaryFolder(), 1);
    expect(correct!.crucible!.fits).toBe(false);
    expect(correct!.add[0]!.massKg).toBeCloseTo(1.25, 12);
  });

  it("plan correct explains what adding cannot mend, and exits 1", async () => {
    const { correct } = await planned(
      ["correct", "--have", "10kg:Cu88Sn10Zn2", "--want", "Cu80Sn20"],
      temporaryFolder(),
      1,
    );
    expect(correct!.cannot[0]).toMatch(/takes no zinc out/);
    const allowed = await planned([
      "correct",
      "--have",
      "10kg:Cu88Sn10Zn2",
      "--want",
      "Cu80Sn20",
      "--allow",
      "Zn=2%",
    ]);
    expect(allowed.correct!.cannot).toEqual([]);
  });
});

import { describe, expect, it } from "vitest";
import { ringwright } from "../harness.ts";
import { planned, refused, withBells } from "./plan-support.ts";

describe("plan review", () => {
  it("plan review sets a casting against the plan that was saved", async () => {
    const cwd = withBells();
    const saved = await ringwright(
      ["plan", "scale", "bell.json", "--hz", "523.2", "--mass", "20.00kg", "--json", "plan.json"],
      { cwd },
    );
    expect(saved.status).toBe(0);
    const { review } = await planned(["review", "plan.json", "bell.json", "--mass", "20.00kg"], cwd);
    expect(review).toMatchObject({
      pitchAsPlanned: true,
      massKg: { ratio: { value: expect.closeTo(1, 9) } },
    });
    const { stdout } = await ringwright(["plan", "review", "plan.json", "bell.json"], { cwd });
    expect(stdout).toMatch(/The casting sounds as planned/);
  });

  it("plan review refuses what is no plan, and what shares nothing with it", async () => {
    const cwd = withBells();
    await refused(
      ["review", "bell.json", "bell.json"],
      /bell.json: the plan is no ringwright.plan\/1 file/,
      cwd,
    );
    await ringwright(["plan", "charge", "--mass", "1kg", "--alloy", "Cu80Sn20", "--json", "charge.json"], {
      cwd,
    });
    await refused(["review", "charge.json", "bell.json"], /charge.json: the plan holds no scale/, cwd);
    await ringwright(["plan", "scale", "bell.json", "--note", "C6", "--json", "plan.json"], { cwd });
    await refused(
      ["review", "plan.json", "empty.json"],
      /empty.json: the plan and the measurement have no partial in common/,
      cwd,
    );
  });
});

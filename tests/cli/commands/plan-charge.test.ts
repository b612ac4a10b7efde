import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import type { PlanDocument } from "../../../src/foundry/index.ts";
import {
  asciiStl,
  binaryStl,
  frustumProfile,
  revolve,
  revolvedVolume,
  turnedOver,
} from "../../foundry/solids.ts";
import { ringwright, temporaryFolder } from "../harness.ts";
import { planned, refused } from "./plan-support.ts";

describe("plan charge", () => {
  it("plan charge refuses what cannot be meant, in one sentence", async () => {
    await refused(["charge", "--mass", "12kg"], /--alloy is needed, for example --alloy Cu80Sn20/);
    await refused(["charge", "--alloy", "Cu78Sn22"], /one of --mass, --volume or --stl/);
    await refused(["charge", "--alloy", "Cu78Sn22", "--mass", "12kg", "--volume", "1l"], /one of --mass/);
    await refused(["charge", "--alloy", "Cu78Sn22", "--mass", "12"], /--mass: "12" is not a mass/);
    await refused(["charge", "--alloy", "Cu78Sn22", "--mass", "0kg"], /more than 0 kg/);
    await refused(
      ["charge", "--alloy", "Cu78Sn22", "--mass", "12kg", "--loss", "Sn"],
      /--loss takes an element and a percentage/,
    );
    await refused(
      ["charge", "--alloy", "Cu78Sn22", "--mass", "12kg", "--loss", "Sn=1"],
      /--loss: "1" is not a percentage/,
    );
    await refused(
      ["charge", "--alloy", "Cu78Sn22", "--mass", "12kg", "--loss", "Xx=1%"],
      /--loss: Xx is not an element/,
    );
    await refused(
      ["charge", "--alloy", "Cu78Sn22", "--mass", "12kg", "--loss", "Sn=1%", "--loss", "Sn=2%"],
      /names Sn twice/,
    );
    await refused(["charge", "--alloy", "Cu78Sn22", "--mass", "12kg", "--loss", "Sn=100%"], /below 100 %/);
    await refused(
      ["charge", "--alloy", "Cu78Sn22", "--mass", "12kg", "--return", "gates:5kg"],
      /--return takes a name, a mass and a composition/,
    );
    await refused(
      ["charge", "--alloy", "Cu78Sn22", "--mass", "12kg", "--return", "gates:5kg:Cu80"],
      /--return: "Cu80" adds up to 80/,
    );
    await refused(
      ["charge", "--alloy", "Cu78Sn22", "--mass", "12kg", "--price", "Sn"],
      /--price takes a name/,
    );
    await refused(
      ["charge", "--alloy", "Cu78Sn22", "--mass", "12kg", "--new", "Cu,Zn"],
      /Zn is not in the wanted alloy/,
    );
    await refused(["charge", "--alloy", "Cu78Sn22", "--mass", "12kg", "--feeding", "a third"], /--feeding: /);
  });

  it("plan charge with loss, feeding and a return leaves the wanted alloy in the melt", async () => {
    const { charge } = await planned([
      "charge",
      "--mass",
      "12kg",
      "--alloy",
      "Cu78Sn22",
      "--loss",
      "Sn=1%",
      "--feeding",
      "30%",
      "--return",
      "name:5kg:Cu88Sn10Zn2",
    ]);
    expect(charge!.pouredKg).toBeCloseTo(15.6, 12);
    expect(charge!.items.map((item) => item.name)).toEqual(["copper", "tin", "name"]);
    let tinKg = 0;
    let meltKg = 0;
    for (const { composition, massKg } of charge!.items) {
      for (const [symbol, fraction] of Object.entries(composition)) {
        const kept = massKg * fraction * (symbol === "Sn" ? 0.99 : 1);
        meltKg += kept;
        if (symbol === "Sn") tinKg += kept;
      }
    }
    expect(meltKg).toBeCloseTo(15.6, 8);
    expect(tinKg / meltKg).toBeCloseTo(0.22, 8);
    expect(charge!.totalKg).toBeCloseTo(
      charge!.items.reduce((sum, item) => sum + item.massKg, 0),
      12,
    );
  });

  it("plan charge takes feeding as a mass, prices, limits and US units", async () => {
    const { charge } = await planned(
      [
        "charge",
        "--mass",
        "10.0lb",
        "--alloy",
        "Cu80Sn20",
        "--feeding",
        "2.0lb",
        "--return",
        "old:3.0lb:Cu88Sn10Zn2",
      ].concat([
        "--allow",
        "Zn=2%",
        "--price",
        "Cu=9",
        "--price",
        "Sn=30",
        "--price",
        "old=4",
        "--crucible",
        "20lb",
      ]),
    );
    expect(charge!.pouredKg).toBeCloseTo(12 * 0.45359237, 12);
    expect(charge!.returns[0]).toMatchObject({ name: "old", leftKg: 0, why: null });
    expect(charge!.cost).toBeGreaterThan(0);
    expect(charge!.crucible).toEqual({ capacityKg: expect.closeTo(20 * 0.45359237, 12), fits: true });
  });

  it("plan charge that cannot be made exits 1 and explains, in JSON, on paper and on the terminal", async () => {
    const argv = [
      "charge",
      "--mass",
      "12kg",
      "--alloy",
      "Cu78Sn22",
      "--new",
      "Cu",
      "--return",
      "pig:4kg:Cu67Sn33",
    ];
    const { charge } = await planned(argv, temporaryFolder(), 1);
    expect(charge).toMatchObject({ items: [], totalKg: null });
    expect(charge!.cannot[0]).toMatch(/makes 6 kg of this alloy at most/);
    const { stdout, stderr, status } = await ringwright(["plan", ...argv]);
    expect(status).toBe(1);
    expect(stdout).toMatch(/cannot be made/);
    expect(stderr).toMatch(/^ringwright: this charge cannot be made: The metal at hand makes 6 kg/);
  });

  it("plan charge reads the volume of a mesh, says its size, and asks for the unit", async () => {
    const cwd = temporaryFolder();
    const bell = frustumProfile([60, 54], [32, 28], 90);
    const mesh = revolve(bell, 60);
    writeFileSync(join(cwd, "bell.stl"), binaryStl(mesh));
    writeFileSync(join(cwd, "text.stl"), asciiStl(mesh));
    writeFileSync(join(cwd, "open.stl"), binaryStl(mesh.slice(9)));
    writeFileSync(join(cwd, "inverted.stl"), binaryStl(turnedOver(mesh)));
    const argv = ["charge", "--alloy", "Cu80Sn20", "--stl"];
    for (const name of ["bell.stl", "text.stl"]) {
      const run = await ringwright(["plan", ...argv, name, "--stl-unit", "mm", "--json", "-"], { cwd });
      expect(run.status).toBe(0);
      expect(run.stderr).toMatch(
        /closed, 480 triangles, 120 x 120 x 90 mm over all; check that this is its size/,
      );
      const { charge } = JSON.parse(run.stdout) as PlanDocument;
      // Single precision moves a corner by at most 60 mm x 2^-24.
      expect(charge!.volume!.volumeM3.value).toBeCloseTo(revolvedVolume(bell, 60) * 1e-9, 9);
      expect(charge!.castingKg).toBeCloseTo(
        charge!.volume!.volumeM3.value * charge!.volume!.densityKgM3.value,
        9,
      );
    }
    await refused([...argv, "bell.stl"], /an STL file does not say what it is drawn in; add --stl-unit/, cwd);
    await refused([...argv, "bell.stl", "--stl-unit", "cubit"], /--stl-unit: "cubit" is not a unit/, cwd);
    await refused([...argv, "open.stl", "--stl-unit", "mm"], /open.stl: the mesh is open at 3 edges/, cwd);
    await refused([...argv, "inverted.stl", "--stl-unit", "mm"], /inverted.stl: the mesh is inside out/, cwd);
  });

  it("plan charge from a volume takes the alloy's density", async () => {
    const { charge } = await planned(["charge", "--volume", "1.000l", "--alloy", "Cu80Sn20"]);
    expect(charge!.volume!.massKg.value).toBeCloseTo(charge!.castingKg, 12);
    expect(charge!.castingKg).toBeGreaterThan(8.57);
    expect(charge!.castingKg).toBeLessThan(8.81);
  });
});

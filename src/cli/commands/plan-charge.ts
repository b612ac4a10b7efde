import type { CastingVolume, ChargeRequest, Composition } from "../../foundry/index.ts";
import type { Context } from "../context.ts";
import { CliError, EXIT } from "../exit.ts";
import { readInput } from "../inputs.ts";
import { checkResults } from "../results.ts";
import type { CommandSpec } from "../spec.ts";
import { deliverPlan, type PlanFlags } from "./plan-deliver.ts";
import {
  ALLOW_OPTION,
  asMeasured,
  CRUCIBLE_OPTION,
  type Foundry,
  LOSS_OPTION,
  optional,
  PLAN_OPTIONS,
  readAs,
  readFractions,
  readReturn,
  required,
  textOption,
} from "./plan-options.ts";

interface ChargeFlags extends PlanFlags {
  mass?: string;
  volume?: string;
  stl?: string;
  stlUnit?: string;
  alloy?: string;
  feeding?: string;
  loss?: string[];
  return?: string[];
  new?: string;
  allow?: string[];
  price?: [name: string, perKg: number][];
  crucible?: string;
}

export const planCharge: CommandSpec = {
  name: "charge",
  summary: "how much of each metal to weigh out for a casting",
  arguments: [],
  options: [
    textOption("mass", "MASS", "the casting's mass, as in 12kg or 26.5lb"),
    textOption("volume", "VOLUME", "or its volume, as in 1370cm3 or 83.6in3"),
    { ...textOption("stl", "FILE", "or its mesh, STL, binary or ASCII; with --stl-unit"), completes: "file" },
    {
      ...textOption(
        "stl-unit",
        "UNIT",
        "what the mesh is drawn in, since the file does not say: mm, cm, m, in, ft",
      ),
      completes: ["mm", "cm", "m", "in", "ft"],
    },
    textOption("alloy", "ALLOY", "the wanted alloy in mass per cent, as in Cu78Sn22"),
    textOption(
      "feeding",
      "PART",
      "gates, runners and risers: a part of the casting's mass, as in 30%, or a mass",
    ),
    LOSS_OPTION,
    textOption("return", "NAME:MASS:ALLOY", "metal at hand, as in gates:5kg:Cu80Sn20; repeatable", true),
    textOption("new", "ELEMENTS", "new metals at hand, as in Cu,Sn, or none (default: those of the alloy)"),
    ALLOW_OPTION,
    {
      ...textOption(
        "price",
        "NAME=PRICE",
        "price of a kilogram of an element or a return; asks for the cheapest mix",
        true,
      ),
      parse: readPrice,
    },
    CRUCIBLE_OPTION,
    ...PLAN_OPTIONS,
  ],
  examples: [
    "ringwright plan charge --mass 12kg --alloy Cu78Sn22 --loss Sn=1% --feeding 30%",
    "ringwright plan charge --mass 12kg --alloy Cu78Sn22 --return gates:5kg:Cu88Sn10Zn2 --return pig:3kg:Cu67Sn33",
    "ringwright plan charge --stl bell.stl --stl-unit mm --alloy Cu80Sn20 --feeding 25% --html charge.html",
  ],
  note: "Molten metal kills: local codes and licensed practice first; the sheet carries the usual cautions.",
  act: ({ flags, context }) => act(flags as ChargeFlags, context),
};

async function act(flags: ChargeFlags, context: Context): Promise<number> {
  checkResults(flags, flags.stl === undefined ? [] : [flags.stl], context.io.cwd);
  const foundry = await import("../../foundry/index.ts");
  const wanted = required("--alloy", flags.alloy, "Cu80Sn20", foundry.parseComposition);
  const { castingKg, volume } = await castingOf(flags, wanted, context, foundry);
  const request: ChargeRequest = {
    castingKg,
    volume,
    feedingKg: feedingOf(flags.feeding, castingKg, foundry),
    recipe: foundry.recipeFor(wanted, readFractions("--allow", flags.allow, foundry)),
    losses: readFractions("--loss", flags.loss, foundry),
    returns: (flags.return ?? []).map((text) => readReturn(text, foundry)),
    newMetals: newMetalsOf(flags.new),
    prices: flags.price === undefined ? null : Object.fromEntries(flags.price),
    crucibleKg: optional("--crucible", flags.crucible, foundry.parseMassKg)?.value ?? null,
  };
  const charge = foundry.planCharge(request);
  await deliverPlan({ command: "charge", charge }, flags, context);
  for (const reason of charge.cannot) await context.say(`this charge cannot be made: ${reason}`);
  return charge.cannot.length === 0 ? EXIT.measured : EXIT.notMeasurable;
}

async function castingOf(
  flags: ChargeFlags,
  wanted: Composition,
  context: Context,
  foundry: Foundry,
): Promise<{ castingKg: number; volume: CastingVolume | null }> {
  const given = [flags.mass, flags.volume, flags.stl].filter((text) => text !== undefined);
  if (given.length !== 1) {
    throw new CliError("say how much is cast: one of --mass, --volume or --stl, for example --mass 12kg");
  }
  if (flags.mass !== undefined) {
    return { castingKg: readAs("--mass", () => foundry.parseMassKg(flags.mass!)).value, volume: null };
  }
  const volumeM3 =
    flags.volume !== undefined
      ? readAs("--volume", () => asMeasured(foundry.parseVolumeM3(flags.volume!)))
      : { value: await meshVolumeM3(flags.stl!, flags.stlUnit, context, foundry), ci95: 0 };
  const volume = readAs("--volume", () => foundry.massOfVolume(volumeM3, wanted));
  return { castingKg: volume.massKg.value, volume };
}

async function meshVolumeM3(
  path: string,
  unit: string | undefined,
  context: Context,
  foundry: Foundry,
): Promise<number> {
  if (unit === undefined) {
    throw new CliError(
      "an STL file does not say what it is drawn in; add --stl-unit, for example --stl-unit mm",
    );
  }
  const metres = readAs("--stl-unit", () => foundry.metresPer(unit));
  const { bytes } = await readInput(path, context.io);
  const { volumeM3, sizeM, shells, triangles } = readAs(path, () =>
    foundry.meshVolume(foundry.readStl(bytes), metres),
  );
  const size = sizeM.map((length) => Number((length / metres).toPrecision(4))).join(" x ");
  const parts = shells > 1 ? `, ${shells} separate surfaces` : "";
  await context.say(
    `${path}: closed, ${triangles} triangles${parts}, ${size} ${unit} over all; check that this is its size`,
  );
  return volumeM3;
}

function feedingOf(text: string | undefined, castingKg: number, foundry: Foundry): number {
  if (text === undefined) return 0;
  return readAs("--feeding", () =>
    text.includes("%") ? foundry.parsePercent(text).value * castingKg : foundry.parseMassKg(text).value,
  );
}

function newMetalsOf(text: string | undefined): string[] | null {
  if (text === undefined) return null;
  return text === "none" ? [] : [...new Set(text.split(",").map((symbol) => symbol.trim()))];
}

/** Of a kilogram, in whatever money; more is a slip of the keyboard. */
const HIGHEST_PRICE = 1e9;

function readPrice(text: string): [name: string, perKg: number] {
  const at = text.lastIndexOf("=");
  const price = text.slice(at + 1);
  if (at < 1 || !/^\d+(\.\d+)?$/.test(price) || Number(price) > HIGHEST_PRICE) {
    throw new CliError(
      `--price takes a name and the price of a kilogram, as in --price Sn=32.5, not "${text}"`,
    );
  }
  return [text.slice(0, at), Number(price)];
}

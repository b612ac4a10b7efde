/** The one script of a report: draws the charts, lets the reader choose and hear what they show. */
import type { PageData, TurnsSpec, VoiceSpec } from "../chart-spec.ts";
import { drawCharts } from "./charts.ts";
import { makeSounds } from "./sound.ts";

const byId = (id: string) => document.getElementById(id);
const all = <T extends HTMLElement>(selector: string): T[] =>
  Array.from(document.querySelectorAll<T>(selector));

function start(): void {
  const data = JSON.parse(byId("report-data")!.textContent!) as PageData;
  document.documentElement.classList.add("scripted");

  let chosen: number | null = null;
  const charts = drawCharts(data.charts, (mark) => choose(mark, true));
  const sounds = makeSounds(() => showPlayer(null));
  const voiceOf = (mark: number | null) => data.voices.find((voice) => voice.mark === mark);

  function announce(text: string): void {
    byId("announce")!.textContent = text;
  }

  function showPlayer(voice: VoiceSpec | TurnsSpec | null): void {
    byId("player")!.hidden = voice === null;
    byId("player-text")!.textContent = voice === null ? "" : `Playing ${voice.label}`;
  }

  function play(voice: VoiceSpec | TurnsSpec): void {
    sounds.play(voice);
    showPlayer(voice);
    announce(`Playing ${voice.label}`);
  }

  /** Lights up everything that carries the mark, and lets it be heard. null puts it all out. */
  function choose(mark: number | null, heard: boolean): void {
    chosen = mark;
    for (const each of all("[data-mark]")) {
      each.classList.toggle("is-chosen", each.dataset.mark === String(mark));
    }
    for (const each of all(".chooser")) {
      each.setAttribute("aria-pressed", String(each.dataset.choose === String(mark)));
    }
    charts.choose(mark);
    const voice = mark === null ? undefined : voiceOf(mark);
    if (heard && voice !== undefined) play(voice);
  }

  function putOut(): void {
    sounds.stop();
    choose(null, false);
    announce("Stopped");
  }

  for (const text of all("span[data-choose]")) {
    const button = document.createElement("button");
    button.type = "button";
    button.className = "chooser";
    button.dataset.choose = text.dataset.choose;
    button.setAttribute("aria-pressed", "false");
    button.append(...Array.from(text.childNodes));
    text.replaceWith(button);
    const mark = Number(button.dataset.choose);
    button.addEventListener("click", () => (chosen === mark ? putOut() : choose(mark, true)));
  }
  for (const link of all("[data-choose-quietly]")) {
    link.addEventListener("click", () => choose(Number(link.dataset.chooseQuietly), false));
  }
  byId("player-stop")!.addEventListener("click", putOut);
  document.addEventListener("keydown", (event) => {
    if (event.key === "Escape") putOut();
  });
  byId("play-all")?.addEventListener("click", () => {
    const whole = voiceOf(null);
    if (whole !== undefined) play(whole);
  });

  const volume = byId("volume") as HTMLInputElement | null;
  const recording = byId("recording") as HTMLAudioElement | null;
  function takeVolume(): void {
    const share = Number(volume?.value ?? 25) / 100;
    sounds.setVolume(share);
    if (recording !== null) recording.volume = share * share;
    const shown = byId("volume-text");
    if (shown !== null) shown.textContent = `${Math.round(100 * share)}\u00a0%`;
  }
  volume?.addEventListener("input", takeVolume);
  takeVolume();

  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => charts.recolour());
  const folded = new Set<HTMLDetailsElement>();
  window.addEventListener("beforeprint", () => {
    document.documentElement.classList.add("printing");
    for (const each of all<HTMLDetailsElement>("details:not([open])")) {
      folded.add(each);
      each.open = true;
    }
    charts.recolour();
    charts.forPrint(true);
  });
  window.addEventListener("afterprint", () => {
    document.documentElement.classList.remove("printing");
    for (const each of folded) each.open = false;
    folded.clear();
    charts.recolour();
    charts.forPrint(false);
  });
}

start();

import type { TurnsSpec, VoiceSpec } from "../chart-spec.ts";
import { renderTurns, renderVoice } from "./synth.ts";

const STOP_FADE_S = 0.05;

/** Plays one voice at a time. Nothing sounds before the reader asks for it. */
export interface Sounds {
  play(voice: VoiceSpec | TurnsSpec): void;
  stop(): void;
  setVolume(share: number): void;
}

/** The ear hears the square of the slider as an even scale. */
const gainOf = (share: number) => share * share;

/** @param onEnd called when a voice has rung out or was stopped */
export function makeSounds(onEnd: () => void): Sounds {
  let context: AudioContext | null = null;
  let master: GainNode | null = null;
  let share = 0;
  let current: { source: AudioBufferSourceNode; gain: GainNode } | null = null;

  function stop(): void {
    if (current === null || context === null) return;
    const { source, gain } = current;
    current = null;
    gain.gain.setTargetAtTime(0, context.currentTime, STOP_FADE_S / 4);
    source.stop(context.currentTime + STOP_FADE_S);
    onEnd();
  }

  function play(voice: VoiceSpec | TurnsSpec): void {
    stop();
    context ??= new AudioContext();
    if (master === null) {
      master = context.createGain();
      master.gain.value = gainOf(share);
      master.connect(context.destination);
    }
    void context.resume();
    const samples =
      "turns" in voice
        ? renderTurns(voice.turns, context.sampleRate)
        : renderVoice(voice.members, context.sampleRate);
    const buffer = context.createBuffer(1, samples.length, context.sampleRate);
    buffer.getChannelData(0).set(samples);
    const source = context.createBufferSource();
    const gain = context.createGain();
    source.buffer = buffer;
    source.connect(gain).connect(master);
    source.onended = () => {
      if (current?.source !== source) return;
      current = null;
      onEnd();
    };
    current = { source, gain };
    source.start();
  }

  function setVolume(next: number): void {
    share = next;
    if (master !== null && context !== null)
      master.gain.setTargetAtTime(gainOf(next), context.currentTime, 0.02);
  }

  return { play, stop, setVolume };
}

import type { Outcome } from '../state/outcome.ts';
import type { Settings } from '../state/settings-store.ts';

interface Tone {
  readonly hertz: number;
  readonly atSeconds: number;
  readonly lastsSeconds: number;
  readonly shape: OscillatorType;
}

/** Two notes that rise: passed. */
const passed: readonly Tone[] = [
  { hertz: 660, atSeconds: 0, lastsSeconds: 0.12, shape: 'sine' },
  { hertz: 990, atSeconds: 0.13, lastsSeconds: 0.2, shape: 'sine' },
];
/** Three low, rough notes of one height: not passed. Told apart by rhythm too, not by pitch alone. */
const notPassed: readonly Tone[] = [0, 0.18, 0.36].map((atSeconds) => ({
  hertz: 196,
  atSeconds,
  lastsSeconds: 0.12,
  shape: 'square',
}));
/** One short middle note: could not be taken. */
const refused: readonly Tone[] = [{ hertz: 330, atSeconds: 0, lastsSeconds: 0.25, shape: 'triangle' }];

export type Sound = 'passed' | 'not passed' | 'refused';
const tones: Readonly<Record<Sound, readonly Tone[]>> = { passed, 'not passed': notPassed, refused };

export function soundOf(outcome: Outcome): Sound {
  return outcome.passed ? 'passed' : 'not passed';
}

/** Plays verdicts by WebAudio, at the volume of the settings. */
export function createTonePlayer(settings: () => Settings): (sound: Sound) => void {
  let audio: AudioContext | null = null;
  return (sound) => {
    const { muted, volume } = settings();
    if (muted || volume === 0) return;
    audio ??= new AudioContext();
    void audio.resume();
    for (const { hertz, atSeconds, lastsSeconds, shape } of tones[sound]) {
      const start = audio.currentTime + atSeconds;
      const oscillator = audio.createOscillator();
      const gain = audio.createGain();
      oscillator.type = shape;
      oscillator.frequency.value = hertz;
      gain.gain.setValueAtTime(0, start);
      gain.gain.linearRampToValueAtTime(volume * 0.4, start + 0.01);
      gain.gain.setValueAtTime(volume * 0.4, start + lastsSeconds - 0.02);
      gain.gain.linearRampToValueAtTime(0, start + lastsSeconds);
      oscillator.connect(gain).connect(audio.destination);
      oscillator.start(start);
      oscillator.stop(start + lastsSeconds);
    }
  };
}

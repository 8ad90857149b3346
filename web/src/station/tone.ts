/// What the ear is told: one short high tone for taken, two long low ones for stop.
let sound: AudioContext | null = null;

function beep(hertz: number, from_s: number, for_s: number): void {
  if (!sound) return;
  const tone = sound.createOscillator();
  tone.frequency.value = hertz;
  tone.connect(sound.destination);
  tone.start(sound.currentTime + from_s);
  tone.stop(sound.currentTime + from_s + for_s);
}

function audible(play: () => void): void {
  if (!('AudioContext' in globalThis)) return;
  sound ??= new AudioContext();
  play();
}
export const toneTaken = (): void => audible(() => beep(1760, 0, 0.09));
export const toneStop = (): void => audible(() => {
  beep(220, 0, 0.35);
  beep(220, 0.5, 0.35);
});

// What belongs to this device: its sounds, its voice, its pedal. Shown at the truing stand and on the settings.
"use strict";

// What it remembers: the pedal's key, sounds, speech.
const kept = {
  get: (name, otherwise) => localStorage.getItem(`rimwright.${name}`) ?? otherwise,
  set: (name, value) => localStorage.setItem(`rimwright.${name}`, value),
};

// ---- sounds and speech

let audio = null;

// Two notes rising: taken. One low note twice: doubt.
function sound(which) {
  if (!which || kept.get("sound", "on") === "off") return;
  audio ??= new AudioContext();
  if (audio.state === "suspended") audio.resume();
  const notes = which === "taken" ? [[660, 0], [990, 0.07]] : [[180, 0], [180, 0.2]];
  for (const [hertz, after] of notes) {
    const tone = audio.createOscillator();
    const loudness = audio.createGain();
    const from = audio.currentTime + after;
    tone.type = which === "taken" ? "sine" : "square";
    tone.frequency.value = hertz;
    loudness.gain.setValueAtTime(0.25, from);
    loudness.gain.exponentialRampToValueAtTime(0.001, from + (which === "taken" ? 0.12 : 0.17));
    tone.connect(loudness).connect(audio.destination);
    tone.start(from);
    tone.stop(from + 0.2);
  }
}

// A voice of this device that speaks the page's language; voices that need a server are none.
function localVoice() {
  if (!("speechSynthesis" in window)) return null;
  const voices = speechSynthesis.getVoices().filter((voice) => voice.localService);
  const language = document.documentElement.lang;
  return voices.find((voice) => voice.lang.toLowerCase().startsWith(language)) ?? null;
}

function speak(words) {
  const voice = localVoice();
  if (!words || !voice || kept.get("speech", "on") === "off") return;
  speechSynthesis.cancel();
  const saying = new SpeechSynthesisUtterance(words);
  saying.voice = voice;
  saying.lang = voice.lang;
  speechSynthesis.speak(saying);
}

// ---- the row of buttons

let teaching = false;

function startDevice() {
  document.getElementById("device").hidden = false;
  toggle("sound-toggle", "sound");
  toggle("speech-toggle", "speech");
  const teach = document.getElementById("teach");
  const words = () => {
    const pedal = kept.get("pedal", "");
    teach.textContent = teaching ? "Press the pedal now (Escape: none)" : pedal ? `Pedal: ${pedal}` : "Teach a foot switch";
  };
  teach.addEventListener("click", () => {
    teaching = true;
    teach.setAttribute("aria-pressed", "true");
    words();
  });
  teach.addEventListener("learnt", () => {
    teach.setAttribute("aria-pressed", "false");
    words();
  });
  words();
  // Before any other listener: the key that is taught does nothing else.
  document.addEventListener("keydown", (event) => teaching && learn(event), true);
  const voiceNotice = () => {
    document.getElementById("no-voice").hidden = localVoice() !== null;
  };
  voiceNotice();
  if ("speechSynthesis" in window) speechSynthesis.addEventListener("voiceschanged", voiceNotice);
  if (document.querySelector("form[data-live]")) stayAwake();
}

// At the truing stand the screen stays on. A lock that the system took back is taken again when the page is seen or
// touched the next time; one that is held is given back when the page is left.
function stayAwake() {
  let lock = null;
  const take = async () => {
    if (lock || document.visibilityState !== "visible") return;
    lock = await navigator.wakeLock?.request("screen").catch(() => null);
    lock?.addEventListener("release", () => {
      lock = null;
    });
  };
  for (const sign of ["visibilitychange", "pointerdown", "keydown"]) document.addEventListener(sign, take);
  addEventListener("pagehide", () => lock?.release());
  take();
}

function toggle(id, name) {
  const button = document.getElementById(id);
  const show = () => button.setAttribute("aria-pressed", String(kept.get(name, "on") === "on"));
  button.addEventListener("click", () => {
    kept.set(name, kept.get(name, "on") === "on" ? "off" : "on");
    show();
    sound("taken");
    if (name === "speech") speak("nine, right, twenty-two point five");
    document.dispatchEvent(new Event("device"));
  });
  show();
}

// What a key does already, at the stand or in the browser; empty for one that is free.
function whatElse(event) {
  if (/^(Digit|Numpad\d|NumpadDecimal|Period|Comma|Minus)/.test(event.code)) return "types readings";
  if ("/*+".includes(event.key)) return "undoes, repeats or passes over";
  if (/^(Tab|Shift|Control|Alt|Meta|OS|CapsLock|NumLock|Fn)/.test(event.code) || event.ctrlKey || event.altKey || event.metaKey) return "moves about or belongs to another key";
  return event.code ? "" : "has no place on a keyboard";
}

function learn(event) {
  event.preventDefault();
  event.stopImmediatePropagation();
  teaching = false;
  const busy = event.key === "Escape" ? "" : whatElse(event);
  if (event.key === "Escape") kept.set("pedal", "");
  else if (!busy) kept.set("pedal", event.code);
  const refused = document.getElementById("refused");
  refused.hidden = !busy;
  refused.textContent = busy && `That key ${busy} and cannot be the pedal. Teach another.`;
  if (busy) sound("doubt");
  document.getElementById("teach").dispatchEvent(new Event("learnt"));
  document.dispatchEvent(new Event("device"));
}

if (document.getElementById("device")) startDevice();

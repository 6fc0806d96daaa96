// The lap: takes what fingers, a gauge or a pedal send, and sends it.
// Without this script the same form is sent by Enter and the same page comes back.
"use strict";

const field = form && form.elements.raw;

function take() {
  const raw = field.value;
  if (!raw.trim()) {
    sound("doubt");
    tell("Nothing was typed: the spoke due stays due.");
    return;
  }
  if (send({ raw })) field.value = "";
}

function act(what) {
  if (field.value) field.value = "";
  else send({ do: what });
}

// ---- keys

let pedalDown = -Infinity;

function startKeys() {
  document.addEventListener("keydown", (event) => {
    if (event.code && event.code === kept.get("pedal", "")) {
      event.preventDefault();
      // A pedal bounces; nobody takes two readings within a fifth of a second.
      if (!event.repeat && event.timeStamp - pedalDown > 200) take();
      pedalDown = event.timeStamp;
      return;
    }
    watchLocks(event);
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const inField = document.activeElement === field;
    const inOther = !inField && document.activeElement?.matches("input, select, textarea, summary");
    if (inOther) return;
    if (event.key === "/" || event.key === "*") {
      event.preventDefault();
      if (!event.repeat) act(event.key === "/" ? "undo" : "again");
      field.focus();
      return;
    }
    if (event.key === "Escape") {
      field.value = "";
      refresh();
    }
    // Digits that would land beside the field land in it.
    if (!inField && /^[0-9.,+-]$/.test(event.key)) {
      event.preventDefault();
      field.focus();
      field.value += event.key;
    }
  });
}

function watchLocks(event) {
  const state = (lock) => event.getModifierState && event.getModifierState(lock);
  if (event.code.startsWith("Numpad") && /^(Arrow|Home|End|Page|Insert|Delete|Clear)/.test(event.key)) {
    sound("doubt");
    warn("Num lock is off: the number pad moves about and types nothing.");
  } else if (event.key.length === 1 && state("CapsLock") && !/[0-9.,/*+-]/.test(event.key)) {
    warn("Caps lock is on.");
  } else if (event.key.length === 1 && /^Digit/.test(event.code) && !/[0-9]/.test(event.key)) {
    warn("The keyboard types symbols in place of digits: shift, caps lock, or another layout.");
  } else if (notice.textContent.includes("lock")) {
    warn("");
  }
}

// ---- begin

if (form) {
  Object.assign(atStand, {
    put(sent) {
      if (!("raw" in sent)) field.value = "";
      else if (!field.value) field.value = sent.raw;
      field.select();
    },
    focus: () => field.focus(),
    // A place that is taken again was chosen by this hand, and stays due.
    isIdle: () => !field.value && !form.elements.seen,
  });
  form.addEventListener("submit", (event) => {
    const what = event.submitter?.name === "do" ? event.submitter.value : null;
    event.preventDefault();
    if (what) send({ do: what });
    else take();
    field.focus();
  });
  startKeys();
  startSending();
}

// The lap: takes what fingers, a gauge or a pedal send, sends it, and tells what became of it.
// Without this script the same form is sent by Enter and the same page comes back.
"use strict";

const form = document.getElementById("take");
const field = form && form.elements.raw;

// ---- what the person is told

const notice = document.getElementById("keyboard");

function warn(words) {
  notice.textContent = words;
  notice.hidden = !words;
}

function tell(words) {
  const said = document.getElementById("said");
  said.className = "said asked";
  said.textContent = words;
}

function showSaid() {
  const said = document.getElementById("said");
  sound(said.dataset.sound);
  speak(said.dataset.say);
  return said.dataset.outcome;
}

// ---- sending

// At most a few wait while one is under way; while the program does not answer, only that one.
const MOST_WAITING = 3;
const AGAIN_AFTER_MS = 1000;
const waiting = [];
let underWay = null;
let isSilent = false;

const memory = `rimwright.under-way.${location.pathname}`;

function send(fields) {
  if (underWay && (isSilent || waiting.length >= MOST_WAITING)) {
    sound("doubt");
    tell(`The program does not answer: “${fields.raw ?? fields.do}” is not taken. What was typed before it is kept and sent as soon as it answers.`);
    return false;
  }
  waiting.push(fields);
  if (!underWay) next();
  return true;
}

function next() {
  const fields = waiting.shift();
  if (!fields) return;
  const body = new URLSearchParams(fields);
  for (const { name, value } of form.querySelectorAll("#now input")) {
    if (!body.has(name)) body.set(name, value);
  }
  underWay = body;
  sessionStorage.setItem(memory, body.toString());
  post();
}

// The same form is sent until it is answered: the records take it once.
async function post() {
  let answer = null;
  try {
    answer = await fetch(form.action, { method: "POST", body: underWay, signal: AbortSignal.timeout(10000) });
  } catch {
    isSilent = true;
    sound("doubt");
    tell(`No answer from the program. “${underWay.get("raw") ?? ""}” is kept here and sent again until it is taken.`);
    setTimeout(post, AGAIN_AFTER_MS);
    return;
  }
  isSilent = false;
  const sent = underWay;
  underWay = null;
  sessionStorage.removeItem(memory);
  const came = parsed(await answer.text());
  if (!came.getElementById("said")) {
    sound("doubt");
    tell(`${came.querySelector("main")?.textContent ?? "That could not be taken."} Not taken: “${sent.get("raw") ?? ""}”.`);
    return;
  }
  swapParts(came);
  warn("");
  const outcome = showSaid();
  if (outcome === "asked" || outcome === "collision") {
    const held = waiting.splice(0).map((fields) => fields.raw ?? fields.do);
    if (held.length) tell(`${document.getElementById("said").textContent} Typed after it and not taken: ${held.join(", ")}.`);
    if (!field.value) field.value = sent.get("raw") ?? "";
    field.select();
    return;
  }
  next();
}

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

let pedalDown = 0;

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
    if (event.key === "Escape") field.value = "";
    // Digits that would land beside the field land in it.
    if (!inField && /^[0-9.,+-]$/.test(event.key)) {
      event.preventDefault();
      field.focus();
      field.value += event.key;
    }
  });
  const here = () => {
    const has = document.hasFocus();
    form.classList.toggle("away", !has);
    warn(has ? "" : "The keyboard is elsewhere: what is typed now does not arrive. Touch this page.");
    if (has && document.activeElement === document.body) field.focus();
  };
  addEventListener("blur", here);
  addEventListener("focus", here);
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

// ---- another browser on the same wheel

function startLive() {
  const source = new EventSource(form.dataset.live);
  source.addEventListener("news", (event) => {
    if (event.data !== form.elements.after.value && !underWay) refresh();
  });
  source.addEventListener("open", () => {
    form.dataset.stream = "open";
    if (!underWay) refresh();
  });
  source.addEventListener("error", () => {
    form.dataset.stream = "broken";
  });
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible" && !underWay) refresh();
  });
}

// While something is typed the spoke due does not change under the hand: the records tell of a collision.
async function refresh() {
  if (field.value) return;
  const answer = await fetch(location.pathname).catch(() => null);
  if (answer && answer.ok && !underWay && !field.value) swapParts(parsed(await answer.text()));
}

// ---- begin

if (form) {
  form.addEventListener("submit", (event) => {
    const what = event.submitter?.name === "do" ? event.submitter.value : null;
    event.preventDefault();
    if (what) send({ do: what });
    else take();
    field.focus();
  });
  // Forms beside the field (a question answered, a conflict settled) are sent the same way.
  document.addEventListener("submit", (event) => {
    const other = event.target;
    if (!other.matches("[data-lap-form]")) return;
    event.preventDefault();
    const fields = Object.fromEntries(new FormData(other, event.submitter));
    delete fields.hand;
    field.value = "";
    send(fields);
    field.focus();
  });
  startKeys();
  document.addEventListener("device", () => field.focus());
  document.addEventListener("refused", (event) => tell(event.detail));
  startLive();
  const unanswered = sessionStorage.getItem(memory);
  if (unanswered) {
    underWay = new URLSearchParams(unanswered);
    underWay.set("hand", form.elements.hand.value);
    post();
  }
  field.focus();
}

// At the truing stand: a form is sent until it is answered, and the person is told what became of it.
// What comes before and after a page's own keys and field is here; lap.js and round.js have the rest.
"use strict";

const form = document.querySelector("form[data-live]");

// What a page does in its own way: what it puts back when something was asked, where its keys go, and whether
// another browser's news may change it now.
const atStand = { put() {}, focus() {}, isIdle: () => true };

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
// How many forms were sent from this page.
let sendings = 0;
let isSilent = false;

const memory = `rimwright.under-way.${location.pathname}`;

// What was sent, in a word.
const what = (fields) => fields.raw ?? fields.do ?? "";

function send(fields) {
  if (underWay && (isSilent || waiting.length >= MOST_WAITING)) {
    sound("doubt");
    tell(`The program does not answer: “${what(fields)}” is not taken. What was typed before it is kept and sent as soon as it answers.`);
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
  sendings += 1;
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
    tell(`No answer from the program. “${what(Object.fromEntries(underWay))}” is kept here and sent again until it is taken.`);
    setTimeout(post, AGAIN_AFTER_MS);
    return;
  }
  isSilent = false;
  const sent = Object.fromEntries(underWay);
  underWay = null;
  sessionStorage.removeItem(memory);
  const came = parsed(await answer.text());
  if (!came.getElementById("said")) {
    sound("doubt");
    tell(`${came.querySelector("main")?.textContent ?? "That could not be taken."} Not taken: “${what(sent)}”.`);
    return;
  }
  swapParts(came);
  warn("");
  const outcome = showSaid();
  if (outcome === "asked" || outcome === "collision") {
    const held = waiting.splice(0).map(what);
    if (held.length) tell(`${document.getElementById("said").textContent} Typed after it and not taken: ${held.join(", ")}.`);
    atStand.put(sent);
    return;
  }
  atStand.focus();
  next();
}

// ---- the keyboard is here, or elsewhere

function watchFocus() {
  const here = () => {
    const has = document.hasFocus();
    form.classList.toggle("away", !has);
    warn(has ? "" : "The keyboard is elsewhere: what is typed now does not arrive. Touch this page.");
    if (has && document.activeElement === document.body) atStand.focus();
  };
  addEventListener("blur", here);
  addEventListener("focus", here);
}

// ---- another browser at the same thing

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

// While something is typed what is due does not change under the hand: the records tell of a collision. What was asked
// for before something was sent is older than the answer to that, and may not take its place.
async function refresh() {
  if (!atStand.isIdle()) return;
  const before = sendings;
  const answer = await fetch(location.pathname).catch(() => null);
  if (!answer || !answer.ok) return;
  const html = await answer.text();
  if (before === sendings && !underWay && atStand.isIdle()) swapParts(parsed(html));
}

// ---- begin, once the page has said what it does in its own way

function startSending() {
  // Forms beside the one that is sent by every key (a question answered, a conflict settled) are sent the same way.
  document.addEventListener("submit", (event) => {
    const other = event.target;
    if (!other.matches("[data-at-stand]")) return;
    event.preventDefault();
    const fields = Object.fromEntries(new FormData(other, event.submitter));
    delete fields.hand;
    atStand.put({});
    send(fields);
    atStand.focus();
  });
  watchFocus();
  document.addEventListener("device", () => atStand.focus());
  startLive();
  const unanswered = sessionStorage.getItem(memory);
  if (unanswered) {
    underWay = new URLSearchParams(unanswered);
    underWay.set("hand", form.elements.hand.value);
    post();
  }
  atStand.focus();
}

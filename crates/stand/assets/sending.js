// At the truing stand: a form is sent until it is answered, and the person is told what became of it.
// What comes before and after a page's own keys and field is here; lap.js and round.js have the rest.
"use strict";

const form = document.querySelector("form[data-live]");

// What a page does in its own way: what it puts back when something was asked, what it clears once that was taken,
// where its keys go, and whether another browser's news may change it now.
const atStand = { put() {}, taken() {}, focus() {}, isIdle: () => true };

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

function add(words) {
  const also = document.createElement("p");
  also.textContent = words;
  document.getElementById("said").append(also);
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
// The newest of what was sent and asked for: an answer to anything older may not take its place.
let newest = 0;

// What is under way and what waits behind it outlives the page: a browser that starts it anew sends it then.
const memory = `rimwright.sending.${location.pathname}`;

function remember() {
  if (underWay) sessionStorage.setItem(memory, JSON.stringify({ underWay: underWay.toString(), waiting }));
  else sessionStorage.removeItem(memory);
}

// What was sent, in a word.
const what = (fields) => fields.raw ?? fields.do ?? "";

function send(fields) {
  if (underWay && (isSilent || waiting.length >= MOST_WAITING)) {
    sound("doubt");
    tell(`The program does not answer: “${what(fields)}” is not taken. What was typed before it is kept and sent as soon as it answers.`);
    return false;
  }
  waiting.push(fields);
  if (underWay) remember();
  else next();
  return true;
}

function next() {
  const fields = waiting.shift();
  if (!fields) return remember();
  const body = new URLSearchParams(fields);
  for (const { name, value } of form.querySelectorAll("#now input")) {
    if (!body.has(name)) body.set(name, value);
  }
  underWay = body;
  newest += 1;
  remember();
  post();
}

// The same form is sent until it is answered: the records take it once. It is under way until the page shows the
// answer, since what is sent next takes its entry and its place from the page.
async function post() {
  let came = null;
  try {
    const answer = await fetch(form.action, { method: "POST", body: underWay, signal: AbortSignal.timeout(10000) });
    came = parsed(await answer.text());
  } catch {
    isSilent = true;
    sound("doubt");
    tell(`No answer from the program. “${what(Object.fromEntries(underWay))}” is kept here and sent again until it is taken.`);
    setTimeout(post, AGAIN_AFTER_MS);
    return;
  }
  isSilent = false;
  const outcome = shown(came);
  const sent = Object.fromEntries(underWay);
  underWay = null;
  if (outcome === "refused" || outcome === "asked" || outcome === "collision") {
    if (outcome === "refused") tell(`${came.querySelector("main")?.textContent ?? "That could not be taken."} Not taken: “${what(sent)}”.`);
    const held = waiting.splice(0).map(what);
    if (held.length) add(`Typed after it and not taken: ${held.join(", ")}.`);
    atStand.put(sent);
  } else {
    atStand.taken();
    atStand.focus();
  }
  next();
  refresh();
}

// Shows the page that answers, and says what became of the form; a page that is none of this place leaves it as it is.
function shown(came) {
  if (!came.getElementById("said")) {
    sound("doubt");
    return "refused";
  }
  swapParts(came);
  warn("");
  return showSaid();
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
  source.addEventListener("news", (event) => heard(event.data));
  source.addEventListener("open", () => {
    form.dataset.stream = "open";
    heard("");
  });
  source.addEventListener("error", () => {
    form.dataset.stream = "broken";
  });
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible") heard("");
  });
}

// The entry that was last told of and is not shown yet; null when there is none, empty when it is not known which.
let behind = null;

function heard(entry) {
  behind = entry;
  refresh();
}

// While something is typed or under way what is due does not change under the hand: the records tell of a collision,
// and what was told of is looked at as soon as the hand is free.
async function refresh() {
  if (behind === form.elements.after.value) behind = null;
  if (behind === null || underWay || !atStand.isIdle()) return;
  const mine = (newest += 1);
  const told = behind;
  const answer = await fetch(location.pathname).catch(() => null);
  if (!answer || !answer.ok) return;
  const came = parsed(await answer.text());
  if (mine !== newest || !atStand.isIdle()) return;
  // What was said to this hand stays until it does something else.
  came.getElementById("said").remove();
  swapParts(came);
  if (behind === told) behind = null;
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
  // A key that is held down says it once.
  document.addEventListener("keydown", (event) => {
    if (event.key === "Enter" && event.repeat) event.preventDefault();
  });
  watchFocus();
  document.addEventListener("device", () => atStand.focus());
  startLive();
  form.addEventListener("input", refresh);
  const kept = sessionStorage.getItem(memory);
  if (kept) {
    const before = JSON.parse(kept);
    underWay = new URLSearchParams(before.underWay);
    underWay.set("hand", form.elements.hand.value);
    waiting.push(...before.waiting);
    post();
  }
  atStand.focus();
}

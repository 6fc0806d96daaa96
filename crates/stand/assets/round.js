// A round of truing: a key, a tap or a press of the pedal says that the nipple due is done.
// Without this script the same form is sent by the same buttons and the same page comes back.
"use strict";

// A pedal bounces within this time.
const BOUNCE_MS = 200;
// Nobody turns two nipples within this time: what comes sooner is a slip, and is told.
const BETWEEN_NIPPLES_MS = 700;
// A pedal held down for so long takes the last one back.
const HELD_MS = 1000;

let lastDone = -BETWEEN_NIPPLES_MS;
let pedalSince = null;
let held = null;

const main = () => form.querySelector("button.main");

// One at a time: what is said while another is on its way would mean a nipple that nobody has seen yet.
function act(what, at) {
  if (underWay) {
    sound("doubt");
    return tell("The one before is not written yet: look at the page, then say it again.");
  }
  if (what === "done") {
    if (!main()) return sound("doubt");
    const since = at - lastDone;
    if (since < BOUNCE_MS) return;
    if (since < BETWEEN_NIPPLES_MS) {
      sound("doubt");
      return tell("That came too soon after the one before to be another nipple: it is not counted.");
    }
    lastDone = at;
  }
  send({ do: what });
}

function startKeys() {
  document.addEventListener("keydown", (event) => {
    if (event.code && event.code === kept.get("pedal", "")) {
      event.preventDefault();
      if (event.repeat || pedalSince !== null) return;
      pedalSince = event.timeStamp;
      held = setTimeout(() => {
        held = null;
        act("undo", event.timeStamp);
      }, HELD_MS);
      return;
    }
    if (event.ctrlKey || event.metaKey || event.altKey || event.repeat) return;
    if (document.activeElement?.matches("input, select, textarea, summary")) return;
    if (event.key === "/" || event.key === "+") {
      event.preventDefault();
      act(event.key === "/" ? "undo" : "pass", event.timeStamp);
    } else if (event.key === "Enter" && !document.activeElement?.matches("a, button")) {
      event.preventDefault();
      act("done", event.timeStamp);
    }
  });
  document.addEventListener("keyup", (event) => {
    if (pedalSince === null || event.code !== kept.get("pedal", "")) return;
    pedalSince = null;
    if (held === null) return;
    clearTimeout(held);
    held = null;
    act("done", event.timeStamp);
  });
  // A foot that is lifted elsewhere is not heard: nothing is taken back for that.
  addEventListener("blur", () => {
    clearTimeout(held);
    held = pedalSince = null;
  });
}

if (form) {
  // Turned otherwise than planned.
  const otherwise = () => document.getElementById("otherwise");
  Object.assign(atStand, {
    taken() {
      otherwise().open = false;
    },
    focus: () => (main() ?? document.querySelector("#due button"))?.focus({ preventScroll: true }),
    isIdle: () => !otherwise().open,
  });
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    act(event.submitter?.value ?? "done", event.timeStamp);
  });
  document.addEventListener("toggle", (event) => event.target === otherwise() && refresh(), true);
  startKeys();
  startSending();
}

// Niceties of every page. All that is done here by script can be done without it.
"use strict";

// A scanner types a label wherever the page is: it lands in the search field and nowhere else.
document.addEventListener("keydown", (event) => {
  const find = document.getElementById("find");
  const isFree = document.activeElement === document.body || document.activeElement === document.getElementById("main");
  const isLetter = event.key.length === 1 && /[a-z0-9]/i.test(event.key);
  if (find && isFree && isLetter && !event.ctrlKey && !event.metaKey && !event.altKey) find.focus();
});

// A form that was sent is not sent twice by an impatient finger.
document.addEventListener("submit", (event) => {
  const form = event.target;
  if (form.method !== "post" || form.dataset.live) return;
  if (form.dataset.sent) event.preventDefault();
  form.dataset.sent = "yes";
});
addEventListener("pageshow", () => {
  for (const form of document.forms) delete form.dataset.sent;
});

// A page that shows something live fetches its parts anew when the records tell of something new.
const live = document.querySelector("[data-live-from]");
if (live) {
  const source = new EventSource(live.dataset.liveFrom);
  // What was asked for earlier is older, whenever it comes.
  let asked = 0;
  source.addEventListener("news", async () => {
    const mine = (asked += 1);
    const answer = await fetch(location.href).catch(() => null);
    if (!answer || !answer.ok) return;
    const came = parsed(await answer.text());
    if (mine === asked) swapParts(came);
  });
}

// A page as it came, not shown yet.
const parsed = (html) => new DOMParser().parseFromString(html, "text/html");

// Puts the parts of a page that came in place of those that are shown; what is typed in stays.
function swapParts(came) {
  for (const part of document.querySelectorAll("[data-part]")) {
    const fresh = came.getElementById(part.id);
    if (!fresh) continue;
    if (part.open) fresh.open = true;
    part.replaceWith(document.adoptNode(fresh));
  }
}

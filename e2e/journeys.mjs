// Journeys of a builder at the truing stand, in a real browser. Each has a workshop of its own.
// node journeys.mjs PROGRAM PICTURES [JOURNEY…]

import assert from "node:assert/strict";
import { readFileSync, mkdirSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { photoFromAPhone } from "./photo.mjs";
import { launch, PHONE, TABLET, Workshop } from "./program.mjs";

const AXE = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const LEAST_TEXT_PX = 14;
const LEAST_TARGET_PX = 48;

const [program, pictures, ...only] = process.argv.slice(2);
mkdirSync(pictures, { recursive: true });
const browser = await launch();

// Readings that a light wheel might give, one for each spoke; halves, as gauges show them.
const reading = (spoke, tyred) => (22 + (spoke % 3) * 0.5 - (tyred ? 2 : 0)).toFixed(1);

async function open(workshop, kind, more = {}) {
  const context = await browser.newContext({ ...kind, ...more });
  const page = await context.newPage();
  page.setDefaultTimeout(15000);
  page.troubles = [];
  page.on("console", (message) => {
    if (message.type() === "error" && !/Failed to load resource|net::ERR/.test(message.text())) page.troubles.push(message.text());
  });
  page.on("pageerror", (error) => page.troubles.push(String(error)));
  page.on("request", (request) => {
    if (!request.url().startsWith(workshop.url) && !request.url().startsWith("data:")) page.troubles.push(`asks for ${request.url()}`);
  });
  await page.goto(workshop.url);
  return page;
}

const due = async (page) => (await page.locator("#due .which").innerText()).replace(/\s+/g, " ").trim();
const progress = async (page) => (await page.locator("#progress").innerText()).trim();
const waitFor = async (page, text) => {
  await page.waitForFunction((wanted) => document.getElementById("progress")?.textContent.trim() === wanted, text);
};

// A press that leads to a page, until that is there.
async function leads(page, button) {
  const there = page.waitForEvent("load");
  await page.click(button);
  await there;
}

// From the shelf, by keys alone, to a lap on a new wheel of twelve and twelve.
async function newWheelByKeys(page) {
  await tabTo(page, /New wheel|Take in a wheel/);
  await page.keyboard.press("Enter");
  await page.waitForURL(/wheels\/new/);
  await tabTo(page, /12 right, 12 left/);
  await page.keyboard.press("Enter");
  await page.waitForURL(/laps\//);
}

async function tabTo(page, words) {
  for (let step = 0; step < 80; step += 1) {
    await page.keyboard.press("Tab");
    const text = await page.evaluate(() => document.activeElement.matches("a, button") && document.activeElement.textContent);
    if (text && words.test(text)) return;
  }
  assert.fail(`no key leads to ${words}`);
}

async function lapByKeys(page, tyred, from = 1, to = 24) {
  for (let spoke = from; spoke <= to; spoke += 1) {
    await page.keyboard.type(reading(spoke, tyred));
    await page.keyboard.press("Enter");
    await waitFor(page, `${spoke} of 24`);
  }
}

const journeys = {
  async "survey bare and tyred by keyboard alone"(workshop) {
    const page = await open(workshop, TABLET, { hasTouch: false });
    await newWheelByKeys(page);
    assert.equal(await due(page), "1 right");
    await lapByKeys(page, false);
    assert.match(await due(page), /Every spoke/);
    await tabTo(page, /To the visit/);
    await page.keyboard.press("Enter");
    await page.waitForURL(/visits\//);
    await tabTo(page, /Lap, tyre on/);
    await page.keyboard.press("Enter");
    await page.waitForURL(/laps\//);
    await lapByKeys(page, true);
    assert.match(await page.locator("#picture").innerText(), /pressure is not noted/);
    return page;
  },

  async "survey bare and tyred by touch"(workshop) {
    const page = await open(workshop, PHONE);
    await page.tap("text=Take in a wheel");
    await page.tap("button:has-text('12 right, 12 left')");
    for (const tyred of [false, true]) {
      await page.waitForURL(/laps\//);
      for (let spoke = 1; spoke <= 24; spoke += 1) {
        await page.tap("#raw");
        await page.locator("#raw").pressSequentially(reading(spoke, tyred));
        await page.tap("#take .big button");
        await waitFor(page, `${spoke} of 24`);
      }
      if (!tyred) {
        await page.tap("#due a");
        await page.waitForURL(/visits\//);
        await page.tap("button:has-text('Lap, tyre on')");
      }
    }
    return page;
  },

  async "two taps from cold to the first reading"(workshop) {
    const first = await open(workshop, TABLET);
    await newWheelByKeys(first);
    const page = await open(workshop, TABLET);
    await page.tap("button:has-text('Lap, bare')");
    await page.waitForURL(/laps\//);
    await page.keyboard.type("22.5");
    await page.keyboard.press("Enter");
    await waitFor(page, "1 of 24");
    return page;
  },

  async "refresh, and the program killed in the middle"(workshop) {
    const page = await open(workshop, TABLET);
    await newWheelByKeys(page);
    await lapByKeys(page, false, 1, 5);
    await page.reload();
    assert.equal(await due(page), "6 left");
    await workshop.kill();
    await page.keyboard.type("23.5");
    await page.keyboard.press("Enter");
    await page.waitForFunction(() => /No answer/.test(document.getElementById("said").textContent));
    await workshop.start();
    await waitFor(page, "6 of 24");
    await workshop.kill();
    await workshop.start();
    await page.reload();
    assert.equal(await progress(page), "6 of 24");
    assert.equal(await due(page), "7 right");
    await lapByKeys(page, false, 7, 9);
    return page;
  },

  async "two browsers on one wheel"(workshop) {
    const one = await open(workshop, TABLET);
    await newWheelByKeys(one);
    const other = await open(workshop, PHONE);
    await other.goto(one.url());
    await other.waitForSelector("#take[data-stream=open]");
    const from = performance.now();
    await one.keyboard.type("22.5");
    await one.keyboard.press("Enter");
    await waitFor(other, "1 of 24");
    console.log(`the other browser shows a reading after ${Math.round(performance.now() - from)} ms`);
    // Both hands on spoke 2: the second one is told, and nothing is overwritten.
    await other.locator("#raw").pressSequentially("30");
    await one.keyboard.type("23.0");
    await one.keyboard.press("Enter");
    await waitFor(one, "2 of 24");
    await other.keyboard.press("Enter");
    await other.waitForSelector("#said[data-outcome=collision]");
    assert.match(await other.locator("#said").innerText(), /23\.0.*30/s);
    await other.reload();
    assert.equal(await progress(other), "2 of 24");
    // What was written while something was typed here is shown as soon as the hand is free.
    await other.waitForSelector("#take[data-stream=open]");
    await other.locator("#raw").pressSequentially("9");
    await one.keyboard.type("22.0");
    await one.keyboard.press("Enter");
    await waitFor(one, "3 of 24");
    await other.keyboard.press("Escape");
    await waitFor(other, "3 of 24");
    return other;
  },

  async "decimal comma, wrong keyboard, two at once"(workshop) {
    const page = await open(workshop, TABLET);
    await newWheelByKeys(page);
    const asked = async (typed, says) => {
      await page.locator("#raw").fill(typed);
      await page.keyboard.press("Enter");
      await page.waitForFunction((says) => new RegExp(says).test(document.getElementById("said").textContent), says.source);
      assert.equal(await progress(page), "0 of 24");
    };
    await asked("22.522.5", /run together/);
    await asked("1,250", /group thousands/);
    await asked("éé;(", /another layout/);
    await page.click("button:has-text('Take it as 22.5')");
    await waitFor(page, "1 of 24");
    await page.keyboard.type("22,5");
    await page.keyboard.press("Enter");
    await waitFor(page, "2 of 24");
    assert.match(await page.locator("#said").innerText(), /decimal point/);
    // Focus is somewhere else: the digits land in the field all the same.
    await page.evaluate(() => document.activeElement.blur());
    await page.keyboard.type("23.5");
    await page.keyboard.press("Enter");
    await waitFor(page, "3 of 24");
    return page;
  },

  async "undo, again and skip on one key"(workshop) {
    const page = await open(workshop, TABLET);
    await newWheelByKeys(page);
    await lapByKeys(page, false, 1, 3);
    await page.keyboard.press("/");
    await waitFor(page, "2 of 24");
    assert.equal(await due(page), "3 right");
    await page.keyboard.type("22.0");
    await page.keyboard.press("Enter");
    await waitFor(page, "3 of 24");
    await page.keyboard.press("*");
    await page.waitForFunction(() => /3\s*right\s*again/.test(document.getElementById("due").innerText));
    await page.keyboard.type("24.0");
    await page.keyboard.press("Enter");
    await page.waitForFunction(() => /24\.0/.test(document.getElementById("said").innerText));
    await page.keyboard.type("+");
    await page.keyboard.press("Enter");
    await page.waitForFunction(() => /5\s*right/.test(document.getElementById("due").innerText));
    assert.equal(await progress(page), "3 of 24");
    return page;
  },

  async "a foot switch is taught"(workshop) {
    const page = await open(workshop, TABLET);
    await newWheelByKeys(page);
    await page.click("#teach");
    await page.keyboard.press("b");
    await page.keyboard.type("22.5");
    await page.keyboard.press("b");
    await waitFor(page, "1 of 24");
    await page.reload();
    await page.keyboard.type("23.0");
    await page.keyboard.press("b");
    await waitFor(page, "2 of 24");
    assert.match(await page.locator("#no-voice").innerText(), /no voice of its own/);
    // What belongs to the device is the same on the page of the settings.
    await page.goto(`${workshop.url}/settings`);
    assert.match(await page.locator("#teach").innerText(), /Pedal: KeyB/);
    // A key that types readings is refused, and that is said here too.
    for (const [key, why] of [["5", /types readings/], ["/", /undoes/], ["+", /passes over/], ["Tab", /moves about/], ["Control", /another key/]]) {
      await page.click("#teach");
      await page.keyboard.press(key);
      assert.match(await page.locator("#refused").innerText(), why);
      assert.match(await page.locator("#refused").innerText(), /cannot be the pedal/);
      assert.match(await page.locator("#teach").innerText(), /Pedal: KeyB/);
    }
    await page.click("#sound-toggle");
    await page.goBack();
    assert.equal(await page.getAttribute("#sound-toggle", "aria-pressed"), "false");
    return page;
  },

  async "without script"(workshop) {
    const page = await open(workshop, TABLET, { javaScriptEnabled: false });
    await page.click("text=Take in a wheel");
    await page.click("button:has-text('12 right, 12 left')");
    for (const typed of ["22.5", "23,0", "22.0"]) {
      await page.fill("#raw", typed);
      await page.press("#raw", "Enter");
    }
    assert.equal(await progress(page), "3 of 24");
    await page.click("button[value=undo]");
    assert.equal(await progress(page), "2 of 24");
    await page.fill("#raw", "+");
    await page.press("#raw", "Enter");
    assert.equal(await due(page), "4 left");
    await page.fill("#raw", "éé;(");
    await page.press("#raw", "Enter");
    await page.click("button:has-text('Take it as 22.5')");
    assert.equal(await progress(page), "3 of 24");
    return page;
  },

  async "a lap typed in from paper"(workshop) {
    const page = await open(workshop, TABLET);
    await newWheelByKeys(page);
    await page.goto(`${page.url()}/typed`);
    await page.focus("#spoke-1");
    for (let spoke = 1; spoke <= 24; spoke += 1) {
      await page.keyboard.type(spoke === 5 ? "2x" : reading(spoke, false));
      await page.keyboard.press(spoke === 24 ? "Enter" : "Tab");
    }
    await page.waitForSelector("[role=alert]");
    await page.fill("#spoke-5", "22.5");
    await page.press("#spoke-5", "Enter");
    await waitFor(page, "24 of 24");
    return page;
  },

  async "a scanned label opens its wheel"(workshop) {
    const page = await open(workshop, TABLET);
    await newWheelByKeys(page);
    const label = await page.locator(".top .label").innerText();
    await page.goto(workshop.url);
    await page.keyboard.type(label.toLowerCase());
    await page.keyboard.press("Enter");
    await page.waitForURL(new RegExp(`/wheels/${label}`));
    // Scanned into the middle of a lap, it is no reading, and leads to its wheel all the same.
    await page.click("button:has-text('Lap, bare')");
    await page.waitForURL(/laps\//);
    await page.keyboard.type(`${label}\n`);
    await page.waitForSelector("#said[data-outcome=asked]");
    assert.match(await page.locator("#said").innerText(), /label of a wheel/);
    assert.equal(await progress(page), "0 of 24");
    await page.click(`#said >> text=Open ${label}`);
    await page.waitForURL(new RegExp(`/wheels/${label}`));
    return page;
  },

  async "a gauge that types like a keyboard"(workshop) {
    const page = await open(workshop, TABLET);
    await newWheelByKeys(page);
    // As it comes over the cable, sign, eight characters and Enter, faster than any answer; then one on the heels
    // of another.
    await page.keyboard.type("+00022.50\n");
    await waitFor(page, "1 of 24");
    await page.keyboard.type("+00023.00\n+00022.00\n");
    await waitFor(page, "3 of 24");
    assert.match(await page.locator("#said").innerText(), /3 right: \+00022\.00/);
    await page.keyboard.type("+0022.50 mm\n");
    await page.waitForSelector("#said[data-outcome=asked]");
    await page.click("button:has-text('Take it as 22.5')");
    await waitFor(page, "4 of 24");
    return page;
  },

  async "answers that come late, a page started anew, and a refusal"(workshop) {
    const page = await open(workshop, TABLET);
    await newWheelByKeys(page);
    // The head of an answer comes, and its body later: what is sent meanwhile waits for the page.
    await page.addInitScript(() => {
      const text = Response.prototype.text;
      Response.prototype.text = async function later() {
        const words = await text.call(this);
        await new Promise((go) => setTimeout(go, 400));
        return words;
      };
    });
    await page.reload();
    await page.keyboard.type("22.5\n22.5\n23.0\n");
    await waitFor(page, "3 of 24");
    assert.equal(await due(page), "4 left");
    // Started anew while one is under way and one waits.
    await page.keyboard.type("24.0\n24.5\n");
    await page.reload();
    await waitFor(page, "5 of 24");
    assert.equal(await due(page), "6 left");
    // A refusal is told with all that was typed after it, and nothing changes places.
    let answer;
    const isTyped = new Promise((go) => { answer = go; });
    await page.route(/\/laps\//, async (route) => {
      if (route.request().method() !== "POST") return route.continue();
      await isTyped;
      return route.fulfill({ status: 500, contentType: "text/html", body: "<!doctype html><main>The disk is full.</main>" });
    });
    await page.keyboard.type("25.0\n25.5\n");
    answer();
    await page.waitForFunction(() => /disk is full.*Not taken: “25\.0”.*not taken: 25\.5/s.test(document.getElementById("said").textContent));
    assert.equal(await page.inputValue("#raw"), "25.0");
    await page.unroute(/\/laps\//);
    await page.keyboard.press("Enter");
    await waitFor(page, "6 of 24");
    assert.equal(await due(page), "7 right");
    await page.keyboard.type("25.5\n");
    await waitFor(page, "7 of 24");
    const places = await page.locator("#places a").evaluateAll((all) => all.slice(0, 7).map((one) => one.textContent.match(/[\d.]+$/)[0]));
    assert.deepEqual(places, ["22.5", "22.5", "23.0", "24.0", "24.5", "25.0", "25.5"]);
    return page;
  },

  async "limits and claims entered, a report issued and opened"(workshop) {
    const page = await open(workshop, TABLET);
    await page.click("text=Fill in the demo workshop");
    await page.click(".shelf .name >> text=/rear/i >> nth=0");
    await page.waitForURL(/wheels\//);
    const wheel = page.url();
    const limit = async (value) => {
      await page.click("summary:has-text('Note a limit')");
      await page.fill("#limit-value", value);
      await page.fill("#limit-source", "sticker on the rim, read in the harbour’s light");
      await leads(page, "button:has-text('Note the limit')");
    };
    await limit("125 kg");
    assert.match(await page.locator("main").innerText(), /is kgf meant/);
    await page.goto(wheel);
    await limit("118 kgf");
    assert.match(await page.locator("main").innerText(), /118 kgf/);
    // What was misread is corrected where it stands, with a reason.
    await page.click("tr:has-text('118 kgf') summary:has-text('Correct')");
    await page.fill("tr details[open] input[name=value]", "116 kgf");
    await page.fill("tr details[open] input[name=why]", "misread in the harbour’s light");
    await page.click("tr details[open] button:has-text('Write it so')");
    await page.waitForSelector("td:has-text('116 kgf')");
    assert.doesNotMatch(await page.locator("main").innerText(), /118 kgf/);
    await page.click("summary:has-text('Note a claim')");
    await page.fill("#claim-text", "loses at most 11 % with a tyre on");
    await page.fill("#claim-number", "11,0");
    await page.fill("#claim-source", "hang tag");
    await page.click("button:has-text('Note the claim')");
    await page.waitForSelector("main ul li:has-text('hang tag')");
    await page.click(".shelf .name a >> nth=0");
    await page.waitForURL(/visits\//);
    await page.click("text=Verdict");
    const verdict = await page.locator("main").innerText();
    assert.match(verdict, /116 kgf/);
    assert.match(verdict, /loses at most 11 % with a tyre on/);
    assert.match(verdict, /Against the shop’s class/);
    await page.click("button:has-text('Issue it')");
    await page.waitForURL(/visits\/[^/]+$/);
    await page.click("h2:has-text('Reports issued') + ul a >> nth=-1");
    await page.waitForURL(/issued\//);
    assert.match(await page.locator("body").innerText(), /Signature/);
    assert.equal(await page.locator("script").count(), 0);
    await page.goBack();
    return page;
  },

  async "a gauge is on its rod by one tap from the shelf"(workshop) {
    await workshop.end(false);
    await workshop.start("Etc/GMT+12");
    const page = await open(workshop, TABLET);
    await page.goto(`${workshop.url}/bench`);
    for (const [field, value] of [["label", "G7"], ["resolution", "0.5"], ["repeatability", "0.25"]]) await page.fill(`#${field}`, value);
    await page.click("text=Take it in");
    await page.waitForURL(/gauges\//);
    await page.goto(workshop.url);
    await page.click("text=Its first check");
    for (const [field, value] of [["reading", "20.1"], ["expected", "20"], ["tolerance", "0.5"]]) await page.fill(`#${field}`, value);
    await page.click("text=Note the check");
    await page.waitForSelector(".note:has-text('good')");
    await page.goto(workshop.url);
    assert.equal(await page.locator("text=has not been on its rod today").count(), 0);
    // The next day, at the other end of the calendar.
    await workshop.end(false);
    await workshop.start("Etc/GMT-14");
    await page.goto(workshop.url);
    await page.tap("button:has-text('G7 shows 20 on its rod')");
    await page.waitForFunction(() => !/has not been on its rod today/.test(document.body.innerText));
    return page;
  },

  async "a gauge that drifts is asked about"(workshop) {
    const page = await open(workshop, TABLET);
    await page.goto(`${workshop.url}/bench`);
    for (const [field, value] of [["label", "G7"], ["resolution", "0.1"], ["repeatability", "0.1"]]) await page.fill(`#${field}`, value);
    await page.click("text=Take it in");
    await page.waitForURL(/gauges\//);
    for (const read of ["20.0", "19.9", "20.1", "20.2", "20.3", "20.4", "20.5"]) {
      for (const [field, value] of [["reading", read], ["expected", "20"], ["tolerance", "0.6"]]) await page.fill(`#${field}`, value);
      await leads(page, "text=Note the check");
    }
    assert.match(await page.locator("main").innerText(), /each read higher than the one before/);
    assert.match(await page.locator("main").innerText(), /20 ± 0.6 divisions, written down by/);
    await page.screenshot({ path: join(pictures, "gauge-drifting.png"), fullPage: true });
    return page;
  },

  async "a lap at the page of an old visit is asked about"(workshop) {
    await workshop.end(false);
    await workshop.start("Etc/GMT+12");
    const page = await open(workshop, TABLET);
    await newWheelByKeys(page);
    await lapByKeys(page, false, 1, 2);
    await page.click("text=To the visit");
    await page.waitForURL(/visits\//);
    const old = page.url();
    await workshop.end(false);
    await workshop.start("Etc/GMT-14");
    await page.goto(old);
    await page.tap("button:has-text('Lap, tyre on')");
    await page.waitForSelector("h1:has-text('Into which visit?')");
    await audited(page, "which visit, tablet, light");
    page.troubles = page.troubles.filter((one) => !/Applying inline style/.test(one)); // the auditor's own
    await page.screenshot({ path: join(pictures, "which-visit.png"), fullPage: true });
    await page.tap("button:has-text('Into a visit of today')");
    await page.waitForURL(/laps\//);
    await page.click("text=To the visit");
    await page.waitForURL(/visits\//);
    assert.notEqual(page.url(), old);
    await page.goto(old);
    await page.tap("button:has-text('Lap, tyre on')");
    await page.tap("button:has-text('Into the visit of')");
    await page.waitForURL(/laps\//);
    await page.click("text=To the visit");
    await page.waitForURL(/visits\//);
    assert.equal(page.url(), old);
    assert.equal(await page.locator("#laps li").count(), 2);
    return page;
  },

  async "build sheet and what it bears, without script"(workshop) {
    const page = await open(workshop, TABLET, { javaScriptEnabled: false });
    await page.click("text=Fill in the demo workshop");
    await page.click(".shelf .name >> text=/rear/i >> nth=0");
    const wheel = page.url();
    await page.click("text=Build sheet");
    assert.match(await page.locator("main").innerText(), /What to order/i);
    await page.fill("#step", "2");
    await page.fill("#spares", "20");
    await page.click("text=Ask so");
    assert.match(await page.locator("main").innerText(), /in steps of 2 mm/);
    await page.fill("#step", "a few");
    await page.click("text=Ask so");
    assert.match(await page.locator("main").innerText(), /Step of lengths/);
    await page.goto(wheel);
    await page.click("text=What it bears");
    await page.fill("#kg", "110");
    await page.fill("#lateral", "80");
    await page.click("text=Ask so");
    const says = await page.locator("main").innerText();
    assert.match(says, /110 kg of rider and bicycle/);
    assert.match(says, /to the side as asked/);
    return page;
  },

  async "a round of truing by pedal, and what came of it"(workshop) {
    const page = await open(workshop, TABLET);
    await planDemoRound(page);
    await page.screenshot({ path: join(pictures, "round-planned.png"), fullPage: true });
    const round = page.url();
    const count = Number((await page.locator("a.main").innerText()).match(/0 of (\d+)/)[1]);
    assert.ok(3 < count, `${count} turns`);
    await page.click("a.main");
    await page.waitForURL(/work$/);
    await page.click("#teach");
    await page.keyboard.press("b");
    const done = (number) => waitFor(page, `${number} of ${count}`);
    // A foot is not quicker than a hand that goes to the next nipple.
    const pedal = async (number) => {
      await page.keyboard.press("b");
      await done(number);
      const from = await page.evaluate(() => performance.now());
      await page.waitForFunction((from) => performance.now() - from > 750, from);
    };
    await page.evaluate(() => scrollTo(0, 0));
    await page.screenshot({ path: join(pictures, "round-at-work.png") });
    const first = await due(page);
    // A pedal that bounces says it once, however slow this machine is.
    await page.evaluate(() => {
      for (const kind of ["keydown", "keyup", "keydown", "keyup"]) document.body.dispatchEvent(new KeyboardEvent(kind, { code: "KeyB", bubbles: true, cancelable: true }));
    });
    await done(1);
    await page.waitForFunction((from) => performance.now() - from > 750, await page.evaluate(() => performance.now()));
    assert.equal(await progress(page), `1 of ${count}`);
    assert.notEqual(await due(page), first);
    await page.keyboard.press("/");
    await done(0);
    assert.equal(await due(page), first);
    await pedal(1);
    await pedal(2);
    // Held down, the pedal takes the last one back.
    await page.keyboard.down("b");
    await done(1);
    await page.keyboard.up("b");
    await page.keyboard.press("+");
    await done(2);
    assert.match(await page.locator(".work").innerText(), /passed over/);
    await page.reload();
    assert.equal(await progress(page), `2 of ${count}`);
    await workshop.kill();
    await workshop.start();
    await page.reload();
    assert.equal(await progress(page), `2 of ${count}`);
    await page.click("summary:has-text('Turned otherwise')");
    await page.fill("#steps", "-1");
    await page.click("text=Turned so");
    await done(3);
    assert.match(await page.locator(".work").innerText(), /≠ loosened 1\/8/);
    // Enter held down says it once, and the hand that lies on it marks no other nipple.
    await page.waitForFunction((from) => performance.now() - from > 750, await page.evaluate(() => performance.now()));
    await page.keyboard.down("Enter");
    await done(4);
    for (let time = 0; time < 4; time += 1) {
      await page.waitForFunction((from) => performance.now() - from > 250, await page.evaluate(() => performance.now()));
      await page.keyboard.down("Enter");
    }
    await page.keyboard.up("Enter");
    assert.equal(await progress(page), `4 of ${count}`);
    for (let number = 5; number <= count; number += 1) await pedal(number);
    assert.match(await due(page), /Every nipple of this round is done/);
    await page.screenshot({ path: join(pictures, "round-done.png"), fullPage: true });
    await page.click("text=Next lap, bare");
    await page.waitForURL(/laps\//);
    for (let spoke = 1; spoke <= 32; spoke += 1) {
      await page.keyboard.type(spoke % 2 ? "28.5" : "34.0");
      await page.keyboard.press("Enter");
      await waitFor(page, `${spoke} of 32`);
    }
    await page.click("text=To the visit");
    await page.waitForURL(/visits\//);
    await page.click("text=Plan a round of truing");
    assert.match(await page.locator("main").innerText(), /Remembered with what was turned after them/);
    await page.click("button:has-text('Plan the round')");
    await page.waitForURL(/rounds\//);
    const says = await page.locator("main").innerText();
    assert.match(says, /What the last round had led to expect, and what was found/);
    assert.match(says, /Tension expected and found/);
    await page.screenshot({ path: join(pictures, "round-came-of.png"), fullPage: true });
    // By the old plan nobody turns any more.
    await page.goto(round);
    assert.match(await page.locator("main").innerText(), /read again after this round/);
    return page;
  },

  async "a round of truing without script"(workshop) {
    const page = await open(workshop, TABLET, { javaScriptEnabled: false });
    await planDemoRound(page);
    await page.click("a.main");
    const count = (await progress(page)).split(" of ")[1];
    await page.click("button:has-text('Done')");
    assert.equal(await progress(page), `1 of ${count}`);
    await page.click("button:has-text('Pass over')");
    assert.equal(await progress(page), `2 of ${count}`);
    await page.click("button:has-text('Undo')");
    assert.equal(await progress(page), `1 of ${count}`);
    await page.click("summary:has-text('Turned otherwise')");
    await page.fill("#steps", "a few");
    await page.click("text=Turned so");
    assert.match(await page.locator("main").innerText(), /no whole number/);
    return page;
  },

  async "a gauge, its rod check and a calibration on the rig"(workshop) {
    const page = await open(workshop, TABLET);
    await page.click("nav >> text=Bench");
    for (const [field, value] of [["label", "G7"], ["resolution", "0,5"], ["repeatability", "0.25"]]) await page.fill(`#${field}`, value);
    await page.click("text=Take it in");
    await page.waitForURL(/gauges\//);
    for (const [read, says] of [["20.0", /good/], ["23", /off by more/]]) {
      for (const [field, value] of [["reading", read], ["expected", "20"], ["tolerance", "0.5"]]) await page.fill(`#${field}`, value);
      await leads(page, "text=Note the check");
      assert.match(await page.locator("main").innerText(), says);
    }
    await page.click("button:has-text('G7 shows 20 on its rod')");
    await page.waitForSelector(".note:has-text('good')");
    await page.fill("#kind", "plain");
    await page.click("button:has-text('Begin')");
    await page.waitForURL(/calibrations\//);
    await page.waitForFunction(() => document.activeElement?.id === "force");
    const points = [[60, "16.5"], [80, "19.0"], [100, "21"], [110, "22.0"], [120, "23,0"], [140, "24.5"], [160, "26.0"]];
    for (const [force, shown] of points) {
      await page.keyboard.type(String(force));
      await page.keyboard.press("Tab");
      await page.keyboard.type(shown);
      await page.keyboard.press("Enter");
      // The next page has the point, and its first field waits for the next.
      await page.waitForFunction(
        (count) => document.querySelectorAll("main ol li").length === count && document.activeElement?.id === "force",
        points.findIndex(([of]) => of === force) + 1,
      );
    }
    assert.match(await page.locator("main").innerText(), /Curve: .*from 16.5 to 26/);
    return page;
  },

  async "a photo of a finding"(workshop) {
    const page = await open(workshop, TABLET);
    await newWheelByKeys(page);
    await page.click("text=To the visit");
    await page.fill("#caption", "whitening at hole 7");
    await page.setInputFiles("#photo", { name: "IMG_1.JPG", mimeType: "image/jpeg", buffer: await photoFromAPhone(browser) });
    await page.click("text=Keep the photo");
    const photo = page.locator(".photos img");
    await photo.waitFor();
    const [width, height] = await photo.evaluate(async (image) => {
      await image.decode();
      return [image.naturalWidth, image.naturalHeight];
    });
    assert.ok(height > width, "the photo stands upright");
    const bytes = await page.evaluate(async (address) => {
      const answer = await fetch(address);
      return String.fromCharCode(...new Uint8Array(await answer.arrayBuffer()));
    }, await photo.getAttribute("src"));
    assert.ok(!bytes.includes("Exif"), "the photo tells no place");
    return page;
  },

  async "the demo comes, is marked on every page, and goes"(workshop) {
    const page = await open(workshop, TABLET);
    await page.click("text=Fill in the demo workshop");
    await page.waitForSelector(".shelf li");
    for (const words of ["Settings", "Shelf"]) {
      await page.click(`nav >> text=${words}`);
      await page.waitForSelector(".demo");
    }
    await everyPage(page, workshop);
    await page.goto(workshop.url);
    await page.click("text=Remove the demo");
    await page.waitForSelector("text=Nothing is written down here yet");
    assert.equal(await page.locator(".demo").count(), 0);
    return page;
  },
};

// From the shelf to a plan of few nipples for the wheel of the demo whose structure is known.
async function planDemoRound(page) {
  const fill = page.locator("text=Fill in the demo workshop");
  if (await fill.count()) await fill.click();
  await page.click(".shelf li:has-text('tandem') p a");
  await page.waitForURL(/visits\//);
  await page.click("text=Plan a round of truing");
  await page.click("summary:has-text('Otherwise than usual')");
  await page.fill("#at_most", "6");
  await page.click("button:has-text('Plan the round')");
  await page.waitForURL(/rounds\//);
}

// Every page of the demo workshop: audited, measured, and photographed in both sizes and both lights.
async function everyPage(page, workshop) {
  const wheels = await page.locator(".shelf .name a").evaluateAll((all) => all.map((a) => a.getAttribute("href")));
  const visits = await page.locator(".shelf p a").evaluateAll((all) => all.map((a) => a.getAttribute("href")));
  await page.goto(workshop.url + visits[0]);
  const laps = await page.locator("#laps a").evaluateAll((all) => all.map((a) => a.getAttribute("href")));
  const label = wheels[0];
  await page.goto(`${workshop.url}/bench`);
  const gauge = await page.locator(".shelf .name a").first().getAttribute("href");
  await page.goto(workshop.url + gauge);
  const calibration = await page.locator(".shelf .name a").first().getAttribute("href");
  await page.goto(workshop.url);
  await planDemoRound(page);
  const round = new URL(page.url()).pathname;
  const planned = await page.locator("a:has-text('Plan otherwise')").getAttribute("href");
  await page.goto(workshop.url);
  await page.click("button:has-text('Lap, bare') >> nth=0");
  await page.waitForURL(/laps\//);
  const fresh = new URL(page.url()).pathname;
  for (const [place, typed] of ["22.5", "23.0", "24.5", "22.0", "23.5", "22.5", "23.0"].entries()) {
    await page.keyboard.type(typed);
    await page.keyboard.press("Enter");
    await page.waitForFunction((taken) => document.getElementById("progress").textContent.startsWith(`${taken} of`), place + 1);
  }
  const pages = {
    shelf: "/", "new-wheel": "/wheels/new", wheel: label, paper: `${label}/paper`, visit: visits[0], verdict: `${visits[0]}/verdict`,
    lap: fresh, "lap-whole": laps[0], "lap-runout": laps[2], "lap-about": `${fresh}/about`, "lap-typed": `${fresh}/typed`,
    "round-asked": planned, round, "round-work": `${round}/work`,
    nipple: `${label}/nipple?spoke=7`, build: `${label}/build`, bears: `${label}/bears`, bench: "/bench", gauge, calibration,
    settings: "/settings", found: "/find?wanted=rear", "not-there": "/nowhere",
  };
  // One browser for each size and light, side by side: what pages load is loaded once.
  const views = Object.entries({ tablet: TABLET, phone: PHONE }).flatMap(([size, kind]) => ["light", "dark"].map((light) => ({ size, kind, light })));
  await Promise.all(views.map(async ({ size, kind, light }) => {
    const context = await browser.newContext({ ...kind, colorScheme: light });
    const view = await context.newPage();
    for (const [name, path] of Object.entries(pages)) {
      await view.goto(workshop.url + path);
      await view.evaluate(() => document.fonts.ready);
      await audited(view, `${name}, ${size}, ${light}`);
      await view.screenshot({ path: join(pictures, `${name}-${size}-${light}.png`), fullPage: name !== "lap" && name !== "round-work" });
    }
    await context.close();
  }));
}

async function audited(page, where) {
  await page.evaluate(AXE);
  const { violations } = await page.evaluate(() => window.axe.run());
  const told = violations.map(({ id, help, nodes }) => `${id}: ${help} (${nodes.length}, first ${nodes[0].target.join(" ")})`);
  assert.deepEqual(told, [], where);
  const wide = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
  assert.ok(wide <= 0, `${where}: ${wide} px wider than the screen`);
  assert.deepEqual(await page.evaluate(smallTargets, LEAST_TARGET_PX), [], `${where}: targets`);
  if (where.includes("tablet")) assert.deepEqual(await page.evaluate(smallTexts, LEAST_TEXT_PX), [], `${where}: text`);
}

// What a thumb is to hit and is smaller than `least`; links within a sentence are read, not hit. Runs in the page.
function smallTargets(least) {
  const small = [];
  for (const element of document.querySelectorAll("button, .button, input:not([type=hidden]), select, textarea, summary, nav a")) {
    if (!element.checkVisibility() || element.closest(".skip")) continue;
    const { width, height } = element.getBoundingClientRect();
    if (width + 0.5 < least || height + 0.5 < least) small.push(`${Math.round(width)} by ${Math.round(height)}: ${element.outerHTML.slice(0, 80)}`);
  }
  return small.slice(0, 5);
}

// Texts in letters smaller than `least`; runs in the page.
function smallTexts(least) {
  const small = new Set();
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const element = walker.currentNode.parentElement;
    const text = walker.currentNode.data.trim();
    if (!text || !element.checkVisibility() || element.closest("title, desc, style, script")) continue;
    const drawn = element instanceof SVGGraphicsElement;
    if (drawn && !element.getClientRects().length) continue;
    const matrix = drawn ? element.getScreenCTM() : null;
    const size = parseFloat(getComputedStyle(element).fontSize) * (matrix ? Math.hypot(matrix.c, matrix.d) : 1);
    if (size < least - 0.05) small.add(`${size.toFixed(1)} px "${text.slice(0, 30)}"`);
  }
  return [...small].slice(0, 5);
}

let failed = 0;
for (const [name, journey] of Object.entries(journeys)) {
  if (only.length && !only.some((word) => name.includes(word))) continue;
  const workshop = await new Workshop(program).start();
  const started = Date.now();
  let page;
  try {
    page = await journey(workshop);
    assert.deepEqual(page.troubles, []);
    console.log(`well: ${name} (${((Date.now() - started) / 1000).toFixed(1)} s)`);
  } catch (error) {
    failed += 1;
    console.log(`NOT WELL: ${name}: ${error.stack}`);
  }
  for (const context of browser.contexts()) {
    const [last] = context.pages();
    if (last && (failed || page === last)) await last.screenshot({ path: join(pictures, `end of ${name}.png`) }).catch(() => {});
    await context.close();
  }
  const how = await workshop.end();
  if (how !== 0) {
    failed += 1;
    console.log(`NOT WELL: ${name}: the program ended with ${how}`);
  }
}
await browser.close();
console.log(failed ? `${failed} journeys not well` : "every journey well");
process.exitCode = failed ? 1 : 0;

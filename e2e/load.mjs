// Eight browsers' worth of clients enter readings as fast as they can.
// node load.mjs PROGRAM [SECONDS] [FOLDER of a large ledger]
// Prints what a person waits for; decides nothing by the clock, but fails when a reading is lost.

import { mkdtempSync, openSync, writeSync, fsyncSync, closeSync, readFileSync, rmSync } from "node:fs";
import { Agent, request } from "node:http";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { Workshop } from "./program.mjs";

const CLIENTS = 8;
const SPOKES = 24;
const [program, seconds = "60", folder] = process.argv.slice(2);
const workshop = new Workshop(program);
const own = workshop.folder;
if (folder) workshop.folder = folder;

const from = performance.now();
await workshop.start();
await send(new Agent(), "GET", "/");
const firstPage = performance.now() - from;
console.log(`first page after start: ${firstPage.toFixed(0)} ms, memory ${memory()}`);

// One request; its status, headers and text.
function send(agent, method, path, fields, cookie) {
  const body = fields ? new URLSearchParams(fields).toString() : "";
  const headers = { Host: new URL(workshop.url).host, ...(cookie && { Cookie: cookie }) };
  if (method === "POST") {
    Object.assign(headers, { Origin: workshop.url, "Content-Type": "application/x-www-form-urlencoded", "Content-Length": body.length });
  }
  return new Promise((resolve, reject) => {
    const asked = request(workshop.url + path, { agent, method, headers }, (answer) => {
      let text = "";
      answer.on("data", (part) => (text += part));
      answer.on("end", () => resolve({ status: answer.statusCode, headers: answer.headers, text }));
    });
    asked.on("error", reject);
    asked.end(body);
  });
}

const waits = [];
const shown = [];
let acknowledged = 0;
const laps = [];

async function client(until) {
  const agent = new Agent({ keepAlive: true, maxSockets: 1 });
  const page = await send(agent, "GET", "/wheels/new");
  const cookie = page.headers["set-cookie"][0].split(";")[0];
  const hand = (await send(agent, "GET", "/wheels/new", null, cookie)).text.match(/name="hand" value="(\w+)"/)[1];
  let lap = null;
  let entry = "";
  let number = SPOKES;
  while (performance.now() < until) {
    if (number === SPOKES) {
      const begun = await send(agent, "POST", "/wheels", { hand, spokes: "12,12", name: "load" }, cookie);
      lap = { path: begun.headers.location, taken: 0 };
      laps.push(lap);
      number = 0;
      entry = fresh((await send(agent, "GET", lap.path, null, cookie)).text);
    }
    number += 1;
    const raw = (20 + Math.random() * 5).toFixed(1);
    const before = performance.now();
    const { status } = await send(agent, "POST", lap.path, { hand, entry, number, raw }, cookie);
    waits.push(performance.now() - before);
    if (status !== 303) throw new Error(`${lap.path}, place ${number}: ${status}`);
    lap.taken += 1;
    acknowledged += 1;
    // As a browser does: the page as it is now, with the form for the next reading.
    entry = fresh((await send(agent, "GET", lap.path, null, cookie)).text);
    shown.push(performance.now() - before);
  }
  agent.destroy();
}

// The id of the entry that a page's form will make.
function fresh(page) {
  return page.match(/name="entry" value="([\w-]+)"/)[1];
}

function memory() {
  const status = readFileSync(`/proc/${workshop.child.pid}/status`, "utf8");
  return `${(Number(status.match(/VmRSS:\s+(\d+)/)[1]) / 1024).toFixed(0)} MB`;
}

// What one flush of this disk takes, since every acknowledged reading waited for one.
function flush() {
  const place = mkdtempSync(join(tmpdir(), "flush-"));
  const file = openSync(join(place, "x"), "w");
  const took = [];
  for (let round = 0; round < 200; round += 1) {
    const before = performance.now();
    writeSync(file, "x".repeat(4096));
    fsyncSync(file);
    took.push(performance.now() - before);
  }
  closeSync(file);
  rmSync(place, { recursive: true });
  return took;
}

const share = (of, part) => [...of].sort((a, b) => a - b)[Math.floor((of.length - 1) * part)].toFixed(1);

const until = performance.now() + Number(seconds) * 1000;
await Promise.all(Array.from({ length: CLIENTS }, () => client(until)));
console.log(`${CLIENTS} clients, ${seconds} s: ${acknowledged} readings; from post to acknowledged: median ${share(waits, 0.5)} ms, 99 of 100 within ${share(waits, 0.99)} ms, longest ${share(waits, 1)} ms`);
console.log(`from post to the page with it: median ${share(shown, 0.5)} ms, 99 of 100 within ${share(shown, 0.99)} ms`);
const flushes = flush();
console.log(`a flush of this disk: median ${share(flushes, 0.5)} ms, 99 of 100 within ${share(flushes, 0.99)} ms`);
console.log(`memory ${memory()}`);

await workshop.kill();
await workshop.start();
let found = 0;
for (const lap of laps) {
  const { text } = await send(new Agent(), "GET", lap.path);
  const taken = Number(text.match(/data-part>(\d+) of/)[1]);
  if (taken !== lap.taken) console.log(`${lap.path}: ${lap.taken} acknowledged, ${taken} there`);
  found += taken;
}
console.log(`killed and started again: ${found} of ${acknowledged} readings are there`);
if (folder) await workshop.kill();
else await workshop.end();
rmSync(own, { recursive: true, force: true });
process.exitCode = found === acknowledged ? 0 : 1;

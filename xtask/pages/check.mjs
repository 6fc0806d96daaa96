// Holds each report named on the command line to what a reader needs of it: one file that asks nothing of the
// network, readable at arm's length and by a screen reader, whole on A4 and on Letter paper.
// Pictures and prints are left in this folder to be looked at.

import { execFileSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { basename } from "node:path";
import { pathToFileURL } from "node:url";
import { chromium } from "playwright-core";

const AXE = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const SCREENS = { phone: [400, 800], tablet: [1180, 820], desk: [1600, 1000] };
const PAPERS = { A4: [595, 842], Letter: [612, 792] };
const LEAST_TEXT_PX = 14;
// What every report says, whatever it reports.
const SAID = [/evidence, not permission to ride/i, /signature/i];

const flags = [
  "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
  "--disable-background-networking", "--disable-component-update", "--disable-sync",
];

const words = (text) => text.normalize("NFKC").replace(/[\u00ad\s]+/g, " ").trim();
const squeezed = (text) => words(text).replaceAll(" ", "");

async function onScreens(browser, report, complain) {
  for (const [name, [width, height]] of Object.entries(SCREENS)) {
    for (const colorScheme of ["light", "dark"]) {
      const page = await browser.newPage({ viewport: { width, height }, colorScheme });
      const where = `${name}, ${colorScheme}`;
      await watched(page, report, complain, where);
      const wide = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
      if (wide > 0) complain(`${where}: the page is ${wide} px wider than the screen`);
      if (name === "tablet") {
        const small = await page.evaluate(smallTexts, LEAST_TEXT_PX);
        if (small.length) complain(`${where}: text under ${LEAST_TEXT_PX} px: ${small.join("; ")}`);
      }
      await page.evaluate(AXE);
      const { violations } = await page.evaluate(() => window.axe.run());
      for (const { id, help, nodes } of violations) {
        complain(`${where}: ${id}: ${help} (${nodes.length} places, first ${nodes[0].target.join(" ")})`);
      }
      await page.screenshot({ path: `${basename(report, ".html")}-${name}-${colorScheme}.png`, fullPage: true });
      await page.close();
    }
  }
}

// Opens the report and complains of anything it asks for and of anything the browser minds.
async function watched(page, report, complain, where) {
  const address = pathToFileURL(report).href;
  page.on("request", (request) => {
    const url = request.url();
    if (url !== address && !url.startsWith("data:")) complain(`${where}: asks for ${url}`);
  });
  page.on("console", (message) => {
    if (["error", "warning"].includes(message.type())) complain(`${where}: the browser says: ${message.text()}`);
  });
  page.on("pageerror", (error) => complain(`${where}: ${error}`));
  await page.goto(address);
  await page.evaluate(() => document.fonts.ready);
}

// Texts that a reader sees in letters smaller than `least`; runs in the page.
function smallTexts(least) {
  const small = new Set();
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const element = walker.currentNode.parentElement;
    const text = walker.currentNode.data.trim();
    if (!text || !element.checkVisibility() || element.closest("title, desc, style, sup, sub")) continue;
    const drawn = element instanceof SVGGraphicsElement;
    if (drawn && !element.getClientRects().length) continue;
    const matrix = drawn ? element.getScreenCTM() : null;
    const scale = matrix ? Math.hypot(matrix.c, matrix.d) : 1;
    const size = parseFloat(getComputedStyle(element).fontSize) * scale;
    if (size < least - 0.05) small.add(`${size.toFixed(1)} px "${text.slice(0, 30)}"`);
  }
  return [...small].slice(0, 5);
}

async function onPaper(browser, report, complain) {
  const page = await browser.newPage();
  await page.goto(pathToFileURL(report).href);
  const headings = await page.$$eval("h1, h2", (all) => all.map((heading) => heading.textContent));
  const verdict = await page.textContent(".verdict .sentence");
  await page.close();
  for (const [format, [width, height]] of Object.entries(PAPERS)) {
    const print = await browser.newPage();
    await print.goto(pathToFileURL(report).href);
    const pdf = `${basename(report, ".html")}-${format}.pdf`;
    await print.pdf({ path: pdf, format, printBackground: false });
    await print.close();
    const size = execFileSync("pdfinfo", [pdf], { encoding: "utf8" }).match(/Page size:\s+([\d.]+) x ([\d.]+)/);
    if (Math.abs(size[1] - width) > 1 || Math.abs(size[2] - height) > 1) {
      complain(`${format}: printed on ${size[1]} by ${size[2]} points`);
    }
    // After the two lines of heading: name, type, encoding, then whether the font is in the file.
    const fonts = execFileSync("pdffonts", [pdf], { encoding: "utf8" }).split("\n").slice(2).filter(Boolean);
    for (const font of fonts.filter((font) => !/\s(yes)\s+(yes|no)\s+(yes|no)\s+\d+\s+\d+\s*$/.test(font))) {
      complain(`${format}: a font is not in the print: ${font.split(/\s/)[0]}`);
    }
    const printed = execFileSync("pdftotext", ["-layout", pdf, "-"], { encoding: "utf8" });
    const inRow = squeezed(execFileSync("pdftotext", [pdf, "-"], { encoding: "utf8" }) + printed);
    for (const text of [verdict, ...headings]) {
      if (!inRow.includes(squeezed(text))) complain(`${format}: not in the print: "${words(text)}"`);
    }
    for (const said of SAID) {
      if (!said.test(words(printed))) complain(`${format}: the print does not say ${said.source}`);
    }
  }
}

const browser = await chromium.launch({ executablePath: which("chromium"), args: flags });
let complaints = 0;
for (const report of process.argv.slice(2)) {
  const before = complaints;
  const complain = (text) => {
    complaints += 1;
    console.log(`${basename(report)}: ${text}`);
  };
  await onScreens(browser, report, complain);
  await onPaper(browser, report, complain);
  if (complaints === before) console.log(`${basename(report)}: well on screen and on paper`);
}
await browser.close();
process.exitCode = complaints ? 1 : 0;

function which(program) {
  return execFileSync("sh", ["-c", `command -v ${program}`], { encoding: "utf8" }).trim();
}

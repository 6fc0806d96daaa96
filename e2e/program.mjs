// The program under test, started and ended as a person would, and a browser to look at it with.

import { execFileSync, spawn } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { chromium } from "playwright-core";

export const TABLET = { viewport: { width: 1180, height: 820 }, hasTouch: true };
export const PHONE = { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true };

const FLAGS = [
  "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
  "--disable-background-networking", "--disable-component-update", "--disable-sync",
];

export function launch() {
  const executablePath = execFileSync("sh", ["-c", "command -v chromium"], { encoding: "utf8" }).trim();
  return chromium.launch({ executablePath, args: FLAGS });
}

// A workshop of its own in a folder of its own; it can be ended in several ways and started again.
export class Workshop {
  constructor(program) {
    this.program = program;
    this.folder = mkdtempSync(join(tmpdir(), "workshop-"));
    this.port = 0;
  }

  // In a zone of its own where one is named: another day is only a zone away.
  async start(zone) {
    this.child = spawn(this.program, ["stand", "--data", this.folder, "--port", String(this.port), "--no-open"], {
      stdio: ["ignore", "pipe", "inherit"],
      env: { ...process.env, ...(zone && { TZ: zone }) },
    });
    this.ended = new Promise((resolve) => this.child.on("exit", (code, signal) => resolve(signal ?? code)));
    const address = new Promise((resolve, reject) => {
      let said = "";
      this.child.stdout.on("data", (text) => {
        said += text;
        const found = said.match(/http:\/\/[\d.]+:(\d+)\//);
        if (found) resolve(found);
      });
      this.ended.then((how) => reject(new Error(`the program ended at once: ${how}`)));
    });
    const [url, port] = await address;
    this.url = url.replace(/\/$/, "");
    // Started again, it is found where it was: pages that stand open go on.
    this.port = Number(port);
    return this;
  }

  async kill() {
    this.child.kill("SIGKILL");
    await this.ended;
  }

  async end(isForGood = true) {
    this.child.kill("SIGTERM");
    const how = await this.ended;
    if (isForGood) rmSync(this.folder, { recursive: true, force: true });
    return how;
  }
}

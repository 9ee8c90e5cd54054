// One Chromium for each test file; every test has a fresh context: no storage and no service worker from another test.

import { after, before, test } from "node:test";
import puppeteer from "puppeteer-core";
import { BROWSER } from "./environment.mjs";
import { Painter } from "./painter.mjs";
import { serve } from "./server.mjs";

export const DESKTOP = { width: 1280, height: 800 };
export const PHONE = { width: 390, height: 844, isMobile: true, hasTouch: true, deviceScaleFactor: 2 };

/** The longest that a test may wait for one thing. Slow machines are no failure. */
export const PATIENCE = 60_000;

export async function launch() {
  return puppeteer.launch({
    executablePath: BROWSER,
    // Chromium itself asks a host about every form; that is not the page.
    args: ["--no-sandbox", "--disable-gpu", "--disable-features=AutofillServerCommunication"],
    protocolTimeout: PATIENCE + 60_000,
  });
}

let browser;
let host;

/** Call it once in a test file. */
export function with_browser() {
  before(async () => {
    host = await serve();
    browser = await launch();
  });
  after(async () => {
    await browser?.close();
    await host?.stop();
  });
}

/**
 * A test of the desk. `work` gets a room: a fresh context with the host of the page.
 * `context` goes to the new context, for example a proxy.
 */
export function desk_test(name, work, context = () => ({})) {
  test(name, async (t) => {
    const room = new Room(browser, host, await browser.createBrowserContext(context(host)));
    try {
      await work(room, t);
      room.check_errors();
    } finally {
      await room.context.close();
    }
  });
}

/** A context and what its pages reported. */
export class Room {
  #errors = [];

  constructor(browser, host, context) {
    Object.assign(this, { browser, host, context });
  }

  /** A new tab. `prepare` runs before the page loads. */
  async open({ viewport = DESKTOP, address = this.host.url, hash = "", prepare } = {}) {
    const page = await this.context.newPage();
    page.setDefaultTimeout(PATIENCE);
    page.on("pageerror", (error) => this.#errors.push(error.message));
    await page.setViewport(viewport);
    await prepare?.(page);
    const painter = new Painter(page, viewport.hasTouch);
    await page.goto(address + hash);
    await painter.ready();
    return painter;
  }

  /** An uncaught error of the page fails the test, whatever else it checks. */
  check_errors() {
    if (this.#errors.length > 0) throw new Error(`The page threw: ${this.#errors.join("; ")}`);
  }
}

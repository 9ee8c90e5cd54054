// Keys alone: from the demo figure to a stroke, a changed mix and a saved sheet.

import assert from "node:assert/strict";
import { desk_test, with_browser } from "./helper/browser.mjs";
import { Downloads } from "./helper/downloads.mjs";

with_browser();

/** More presses than the page has stops. */
const MOST_STOPS = 150;

/** Presses Tab until the focus is on an element that fits, and checks that it can be seen. */
async function tab_to(page, selector, text = "") {
  const passed = [];
  for (let press = 0; press < MOST_STOPS; press++) {
    await page.keyboard.press("Tab");
    const now = await page.evaluate((selector, text) => {
      const element = document.activeElement;
      const name = (element.getAttribute("aria-label") ?? element.closest("label")?.textContent ?? element.textContent).trim();
      return { name, fits: element.matches(selector) && name.includes(text), visible: element.matches(":focus-visible") };
    }, selector, text);
    passed.push(now.name.slice(0, 30));
    if (!now.fits) continue;
    assert.ok(now.visible, `the focus on "${now.name}" is not visible`);
    return now.name;
  }
  throw new Error(`Tab does not reach ${selector} ${text}. It passed: ${passed.join(" | ")}`);
}

desk_test("from the first page to a saved sheet without a mouse", async (room) => {
  const downloads = await Downloads.of(room);
  try {
    const painter = await room.open();
    const { page } = painter;
    const { keyboard } = page;
    await tab_to(page, "button", "Try it with the demo figure");
    await keyboard.press("Enter");
    await page.waitForSelector('.steps a[href="#photo"][data-done="1"]');
    await painter.idle();

    // Bare primer by keys.
    await tab_to(page, "button", "Tap bare primer");
    await keyboard.press("Space");
    await tab_to(page, ".board[data-mode=take]");
    await keyboard.press("ArrowDown");
    await keyboard.press("Enter");
    await painter.see(".history", "Undo:");
    await painter.idle();

    // A stroke by keys, and undo by keys.
    await tab_to(page, ".steps a", "Parts");
    await keyboard.press("Enter");
    await page.waitForSelector("main[data-step=parts]");
    await painter.idle();
    await tab_to(page, ".board");
    await keyboard.press("Space");
    await page.waitForSelector(".board[data-pen=down]");
    for (let step = 0; step < 6; step++) await keyboard.press("ArrowRight");
    await keyboard.press("Space");
    await page.waitForSelector(".board[data-pen=up]");
    await painter.see(".panel", "1 stroke so far.");
    await keyboard.down("Control");
    await keyboard.press("z");
    await keyboard.up("Control");
    await painter.see(".panel", "The mask came from a file.");
    await painter.idle();

    // A mix.
    await tab_to(page, ".steps a", "Schemes");
    await keyboard.press("Enter");
    await page.waitForSelector("main[data-step=schemes] [data-scheme]");
    await tab_to(page, '[data-scheme="0"] a');
    await keyboard.press("Enter");
    await page.waitForSelector('.figure-stage .tile[data-fresh="1"]');
    await painter.idle();
    const before = await painter.marks(".figure-stage .tile");
    await tab_to(page, "input[name=part]");
    await keyboard.press("ArrowRight");
    const part = await page.$eval("input[name=part]:checked", (input) => input.closest("label").dataset.part);
    await painter.see("#coats-of", part);
    const stepper = await tab_to(page, ".mix button", "More: ");
    const amount = () => page.evaluate(() => document.activeElement.parentElement.querySelector("output").textContent);
    const parts = Number(await amount());
    await keyboard.press("Enter");
    await page.waitForFunction((parts) => Number(document.activeElement.parentElement.querySelector("output")?.textContent) === parts + 1, {}, parts);
    await painter.see(".history", "Undo:");
    await page.waitForSelector('.figure-stage .tile[data-fresh="1"]');
    await painter.idle();
    assert.notDeepEqual(await painter.marks(".figure-stage .tile"), before, `"${stepper}" changed no picture`);
    assert.equal(await page.evaluate(() => document.activeElement.getAttribute("aria-label")), stepper, "the focus left the stepper");

    // The sheet.
    await tab_to(page, ".steps a", "Take away");
    await keyboard.press("Enter");
    await page.waitForSelector("main[data-step=take]");
    await tab_to(page, "button[data-take=sheet]");
    await keyboard.press("Space");
    const sheet = await downloads.next();
    assert.equal(sheet.name, "sheet.png");
    assert.ok(sheet.bytes.subarray(1, 4).equals(Buffer.from("PNG")));
  } finally {
    await downloads.remove();
  }
});

// Text at twice its size on a small phone: every step still fits the width.

import assert from "node:assert/strict";
import { desk_test, PHONE, with_browser } from "./helper/browser.mjs";
import { on_every_step } from "./helper/steps.mjs";
import { assert_fits } from "./helper/width.mjs";

with_browser();

desk_test("text of 200 % on 390 pixels", async (room) => {
  const painter = await room.open({ viewport: PHONE });
  const size = () => painter.page.$eval("h1", (heading) => parseFloat(getComputedStyle(heading).fontSize));
  await painter.step("take");
  const usual = await size();
  await painter.page.evaluate(() => { document.documentElement.style.fontSize = "200%"; });
  assert.equal(await size(), 2 * usual, "the text did not grow");
  await painter.step("photo");
  await on_every_step(painter, (where) => assert_fits(painter, where));
});

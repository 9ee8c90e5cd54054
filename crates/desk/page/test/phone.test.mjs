// The job on a phone: fingers draw, every step fits the screen, every step is reached.

import assert from "node:assert/strict";
import { desk_test, PHONE, with_browser } from "./helper/browser.mjs";
import { PHOTO, STROKES } from "./helper/figure.mjs";
import { assert_fits } from "./helper/width.mjs";

with_browser();

desk_test("fingers do the job on a phone", async (room) => {
  const painter = await room.open({ viewport: PHONE });
  await assert_fits(painter, "the first page");
  await painter.choose("Choose a photo", PHOTO);
  await painter.see(".panel", "lamplighter.jpg");
  await assert_fits(painter, "photo");

  await painter.step("parts");
  for (const part of ["coat", "hood"]) {
    await painter.add_part(part);
    for (const stroke of STROKES[part]) await painter.stroke(stroke);
  }
  await painter.tool("background");
  for (const stroke of STROKES.background) await painter.stroke(stroke);
  const drawn = [...STROKES.coat, ...STROKES.hood, ...STROKES.background].length;
  await painter.see(".panel", `${drawn} strokes so far.`);
  await painter.idle();
  const { coat, hood } = await painter.shares();
  assert.ok(coat > 20 && hood > 20, `coat covers ${coat} %, hood ${hood} %`);
  await assert_fits(painter, "parts");

  await painter.step("paints");
  await painter.press("Use the example paints");
  await painter.page.waitForSelector('[data-paint="Oil Amber"]');
  await assert_fits(painter, "paints");

  await painter.step("schemes");
  await painter.press("Propose ten schemes");
  await painter.see_count('.tiles .tile[data-fresh="1"]', 10);
  await assert_fits(painter, "schemes");
  await painter.hit('[data-scheme="9"] a');
  await painter.page.waitForSelector('.figure-stage .tile[data-fresh="1"]');
  await assert_fits(painter, "one scheme");

  await painter.step("compare");
  await painter.page.waitForSelector(".compare iframe:not(.waiting)");
  await assert_fits(painter, "compare");
  await painter.step("take");
  await painter.named("Save sheet.png");
  await assert_fits(painter, "take away");
});

desk_test("two fingers zoom and do not draw", async (room) => {
  const painter = await room.open({ viewport: PHONE });
  await painter.choose("Choose a photo", PHOTO);
  await painter.see(".panel", "lamplighter.jpg");
  await painter.step("parts");
  await painter.add_part("coat");
  await painter.stroke(STROKES.coat[0]);
  await painter.see(".panel", "1 stroke so far.");
  await painter.idle();
  const before = await painter.marks(".board canvas");

  await painter.page.$eval(".board", (board) => board.scrollIntoView({ block: "start" }));
  const [x, y] = await painter.on_board([0.5, 0.5]);
  const { touchscreen } = painter.page;
  const first = await touchscreen.touchStart(x - 20, y);
  const second = await touchscreen.touchStart(x + 20, y);
  for (let apart = 30; apart <= 120; apart += 10) {
    await first.move(x - apart, y);
    await second.move(x + apart, y);
  }
  await first.end();
  await second.end();
  await painter.idle();
  assert.notDeepEqual(await painter.marks(".board canvas"), before, "the pinch did not zoom");
  await painter.see(".panel", "1 stroke so far.");
});

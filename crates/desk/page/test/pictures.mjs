// Pictures of the desk for its guide: one picture per step, and the schemes on a phone.
//   node test/pictures.mjs FOLDER

import { mkdirSync } from "node:fs";
import { join, resolve } from "node:path";
import { DESKTOP, launch, PHONE, Room } from "./helper/browser.mjs";
import { serve } from "./helper/server.mjs";

const [folder] = process.argv.slice(2);
if (!folder) {
  console.error("Usage: node test/pictures.mjs FOLDER");
  process.exit(2);
}
mkdirSync(folder, { recursive: true });

const host = await serve();
const browser = await launch();
try {
  await on_desktop();
  await on_phone();
} finally {
  await browser.close();
  await host.stop();
}

async function with_demo(viewport, work) {
  const room = new Room(browser, host, await browser.createBrowserContext());
  const painter = await room.open({ viewport });
  await painter.open_demo();
  await work(painter);
  await room.context.close();
}

async function on_desktop() {
  await with_demo(DESKTOP, async (painter) => {
    await shoot(painter, "photo");
    for (const step of ["parts", "paints", "schemes"]) {
      await painter.step(step);
      await shoot(painter, step);
    }
    await painter.hit('[data-scheme="0"] a');
    await shoot(painter, "scheme");
    await painter.step("compare");
    await painter.page.waitForSelector(".compare iframe:not(.waiting)");
    await painter.report();
    await shoot(painter, "compare");
    await painter.step("take");
    await shoot(painter, "take");
  });
}

async function on_phone() {
  await with_demo(PHONE, async (painter) => {
    await painter.step("schemes");
    await shoot(painter, "phone");
  });
}

/** Waits until every picture of the step is there and the last message is gone. */
async function shoot(painter, name) {
  await painter.page.waitForFunction(() =>
    [...document.querySelectorAll(".tile")].every((tile) => tile.dataset.fresh === "1"));
  await painter.idle();
  await painter.page.waitForSelector(".said", { hidden: true });
  const path = resolve(join(folder, `desk-${name}.jpg`));
  await painter.page.mouse.move(0, 0);
  await painter.page.screenshot({ path, type: "jpeg", quality: 84 });
  console.log(path);
}

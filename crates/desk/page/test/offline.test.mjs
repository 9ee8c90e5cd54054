// Once loaded, the desk needs no connection: the host is gone, and the job goes on.

import assert from "node:assert/strict";
import { desk_test, with_browser } from "./helper/browser.mjs";
import { serve } from "./helper/server.mjs";

with_browser();

desk_test("the page starts and works without its host", async (room) => {
  const host = await serve();
  let stopped = false;
  try {
    room.host = host;
    const painter = await room.open();
    // The worker is active when it has every file.
    await painter.page.evaluate(() => navigator.serviceWorker.ready.then(() => undefined));
    await host.stop();
    stopped = true;
    await assert.rejects(fetch(host.url), "the host still answers");

    await painter.page.reload();
    await painter.ready();
    await painter.open_demo();
    await painter.step("schemes");
    await painter.page.waitForSelector("[data-scheme]");
    const schemes = await painter.count("[data-scheme]");
    await painter.see_count('.tiles .tile[data-fresh="1"]', schemes);
    await painter.hit('[data-scheme="0"] a');
    await painter.press("More: Film");
    await painter.see(".history", "Undo:");
    await painter.step("compare");
    await painter.page.waitForSelector(".compare iframe:not(.waiting)");
    await painter.report();
  } finally {
    if (!stopped) await host.stop();
  }
});

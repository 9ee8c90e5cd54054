// The engine stops in the middle of the work: the page says so, starts it again, and the project is still there.

import assert from "node:assert/strict";
import { desk_test, with_browser } from "./helper/browser.mjs";
import { Downloads } from "./helper/downloads.mjs";
import { saved_and_kept } from "./helper/kept.mjs";

with_browser();

/**
 * The next call of `method` in the engine traps in WebAssembly: its object points past the engine's memory.
 * A new worker has a whole engine again.
 */
async function break_engine(painter, method) {
  const workers = painter.page.workers().filter((worker) => worker.url().endsWith("/worker.js"));
  assert.equal(workers.length, 1, "the page has one engine");
  await workers[0].evaluate(async (method) => {
    const { Desk } = await import(new URL("engine.js", self.location.href).href);
    const whole = Desk.prototype[method];
    if (typeof whole !== "function") throw new Error(`The engine has no ${method}.`);
    Desk.prototype[method] = function (...args) {
      this.__wbg_ptr = 0xffff_fff0;
      return whole.apply(this, args);
    };
  }, method);
}

for (const [what, method, act] of [
  ["a command", "run", (painter) => painter.press("More: Film")],
  ["a picture", "tile", (painter) => painter.press("More: Film")],
]) {
  desk_test(`the engine stops at ${what}`, async (room) => {
    const downloads = await Downloads.of(room);
    try {
      const painter = await room.open();
      await painter.open_demo();
      const project = await saved_and_kept(painter, downloads);
      await painter.step("schemes");
      const schemes = await painter.count("[data-scheme]");
      await painter.see_count('.tiles .tile[data-fresh="1"]', schemes);
      const before = await painter.marks(".tiles .tile");
      await painter.hit('[data-scheme="1"] a');
      await painter.page.waitForSelector('.figure-stage .tile[data-fresh="1"]');
      await painter.idle();

      await break_engine(painter, method);
      await act(painter);
      const said = await painter.see(".trouble", "The engine stopped while it worked on this");
      assert.match(said, /started again from the last kept state of the project/);
      await painter.idle();

      // The project is whole, and it can be changed.
      const again = await saved_and_kept(painter, downloads);
      assert.ok(again.equals(project), "the project after the restart is not the one that was kept");
      await painter.step("schemes");
      await painter.see_count('.tiles .tile[data-fresh="1"]', schemes);
      assert.deepEqual(await painter.marks(".tiles .tile"), before);
      await painter.hit('[data-scheme="1"] a');
      const film = await painter.text('[role=group][aria-label="Film"] output');
      await painter.press("More: Film");
      await painter.page.waitForFunction((film) =>
        Number(document.querySelector('[role=group][aria-label="Film"] output').textContent) === Number(film) + 0.25, {}, film);
      await painter.see(".history", "Undo:");
      await painter.page.waitForSelector('.figure-stage .tile[data-fresh="1"]');
      assert.equal(await painter.count(".trouble .problems"), 0, "the message stays after the next change went well");
    } finally {
      await downloads.remove();
    }
  });
}

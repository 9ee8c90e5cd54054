// Two tabs: the first one has the desk. The second one says so, and cannot overwrite what the first one keeps.

import assert from "node:assert/strict";
import { desk_test, with_browser } from "./helper/browser.mjs";
import { Downloads } from "./helper/downloads.mjs";
import { saved_and_kept, until_kept } from "./helper/kept.mjs";

with_browser();

const ELSEWHERE = "Another tab has the desk open. This tab does not keep its changes.";

desk_test("the second tab says that it does not keep changes, and the first keeps its own", async (room) => {
  const downloads = await Downloads.of(room);
  try {
    const first = await room.open();
    await first.open_demo();
    const project = await saved_and_kept(first, downloads);
    assert.equal(await first.count("main > .note"), 0, "the first tab has a note");

    const second = await room.open();
    await second.see("main > .note", ELSEWHERE);
    await second.step("schemes");
    await second.page.waitForSelector("[data-scheme]");

    // The second tab changes the project, and saves it as a file: its own state is another one.
    await second.hit('[data-scheme="0"] a');
    await second.press("More: Film");
    await second.see(".history", "Undo:");
    await second.step("take");
    await second.press("Save the project");
    const other = (await downloads.next()).bytes;
    assert.ok(!other.equals(project), "the second tab did not change anything");

    // The first tab changes something else: exactly this is kept, also after both tabs are gone.
    await first.page.bringToFront();
    await first.step("schemes");
    await first.hit('[data-scheme="1"] a');
    await first.press("Less: Film");
    await first.see(".history", "Undo:");
    const kept = await saved_and_kept(first, downloads);
    assert.ok(!kept.equals(project) && !kept.equals(other));
    await second.page.close();
    await first.page.reload();
    await first.ready();
    await until_kept(first, kept);
    assert.ok((await saved_and_kept(first, downloads)).equals(kept), "the first tab lost its change");
    assert.equal(await first.count("main > .note"), 0);
  } finally {
    await downloads.remove();
  }
});

desk_test("a tab that is loaded again has the desk after the other one is closed", async (room) => {
  const first = await room.open();
  const second = await room.open();
  await second.see("main > .note", ELSEWHERE);
  await first.page.close();
  await second.page.reload();
  await second.ready();
  assert.equal(await second.count("main > .note"), 0, "the note stays");
});

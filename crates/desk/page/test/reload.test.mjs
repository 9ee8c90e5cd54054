// The page is loaded again in the middle of the work: nothing is lost.

import assert from "node:assert/strict";
import { desk_test, with_browser } from "./helper/browser.mjs";
import { Downloads } from "./helper/downloads.mjs";
import { PHOTO, STROKES } from "./helper/figure.mjs";
import { saved_and_kept } from "./helper/kept.mjs";

with_browser();

desk_test("strokes and schemes are there after a reload", async (room) => {
  const downloads = await Downloads.of(room);
  try {
    const painter = await room.open();
    await painter.choose("Choose a photo", PHOTO);
    await painter.see(".panel", "lamplighter.jpg");
    await painter.step("parts");
    for (const part of ["coat", "hood"]) {
      await painter.add_part(part);
      for (const stroke of STROKES[part]) await painter.stroke(stroke);
    }
    await painter.tool("background");
    for (const stroke of STROKES.background) await painter.stroke(stroke);
    await painter.idle();
    await painter.step("paints");
    await painter.press("Use the example paints");
    await painter.page.waitForSelector('[data-paint="Oil Amber"]');
    await painter.step("schemes");
    await painter.press("Propose ten schemes");
    await painter.see_count('.tiles .tile[data-fresh="1"]', 10);

    const before = await what_is_there(painter);
    assert.equal(before.schemes.length, 10);
    const project = await saved_and_kept(painter, downloads);
    await painter.page.reload();
    await painter.ready();
    const after = await what_is_there(painter);
    assert.deepEqual(after.schemes, before.schemes);
    assert.deepEqual(after.tiles, before.tiles);
    // The list of parts shows quick estimates: they may move by a percent or two.
    assert.deepEqual(Object.keys(after.shares), Object.keys(before.shares));
    for (const part in before.shares) {
      assert.ok(Math.abs(after.shares[part] - before.shares[part]) <= 2, `${part}: ${before.shares[part]} % before, ${after.shares[part]} % after`);
    }

    // The work goes on from the strokes.
    assert.ok((await saved_and_kept(painter, downloads)).equals(project), "the project is another one after the reload");
    await painter.step("parts");
    await painter.see_parts();
    const shares = await painter.shares();
    await painter.tool("coat");
    await painter.stroke(STROKES.boots[0]);
    await painter.see(".history", "Undo:");
    await painter.idle();
    assert.notDeepEqual(await painter.shares(), shares, "a stroke after the reload changed nothing");
  } finally {
    await downloads.remove();
  }
});

desk_test("an open scheme is open again after a reload", async (room) => {
  const downloads = await Downloads.of(room);
  try {
    const painter = await room.open();
    await painter.open_demo();
    await saved_and_kept(painter, downloads);
    await painter.step("schemes");
    await painter.hit('[data-scheme="3"] a');
    const name = await painter.see("h1", "");
    await painter.page.reload();
    await painter.ready();
    assert.equal(await painter.see("h1", ""), name);
    assert.match(painter.page.url(), /#schemes\/4$/);
  } finally {
    await downloads.remove();
  }
});

async function what_is_there(painter) {
  await painter.step("parts");
  const shares = await painter.shares();
  await painter.step("schemes");
  await painter.see_count('.tiles .tile[data-fresh="1"]', 10);
  const schemes = await painter.page.$$eval(".tile-name", (all) => all.map((name) => name.textContent));
  return { shares, schemes, tiles: await painter.marks(".tiles .tile") };
}

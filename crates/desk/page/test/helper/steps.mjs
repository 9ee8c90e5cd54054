// A walk through all steps with a project, at each of which a test checks something.

/** Calls `check(where)` on the first page, on every step, and on the pieces that a step has under its own control. */
export async function on_every_step(painter, check) {
  await check("the first page");
  await painter.open_demo();
  await check("photo");
  await painter.step("parts");
  await check("parts");
  await painter.step("paints");
  await check("paints");
  await painter.press("Add one paint");
  await painter.page.waitForSelector(".add-paint[open]");
  await check("a paint by hand");
  await painter.step("schemes");
  await painter.page.waitForFunction(() => {
    const tiles = [...document.querySelectorAll(".tiles .tile")];
    return tiles.length > 0 && tiles.every((tile) => tile.dataset.fresh === "1");
  });
  await check("schemes");
  await painter.hit('[data-scheme="0"] a');
  await painter.page.waitForSelector('.figure-stage .tile[data-fresh="1"]');
  await painter.idle();
  await check("one scheme");
  await painter.press("Nearest mix to a colour");
  await painter.page.waitForSelector(".match[open]");
  await check("one scheme with its nearest mix");
  await painter.step("compare");
  await painter.page.waitForSelector(".compare iframe:not(.waiting)");
  await painter.report();
  await check("compare");
  await painter.step("take");
  await check("take away");
  await painter.press("Start again");
  await painter.page.waitForSelector("dialog[open]");
  await check("the question before the desk is cleared");
}

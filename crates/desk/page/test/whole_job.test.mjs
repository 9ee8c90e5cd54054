// The whole job: from a photo to a sheet, and the command makes the same sheet from the saved project.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { desk_test, with_browser } from "./helper/browser.mjs";
import { Downloads } from "./helper/downloads.mjs";
import { needed } from "./helper/environment.mjs";
import { PARTS, PHOTO, STROKES } from "./helper/figure.mjs";
import { in_a_folder } from "./helper/folder.mjs";
import { unzip } from "./helper/zip.mjs";

const FRESH = '.tiles .tile[data-fresh="1"]';

with_browser();

desk_test("a photo becomes ten schemes, and the command makes the same sheet", async (room) => {
  const downloads = await Downloads.of(room);
  try {
    const painter = await room.open();
    await paint_the_parts(painter);
    await propose_ten(painter);
    await change_one_mix(painter, 2);
    await compare(painter);

    await painter.step("take");
    await painter.press("Save sheet.png");
    const sheet = await downloads.next();
    assert.equal(sheet.name, "sheet.png");
    await painter.press("Save the project");
    const project = await downloads.next();
    assert.equal(project.name, "lamplighter.zip");
    assert.ok(sheet_by_command(unzip(project.bytes)).equals(sheet.bytes), "The command makes another sheet from the saved project.");
  } finally {
    await downloads.remove();
  }
});

async function paint_the_parts(painter) {
  await painter.choose("Choose a photo", PHOTO);
  await painter.see(".panel", "lamplighter.jpg, 2000 × 3000 pixels. The desk works on a copy of 1067 × 1600.");
  await painter.step("parts");
  for (const part of PARTS) {
    await painter.add_part(part);
    for (const stroke of STROKES[part]) await painter.stroke(stroke);
  }
  await painter.tool("background");
  for (const stroke of STROKES.background) await painter.stroke(stroke);
  const drawn = Object.values(STROKES).flat().length;
  await painter.see(".panel", `${drawn} strokes so far.`);
  await painter.page.waitForSelector('.steps a[href="#parts"][data-done="1"]');
  await painter.idle();

  // The borders are found: coat and hood are the two largest parts, and every part has something.
  const shares = await painter.shares();
  assert.deepEqual(Object.keys(shares), PARTS);
  for (const part of PARTS) assert.ok(shares[part] > 0, `${part} covers nothing: ${JSON.stringify(shares)}`);
  const largest = PARTS.toSorted((a, b) => shares[b] - shares[a]).slice(0, 2).sort();
  assert.deepEqual(largest, ["coat", "hood"], JSON.stringify(shares));
}

async function propose_ten(painter) {
  await painter.step("paints");
  await painter.press("Use the example paints");
  await painter.page.waitForSelector('[data-paint="Oil Amber"]');
  await painter.step("schemes");
  await painter.press("Propose ten schemes");
  await painter.see_count("[data-scheme]", 10);
  await painter.see_count(FRESH, 10);
  const marks = await painter.marks(FRESH);
  assert.equal(new Set(marks).size, 10, "two of the ten schemes show the same picture");
}

async function change_one_mix(painter, scheme) {
  const before = await painter.marks(FRESH);
  await painter.page.click(`[data-scheme="${scheme}"] a`);
  await painter.page.waitForSelector('.figure-stage .tile[data-fresh="1"]');
  await painter.idle();

  // Every tile that stops being fresh is noted.
  await painter.page.evaluate(() => {
    window.stale = new Set();
    const tiles = [...document.querySelectorAll(".others .tile")];
    new MutationObserver((changes) => {
      for (const { target } of changes) if (target.dataset.fresh === "0") window.stale.add(tiles.indexOf(target));
    }).observe(document.querySelector(".others"), { attributes: true, attributeFilter: ["data-fresh"], subtree: true });
  });
  const paint = await paint_of_a_mix(painter);
  await painter.press(`More: ${paint}`);
  await painter.page.waitForFunction(() => window.stale.size > 0);
  await painter.see_count('.others .tile[data-fresh="1"]', 10);
  assert.deepEqual(await painter.page.evaluate(() => [...window.stale]), [scheme]);

  await painter.press("All schemes");
  await painter.see_count(FRESH, 10);
  const after = await painter.marks(FRESH);
  const changed = after.flatMap((mark, index) => (mark === before[index] ? [] : [index]));
  assert.deepEqual(changed, [scheme], "another tile changed, or the scheme's own tile did not");
}

/** Opens the first part with a mix of two, and gives a paint of it: more of a paint that is alone in its mix changes nothing. */
async function paint_of_a_mix(painter) {
  for (const part of PARTS) {
    await painter.tool(part);
    await painter.see("#coats-of", part);
    const paint = await painter.page.$$eval(".coat .mix", (mixes) => {
      const rows = mixes.map((mix) => [...mix.querySelectorAll("[data-paint]")]).find((rows) => rows.length > 1);
      return rows?.find((row) => row.dataset.paint !== "medium")?.dataset.paint ?? null;
    });
    if (paint) return paint;
  }
  throw new Error("No part of the scheme has a mix of two.");
}

async function compare(painter) {
  const names = await painter.page.$$eval(".tile-name", (all) => all.map((name) => name.textContent));
  await painter.step("compare");
  await painter.page.waitForSelector(".compare iframe:not(.waiting)");
  const report = await painter.report();
  const text = await report.$eval("body", (body) => body.textContent);
  for (const name of names) assert.ok(text.includes(name), `the report does not show ${name}`);
}

function sheet_by_command(files) {
  const command = needed("VELATURA_COMMAND", "the program velatura");
  return in_a_folder(Object.fromEntries(files), (folder) => {
    execFileSync(command, ["render", join(folder, "figure.toml"), "--out", join(folder, "out"), "--sheet-only"], { stdio: ["ignore", "ignore", "pipe"] });
    return readFileSync(join(folder, "out/sheet.png"));
  });
}

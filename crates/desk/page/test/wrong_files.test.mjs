// Wrong files: the message names the file, what was found and what was expected; the project stays as it is.

import assert from "node:assert/strict";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { desk_test, with_browser } from "./helper/browser.mjs";
import { Downloads } from "./helper/downloads.mjs";
import { PHOTO } from "./helper/figure.mjs";
import { built_files } from "./helper/server.mjs";

with_browser();

/** The demo project, but its figure file has another name. */
function without_figure() {
  const bytes = Buffer.from(built_files().get("demo.zip"));
  for (let at = bytes.indexOf("figure.toml"); at >= 0; at = bytes.indexOf("figure.toml", at)) bytes.write("figura.toml", at);
  return bytes;
}

const WRONG = [
  {
    what: "a text that is called photo.jpg", step: "photo", button: "Another photo of the figure", name: "photo.jpg",
    bytes: () => Buffer.from("This is a letter from the harbour, not a photo.\n"),
    says: [/photo\.jpg/, /not a picture|no picture|not an image|no image|format|unknown/i, /JPEG|PNG/],
  },
  {
    what: "a JPEG that was cut", step: "photo", button: "Another photo of the figure", name: "cut.jpg",
    bytes: () => readFileSync(PHOTO).subarray(0, 200_000),
    says: [/cut\.jpg/, /end|cut|incomplete|damaged/i],
  },
  {
    what: "a zip without figure.toml", step: "take", button: "Open a project", name: "letters.zip", bytes: without_figure,
    says: [/letters\.zip/, /there is no figure\.toml in this archive/i, /Expected: a project that this page saved/],
  },
  {
    what: "a text that is called project.zip", step: "take", button: "Open a project", name: "project.zip",
    bytes: () => Buffer.from("no archive"),
    says: [/project\.zip/, /zip|archive/i, /Expected:/],
  },
  {
    what: "a paints file with a wrong colour", step: "paints", button: "Open a paints file", name: "paints.toml",
    bytes: () => Buffer.from('format = "velatura-paints/1"\n[cards]\nblack = "#1c1c1c"\nwhite = "#f0f0f0"\n[[paint]]\nname = "Fog Grey"\nover_black = "#12345"\nover_white = "#e0e0e0"\n'),
    says: [/paints\.toml, line 7/, /#12345/, /Expected: a colour, such as/],
  },
  {
    what: "a paints file that is no TOML", step: "paints", button: "Open a paints file", name: "mine.toml",
    bytes: () => Buffer.from("[[paint]\nname = 3"),
    says: [/mine\.toml, line 1/, /Expected:|expected/],
  },
];

for (const { what, step, button, name, bytes, says } of WRONG) {
  desk_test(`${what} is refused with a clear message`, async (room) => {
    const folder = mkdtempSync(join(tmpdir(), "velatura-wrong-"));
    const downloads = await Downloads.of(room);
    try {
      const painter = await room.open();
      await painter.open_demo();
      const before = await saved(painter, downloads);
      await painter.step(step);
      const path = join(folder, name);
      writeFileSync(path, bytes());
      await painter.choose(button, path);
      await painter.page.waitForSelector(".trouble .problems");
      const said = await painter.page.$$eval(".trouble .problems li", (all) => all.map((problem) => problem.textContent).join("\n"));
      for (const word of says) assert.match(said, word);
      await painter.idle();
      assert.ok((await saved(painter, downloads)).equals(before), "the project changed");
    } finally {
      await downloads.remove();
      rmSync(folder, { recursive: true, force: true });
    }
  });
}

async function saved(painter, downloads) {
  await painter.step("take");
  await painter.press("Save the project");
  return (await downloads.next()).bytes;
}

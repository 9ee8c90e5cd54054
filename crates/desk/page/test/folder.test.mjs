// The page as `velatura desk` serves it: the figure of a folder is on it, and a save goes back into the folder.

import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import { cpSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { createInterface } from "node:readline";
import { desk_test, with_browser } from "./helper/browser.mjs";
import { needed } from "./helper/environment.mjs";
import { PHOTO } from "./helper/figure.mjs";

with_browser();

desk_test("a scheme is changed and saved into the figure's folder", async (room) => {
  const folder = mkdtempSync(join(tmpdir(), "velatura-folder-"));
  cpSync(dirname(PHOTO), folder, { recursive: true });
  const command = spawn(needed("VELATURA_COMMAND", "the program velatura, built with the feature desk"),
    ["desk", "--no-browser", join(folder, "figure.toml")], { stdio: ["ignore", "pipe", "inherit"] });
  try {
    const lines = createInterface({ input: command.stdout });
    const [line] = await Promise.race([
      new Promise((found) => lines.once("line", (line) => found([line]))),
      new Promise((_, fail) => command.once("exit", () => fail(new Error("velatura desk ended. Build it with --features velatura-cli/desk.")))),
    ]);
    const painter = await room.open({ address: line.replace("The desk is at ", "") });
    await painter.page.waitForSelector('.steps a[href="#schemes"][data-done="1"]');
    await painter.step("take");
    await painter.see("main", "has everything as you see it here");
    await painter.step("schemes");
    await painter.hit('[data-scheme="0"] a');
    await painter.press("Duplicate");
    await painter.idle();
    await painter.step("take");
    await painter.press("Save into the folder");
    await painter.see("main", "has everything as you see it here");
    assert.match(readFileSync(join(folder, "schemes.toml"), "utf8"), /, changed"/);
    assert.deepEqual(readFileSync(join(folder, "lamplighter.jpg")), readFileSync(PHOTO));
  } finally {
    command.kill();
    rmSync(folder, { recursive: true, force: true });
  }
});

// The engine is compiled by another compiler for another processor, and makes the same files as the command, byte for byte: sheet and
// page with all their pictures, and the card to paint from. No browser is needed.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { test } from "node:test";
import { zipSync } from "fflate";
import { needed } from "./helper/environment.mjs";
import { in_a_folder } from "./helper/folder.mjs";
import { unzip } from "./helper/zip.mjs";

const dist = new URL("../dist/", import.meta.url);
const { Desk, initSync } = await import(new URL("engine.js", dist).href);
initSync({ module: readFileSync(new URL("engine_bg.wasm", dist)) });

const DEMO = new URL("../../../../demo_images/", import.meta.url);

for (const name of ["lamplighter", "reedwarden"]) {
  test(`the ${name}: with its light photo, without it, and with proposals`, () => {
    const desk = new Desk();
    try {
      put(desk, "project", `${name}.zip`, zipSync(files_of(new URL(`${name}/`, DEMO)), { level: 0 }));
      same_as_the_command(desk, "as it comes");
      run(desk, { do: "remove_light_photo" });
      for (const [scheme, undercoat] of ["white-with-wash", "plain-white", "black-to-white"].entries()) {
        run(desk, { do: "scheme_undercoat", scheme, undercoat });
      }
      same_as_the_command(desk, "without its light photo, over other undercoats");
      run(desk, { do: "explore", seed: 7, replace: true, mood: null });
      same_as_the_command(desk, "with proposals");
    } finally {
      desk.free();
    }
  });
}

test("proposals are those of the command", () => {
  const desk = new Desk();
  try {
    put(desk, "project", "demo.zip", readFileSync(new URL("demo.zip", dist)));
    const before = project_of(desk);
    run(desk, { do: "explore", seed: 11, replace: true, mood: "muted" });
    const after = project_of(desk).get("schemes.toml").toString();
    in_a_folder(Object.fromEntries(before), (folder) => {
      command("explore", join(folder, "figure.toml"), "--seed", "11", "--mood", "muted", "--out", join(folder, "found.toml"));
      assert.equal(without_comments(after), without_comments(readFileSync(join(folder, "found.toml"), "utf8")));
    });
  } finally {
    desk.free();
  }
});

/** The command also writes how it was called. */
function without_comments(text) {
  return text.split("\n").filter((line) => !line.startsWith("#")).join("\n").trim();
}

function same_as_the_command(desk, when) {
  const first_scheme = run(desk, { do: "look" }).schemes[0].name;
  const made = Object.fromEntries(["sheet", "page", "card-pdf"].map((kind) => [kind, taken(desk, kind)]));
  in_a_folder(Object.fromEntries(project_of(desk)), (folder) => {
    const figure = join(folder, "figure.toml");
    command("render", figure, "--previews", "none", "--out", join(folder, "out"));
    assert_equal_bytes(made.sheet, readFileSync(join(folder, "out/sheet.png")), `${when}: sheet.png`);
    assert_equal_bytes(made.page, readFileSync(join(folder, "out/index.html")), `${when}: index.html`);
    command("card", figure, "--scheme", first_scheme, "--out", join(folder, "card.pdf"));
    assert_equal_bytes(made["card-pdf"], readFileSync(join(folder, "card.pdf")), `${when}: card.pdf`);
  });
}

function assert_equal_bytes(found, expected, what) {
  const other = found.findIndex((byte, at) => byte !== expected[at]);
  const same = found.length === expected.length && other < 0;
  assert.ok(same, `${what}: ${found.length} and ${expected.length} bytes, the first that differs is at ${other}`);
}

function files_of(folder) {
  const names = readdirSync(folder, { withFileTypes: true }).filter((entry) => entry.isFile());
  return Object.fromEntries(names.map(({ name }) => [name, readFileSync(new URL(name, folder))]));
}

function command(...options) {
  execFileSync(needed("VELATURA_COMMAND", "the program velatura"), options, { stdio: ["ignore", "ignore", "pipe"] });
}

function run(desk, what) {
  return JSON.parse(desk.run(JSON.stringify(what)));
}

function put(desk, kind, name, bytes) {
  return JSON.parse(desk.put(kind, name, bytes));
}

function taken(desk, kind) {
  const file = desk.take(kind, 0, 0);
  const bytes = Buffer.from(file.bytes());
  file.free();
  return bytes;
}

function project_of(desk) {
  return unzip(taken(desk, "project"));
}

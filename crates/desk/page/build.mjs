// Bundles the page into dist/, with the demo figure as a project. The engine's files (engine.js, engine_bg.wasm) have to be there
// already: the service worker keeps every file that it finds in dist/, under a version that follows from their contents.

import { createHash } from "node:crypto";
import { copyFileSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { build } from "esbuild";
import { zipSync } from "fflate";

const dist = "dist";
process.chdir(import.meta.dirname);
mkdirSync(dist, { recursive: true });

await build({
  entryPoints: [
    { in: "src/main.tsx", out: "desk" },
    { in: "src/worker.ts", out: "worker" },
    { in: "src/style/desk.css", out: "desk" },
  ],
  outdir: dist,
  bundle: true,
  minify: true,
  format: "esm",
  target: "es2022",
  jsx: "automatic",
  jsxImportSource: "preact",
  legalComments: "none",
  logLevel: "warning",
});

for (const file of ["index.html", "frame.html", "desk.webmanifest", "icon.svg", "glazes.svg"]) {
  copyFileSync(file, `${dist}/${file}`);
}

// The demo figure, as a painter's own folder would come: all values in it are invented.
const demo = "../../../demo_images/lamplighter";
const project = ["figure.toml", "paints.toml", "schemes.toml", "lamplighter.jpg", "lamplighter-mask.png", "primed.jpg"];
const contents = Object.fromEntries(project.map((file) => [file, new Uint8Array(readFileSync(`${demo}/${file}`))]));
// A fixed time, so that the same files give the same bytes.
writeFileSync(`${dist}/demo.zip`, zipSync(contents, { level: 0, mtime: "1980-01-01T00:00:00" }));

const files = readdirSync(dist).filter((file) => file !== "sw.js").sort();
const hash = createHash("sha256");
for (const file of files) hash.update(`${file}\n`).update(readFileSync(`${dist}/${file}`));
const version = hash.digest("hex").slice(0, 16);

const worker = readFileSync("sw.js", "utf8")
  .replace('"VERSION"', JSON.stringify(version))
  .replace('["FILES"]', JSON.stringify(files));
writeFileSync(`${dist}/sw.js`, worker);

if (files.includes("engine.js")) await one_file();
if (!files.includes("engine.js")) console.warn("dist/engine.js is not there yet: the page will say that its engine did not start.");
console.log(`${files.length} files in ${dist}, version ${version}`);

/** velatura-desk.html: the page with everything inside it, for a disk. */
async function one_file() {
  const script = async (stdin, format) => {
    const options = { stdin, bundle: true, minify: true, format, target: "es2022", jsx: "automatic", jsxImportSource: "preact" };
    // The addresses of files next to the page are not used in it.
    const silent = { "empty-import-meta": "silent" };
    const made = await build({ ...options, write: false, legalComments: "none", logLevel: "warning", logOverride: silent });
    return made.outputFiles[0].text;
  };
  // Imports run in their order: the worker finds the engine.
  writeFileSync("dist/engine_inside.js", 'import * as engine from "./engine.js"; self.velatura_engine = engine;');
  const worker = await script({ contents: 'import "./dist/engine_inside.js"; import "./src/worker.ts";', resolveDir: "." }, "iife");
  rmSync("dist/engine_inside.js");
  let page = await script({ contents: 'import "./src/main.tsx";', resolveDir: "." }, "iife");
  for (const drawing of ["glazes.svg", "icon.svg"]) {
    const address = `data:image/svg+xml;base64,${readFileSync(drawing).toString("base64")}`;
    page = page.replaceAll(`"${drawing}"`, () => JSON.stringify(address));
  }
  const base64 = (file) => readFileSync(`${dist}/${file}`).toString("base64");
  const inside = { worker, engine: base64("engine_bg.wasm"), demo: base64("demo.zip") };
  const safe = (text) => text.replaceAll("</", "<\\/");
  const policy = "default-src 'none'; script-src 'unsafe-inline' 'wasm-unsafe-eval' blob:; style-src 'unsafe-inline'; "
    + "img-src data: blob:; worker-src blob:; form-action 'none'; base-uri 'none'";
  // A function as replacement: `$` in it means nothing.
  const html = readFileSync("index.html", "utf8")
    .replace(/content="default-src[^"]*"/, () => `content="${policy}"`)
    .replace(/<link rel="(icon|manifest)"[^>]*>\n/g, "")
    .replace(/<link rel="stylesheet"[^>]*>/, () => `<style>${readFileSync(`${dist}/desk.css`, "utf8")}</style>`)
    .replace(/<script type="module"[^>]*><\/script>\n/, "")
    .replace("</body>", () => `<script type="application/json" id="inside">${safe(JSON.stringify(inside))}</script>\n<script>${safe(page)}</script>\n</body>`);
  writeFileSync("velatura-desk.html", html);
  console.log(`velatura-desk.html, ${(html.length / 1e6).toFixed(1)} MB`);
}

// Bundles the page into dist/, with the demo figure as a project. The engine's files (engine.js, engine_bg.wasm) have to be there
// already: the service worker keeps every file that it finds in dist/, under a version that follows from their contents.

import { createHash } from "node:crypto";
import { copyFileSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
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

if (!files.includes("engine.js")) console.warn("dist/engine.js is not there yet: the page will say that its engine did not start.");
console.log(`${files.length} files in ${dist}, version ${version}`);

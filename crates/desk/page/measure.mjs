// Measures the engine without a browser: `node measure.mjs [PHOTO.jpg]`. Times are of this machine and this moment; only ratios of one
// run say something.

import { readFileSync } from "node:fs";

const dist = new URL("dist/", import.meta.url);
const { Desk, initSync } = await import(new URL("engine.js", dist).href);
const engine = initSync({ module: readFileSync(new URL("engine_bg.wasm", dist)) });

let began = performance.now();
function lap(what) {
  const now = performance.now();
  console.log(`${what.padEnd(44)} ${Math.round(now - began)} ms`);
  began = performance.now();
}
const run = (desk, command) => JSON.parse(desk.run(JSON.stringify(command)));
const file = (path) => new Uint8Array(readFileSync(path));

const demo = new Desk();
began = performance.now();
demo.put("project", "demo.zip", file(new URL("demo.zip", dist)));
lap("open the demo project, with its light photo");
demo.tile(0).free();
lap("first tile, with the planes");
for (let scheme = 1; scheme < 10; scheme++) demo.tile(scheme).free();
lap("nine more tiles");
run(demo, { do: "mix", scheme: 0, coat: 0, paint: "medium", parts: 8 });
lap("change a mix");
demo.tile(0).free();
lap("its tile");
for (const kind of ["sheet", "page", "card-pdf", "pair", "draft", "project"]) {
  demo.take(kind, 0, 1).free();
  lap(`take ${kind}`);
}
run(demo, { do: "explore", seed: 1, replace: true, mood: null });
lap("propose ten");
run(demo, { do: "oppose", scheme: 0 });
lap("oppose");
run(demo, { do: "match", scheme: 0, part: "coat", colour: "#6a7a9a" });
lap("match a colour");
demo.free();

const photo = process.argv[2] ?? new URL("../../../demo_images/lamplighter/lamplighter.jpg", import.meta.url);
const desk = new Desk();
began = performance.now();
desk.put("photo", "photo.jpg", file(photo));
lap("a photo alone");
for (const name of ["coat", "hood"]) run(desk, { do: "add_part", name });
const { width, height } = run(desk, { do: "look" }).photo;
const stroke = (part, points) =>
  run(desk, { do: "stroke", part, erase: false, radius: 12, points: points.map(([x, y]) => [x * width, y * height]) });
stroke(null, [[0.05, 0.05], [0.05, 0.95]]);
stroke(null, [[0.95, 0.05], [0.95, 0.95]]);
stroke("coat", [[0.49, 0.44], [0.49, 0.62]]);
desk.overlay(false).free();
began = performance.now();
stroke("hood", [[0.49, 0.24], [0.5, 0.26]]);
lap("a stroke");
desk.overlay(false).free();
lap("its quick regions");
desk.overlay(true).free();
lap("its fine regions");
run(desk, { do: "example_paints" });
run(desk, { do: "add_scheme" });
began = performance.now();
desk.tile(0).free();
lap("the mask, the planes and a first tile");
console.log(`largest memory of the engine: ${engine.memory.buffer.byteLength >> 20} MiB`);

// The page connects nowhere: a proxy between the browser and the network sees only the page's own files, and the policy blocks
// the rest.

import assert from "node:assert/strict";
import { createServer, request as ask } from "node:http";
import { after, before } from "node:test";
import { desk_test, with_browser } from "./helper/browser.mjs";
import { PHOTO } from "./helper/figure.mjs";

with_browser();

/** Everything that passed: addresses, and names of hosts that someone wanted to reach. */
const passed = [];
let proxy;

before(async () => {
  proxy = createServer((request, response) => {
    passed.push(request.url);
    request.pipe(ask(request.url, { method: request.method, headers: request.headers }, (answer) => {
      response.writeHead(answer.statusCode, answer.headers);
      answer.pipe(response);
    }).on("error", () => response.destroy()));
  });
  proxy.on("connect", (request, socket) => {
    passed.push(request.url);
    socket.destroy();
  });
  await new Promise((resolve) => proxy.listen(0, "127.0.0.1", resolve));
});

after(() => {
  proxy.close();
  proxy.closeAllConnections();
});

// Also addresses of this machine go through the proxy.
const through_proxy = () => ({ proxyServer: `http://127.0.0.1:${proxy.address().port}`, proxyBypassList: ["<-loopback>"] });

desk_test("the whole job asks only for the page's own files", async (room) => {
  passed.length = 0;
  const asked = [];
  const painter = await room.open({
    prepare: async (page) => page.on("request", (request) => asked.push(request.url())),
  });
  await painter.choose("Choose a photo", PHOTO);
  await painter.see(".panel", "lamplighter.jpg");
  await painter.step("take");
  await painter.press("Start again");
  await painter.press("Clear the desk");
  await painter.open_demo();
  for (const step of ["parts", "paints", "schemes"]) await painter.step(step);
  await painter.press("Replace all of them");
  await painter.page.waitForSelector(".propose button:not(:disabled)");
  await painter.see_count('.tiles .tile[data-fresh="1"]', 10);
  await painter.step("compare");
  await painter.page.waitForSelector(".compare iframe:not(.waiting)");
  await painter.report();
  await painter.step("take");
  await painter.press("Save the project");
  await painter.idle();
  await painter.page.evaluate(() => navigator.serviceWorker.ready.then(() => undefined));

  const own = new Set(["", ...room.host.names].map((name) => room.host.url + name));
  assert.ok(passed.includes(`${room.host.url}engine_bg.wasm`), "the proxy did not see the engine: it sees too little");
  assert.deepEqual(passed.filter((address) => !own.has(address)), []);
  const inside = (address) => own.has(address.split("#")[0]) || /^(blob|data):/.test(address) || address === "about:srcdoc";
  assert.ok(asked.length > 0);
  assert.deepEqual(asked.filter((address) => !inside(address)), []);
}, through_proxy);

desk_test("the policy blocks every other address", async (room) => {
  const painter = await room.open();
  await painter.open_demo();
  await painter.step("compare");
  await painter.page.waitForSelector(".compare iframe:not(.waiting)");
  const report = await painter.report();
  const places = [["the page", painter.page], ["the engine's worker", painter.page.workers()[0]], ["the report", report]];

  // The same host under another name is another origin; it would answer.
  const other = room.host.url.replace("127.0.0.1", "localhost");
  assert.equal((await fetch(other)).status, 200);
  const own = await painter.page.evaluate(() => fetch("./index.html").then((answer) => answer.status));
  assert.equal(own, 200, "the page cannot fetch its own file: the next checks would mean nothing");

  passed.length = 0;
  for (const [where, place] of places) {
    const blocked = await place.evaluate(async (address) => {
      const seen = new Promise((resolve) => self.addEventListener("securitypolicyviolation", (event) => resolve(event.effectiveDirective), { once: true }));
      try {
        await fetch(address, { mode: "no-cors" });
        return "the request went out";
      } catch {
        return seen;
      }
    }, other);
    assert.match(blocked, /^(connect|default)-src$/, `${where}: ${blocked}`);
  }
  assert.deepEqual(passed, []);
}, through_proxy);

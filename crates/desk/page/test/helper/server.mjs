// Serves the built page as a host would: with media types and the page's own policy as a header.
// It holds the files in memory, so a new build does not change a test that runs.

import { readdirSync, readFileSync } from "node:fs";
import { createServer } from "node:http";
import { extname, join } from "node:path";

const DIST = join(import.meta.dirname, "../../dist");

const TYPES = {
  ".css": "text/css; charset=utf-8",
  ".html": "text/html; charset=utf-8",
  ".js": "text/javascript; charset=utf-8",
  ".svg": "image/svg+xml",
  ".wasm": "application/wasm",
  ".webmanifest": "application/manifest+json",
  ".zip": "application/zip",
};

const POLICY = /http-equiv="Content-Security-Policy" content="([^"]+)"/;

function policy_of(html, name) {
  const found = POLICY.exec(html.toString("utf8"));
  if (!found) throw new Error(`${name} has no Content-Security-Policy.`);
  return found[1];
}

/** The files of dist/ by name. */
export function built_files() {
  let names;
  try {
    names = readdirSync(DIST);
  } catch {
    throw new Error("There is no dist/ folder. Build the page first: crates/desk/build.sh");
  }
  for (const needed of ["index.html", "engine.js", "engine_bg.wasm", "demo.zip", "sw.js"]) {
    if (!names.includes(needed)) throw new Error(`dist/ has no ${needed}. Build the page first: crates/desk/build.sh`);
  }
  return new Map(names.map((name) => [name, readFileSync(join(DIST, name))]));
}

/** Starts the host. `stop` ends it, also for connections that are open. */
export async function serve() {
  const files = built_files();
  const desk_policy = policy_of(files.get("index.html"), "index.html");
  const asked = [];
  const server = createServer((request, response) => {
    const { pathname } = new URL(request.url, "http://desk");
    asked.push(pathname);
    const name = pathname === "/" ? "index.html" : decodeURIComponent(pathname.slice(1));
    const file = files.get(name);
    if (!file) return response.writeHead(404).end();
    // A page has its own policy; scripts and workers have that of the desk.
    const policy = extname(name) === ".html" ? policy_of(file, name) : desk_policy;
    response.writeHead(200, {
      "content-type": TYPES[extname(name)] ?? "application/octet-stream",
      "content-security-policy": policy,
      "cache-control": "no-cache",
    });
    response.end(file);
  });
  await new Promise((resolve) => server.listen(0, "127.0.0.1", resolve));
  const { port } = server.address();
  return {
    url: `http://127.0.0.1:${port}/`,
    origin: `http://127.0.0.1:${port}`,
    names: [...files.keys()],
    asked,
    stop: () => new Promise((resolve) => {
      server.close(resolve);
      server.closeAllConnections();
    }),
  };
}

// Programs and files that the tests take from the environment. A path counts from the folder in which npm was started.

import { resolve } from "node:path";

/** The path in a variable; without it the test fails and says what to set. */
export function needed(variable, what) {
  const value = process.env[variable];
  if (!value) throw new Error(`Set ${variable} to the path of ${what}. This test does not run without it.`);
  return from_start(value);
}

/** The browser. */
export const BROWSER = from_start(process.env.VELATURA_BROWSER ?? "/usr/bin/chromium");

function from_start(path) {
  return resolve(process.env.INIT_CWD ?? ".", path);
}

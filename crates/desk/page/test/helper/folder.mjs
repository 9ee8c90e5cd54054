// A project on the disk for the command: a folder of its own that goes when the work is done.

import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";

/** Writes files, by name and content, into a new folder. Gives what `work` makes of it. */
export function in_a_folder(files, work) {
  const folder = mkdtempSync(join(tmpdir(), "velatura-project-"));
  try {
    for (const [name, bytes] of Object.entries(files)) {
      mkdirSync(dirname(join(folder, name)), { recursive: true });
      writeFileSync(join(folder, name), bytes);
    }
    return work(folder);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

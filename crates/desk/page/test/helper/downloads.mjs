// Files that the page saves: they go to a folder of this test, not to the painter's.

import { existsSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

export class Downloads {
  #folder = mkdtempSync(join(tmpdir(), "velatura-desk-"));
  #done = [];
  #waiting = [];
  #names = new Map();
  #session;

  /** Begins to take the downloads of a room. */
  static async of(room) {
    const downloads = new Downloads();
    const session = downloads.#session = await room.browser.target().createCDPSession();
    await session.send("Browser.setDownloadBehavior", {
      behavior: "allowAndName",
      browserContextId: room.context.id,
      downloadPath: downloads.#folder,
      eventsEnabled: true,
    });
    session.on("Browser.downloadWillBegin", ({ guid, suggestedFilename }) => downloads.#names.set(guid, suggestedFilename));
    session.on("Browser.downloadProgress", ({ guid, state }) => {
      const path = join(downloads.#folder, guid);
      // The browser reports the files of all rooms; those of another room are in another folder.
      if (state === "completed" && existsSync(path)) downloads.#arrived({ name: downloads.#names.get(guid), bytes: readFileSync(path) });
    });
    return downloads;
  }

  /** The next file that was saved. */
  next() {
    const file = this.#done.shift();
    return file ? Promise.resolve(file) : new Promise((resolve) => this.#waiting.push(resolve));
  }

  async remove() {
    await this.#session.detach();
    rmSync(this.#folder, { recursive: true, force: true });
  }

  #arrived(file) {
    const waiting = this.#waiting.shift();
    if (waiting) waiting(file);
    else this.#done.push(file);
  }
}

// Storage is missing or full: the page says that the project is not kept, and how to save it. The work goes on.

import assert from "node:assert/strict";
import { desk_test, with_browser } from "./helper/browser.mjs";
import { Downloads } from "./helper/downloads.mjs";
import { unzip } from "./helper/zip.mjs";

with_browser();

const CASES = [
  {
    what: "missing", why: "it does not allow pages to keep data",
    override: () => { IDBFactory.prototype.open = () => { throw new DOMException("No storage here.", "SecurityError"); }; },
  },
  {
    what: "full", why: "its storage is full",
    override: () => {
      IDBObjectStore.prototype.put = () => { throw new DOMException("There is no room.", "QuotaExceededError"); };
    },
  },
];

for (const { what, why, override } of CASES) {
  desk_test(`storage is ${what}`, async (room) => {
    const downloads = await Downloads.of(room);
    try {
      const painter = await room.open({ prepare: (page) => page.evaluateOnNewDocument(override) });
      await painter.open_demo();
      await painter.see("main > .note", `This browser does not keep the project: ${why}. Before you close the page, save it as a file in Take away.`);

      // The link in the note leads to the step that saves it.
      await painter.hit("main > .note a");
      await painter.page.waitForSelector("main[data-step=take]");
      await painter.press("Save the project");
      const { bytes } = await downloads.next();
      assert.ok(unzip(bytes).has("figure.toml"), "the saved project has no figure.toml");
      await painter.see("main > .note", why);
    } finally {
      await downloads.remove();
    }
  });
}

// axe on every step: nothing serious or critical, on a desktop and a phone, light and dark.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { DESKTOP, desk_test, PHONE, with_browser } from "./helper/browser.mjs";
import { needed } from "./helper/environment.mjs";
import { on_every_step } from "./helper/steps.mjs";

with_browser();

const RULES_THAT_MUST_RUN = ["color-contrast", "button-name", "label"];

/** Serious and critical findings in one frame, as lines. */
async function findings(frame, axe) {
  await frame.evaluate(`if (!window.axe) { ${axe} }`);
  const { bad, ran } = await frame.evaluate(async () => {
    const result = await window.axe.run(document, { iframes: false });
    const bad = result.violations.filter(({ impact }) => impact === "serious" || impact === "critical");
    return {
      ran: [...result.passes, ...result.violations, ...result.incomplete].map(({ id }) => id),
      bad: bad.flatMap(({ id, impact, nodes }) => nodes.map((node) =>
        `${impact} ${id}: ${node.html.slice(0, 160)} ${[...node.any, ...node.all].map(({ message }) => message).join("; ")}`)),
    };
  });
  return { bad, ran };
}

for (const [device, viewport] of [["desktop", DESKTOP], ["phone", PHONE]]) {
  for (const scheme of ["light", "dark"]) {
    desk_test(`axe on a ${device}, ${scheme}`, async (room) => {
      const axe = readFileSync(needed("VELATURA_AXE", "axe.min.js of the package axe-core"), "utf8");
      const painter = await room.open({
        viewport,
        prepare: (page) => page.emulateMediaFeatures([{ name: "prefers-color-scheme", value: scheme }]),
      });
      const all = [];
      const ran = new Set();
      await on_every_step(painter, async (where) => {
        await painter.drawn();
        const frames = [painter.page.mainFrame(), ...(where === "compare" ? [await painter.report()] : [])];
        for (const frame of frames) {
          const found = await findings(frame, axe);
          all.push(...found.bad.map((line) => `${where}: ${line}`));
          for (const rule of found.ran) ran.add(rule);
        }
      });
      for (const rule of RULES_THAT_MUST_RUN) assert.ok(ran.has(rule), `axe did not run its rule ${rule}`);
      assert.deepEqual(all, []);
    });
  }
}

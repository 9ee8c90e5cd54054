// Whether a step fits the width of the screen.

import assert from "node:assert/strict";

/** Fails if the page moves sideways, or if something that a painter reads or presses goes over the edge. */
export async function assert_fits(painter, where) {
  await painter.drawn();
  const { moved, cut } = await painter.page.evaluate(() => {
    const width = document.documentElement.clientWidth;
    scrollTo({ left: 1000, top: scrollY, behavior: "instant" });
    const moved = Math.max(scrollX, document.documentElement.scrollWidth - width, document.querySelector("main").scrollWidth - width);
    scrollTo({ left: 0, top: scrollY, behavior: "instant" });
    // A strip that scrolls sideways may be wider than the screen: its own content is no fault.
    const in_strip = (element) => {
      for (let box = element.parentElement; box; box = box.parentElement) {
        if (["auto", "scroll"].includes(getComputedStyle(box).overflowX) && box.scrollWidth > box.clientWidth && box.clientWidth <= width) return true;
      }
      return false;
    };
    const cut = [...document.querySelectorAll("a, button, input, select, label, h1, h2, p, li, iframe, canvas")]
      .filter((element) => element.checkVisibility() && !element.closest(".unseen, .skip, .said"))
      .filter((element) => {
        const { left, right, width: wide } = element.getBoundingClientRect();
        return wide > 1 && (right > width + 1 || left < -1) && !in_strip(element);
      })
      .map((element) => `${element.tagName.toLowerCase()} "${element.textContent.trim().slice(0, 40)}"`);
    return { moved, cut };
  });
  assert.equal(moved, 0, `${where} moves sideways by ${moved} pixels`);
  assert.deepEqual(cut, [], `${where} has something over the edge`);
}

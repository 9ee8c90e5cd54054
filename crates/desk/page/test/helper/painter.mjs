// What a painter does with the page: go to a step, press a button, choose a file, draw a stroke.

const NAMED = "button, a, summary, label.file, input, select, [role=application]";

export class Painter {
  /** `finger`: the painter has a touch screen instead of a mouse. */
  constructor(page, finger = false) {
    this.page = page;
    this.finger = finger;
  }

  async #hit(element) {
    await element.evaluate(uncover);
    const box = await element.boundingBox();
    const middle = [box.x + box.width / 2, box.y + box.height / 2];
    await (this.finger ? this.page.touchscreen.tap(...middle) : this.page.mouse.click(...middle));
  }

  /** Waits until the engine works. */
  async ready() {
    await this.page.waitForFunction(() => document.documentElement.dataset.ready === "1");
  }

  /** Nothing waits and nothing is being made. */
  async idle() {
    await this.page.waitForFunction(() => document.documentElement.dataset.busy === "0");
    await this.drawn();
  }

  /** The browser has drawn what the page knows. */
  async drawn() {
    await this.page.evaluate(() => new Promise((done) => {
      requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(done)));
    }));
  }

  /** Waits until an element fits the selector and, if `text` is there, contains it. Gives its text. */
  async see(selector, text = "") {
    const handle = await this.page.waitForFunction((selector, text) => {
      const found = [...document.querySelectorAll(selector)].find((element) => element.textContent.includes(text));
      return found ? found.textContent : null;
    }, {}, selector, text).catch((error) => {
      throw new Error(`"${text}" does not appear in ${selector}: ${error.message}`);
    });
    return handle.jsonValue();
  }

  /** Waits until so many elements fit the selector. */
  async see_count(selector, count) {
    await this.page.waitForFunction((selector, count) => document.querySelectorAll(selector).length === count, {}, selector, count)
      .catch(async (error) => {
        const there = await this.count(selector);
        throw new Error(`${there} instead of ${count} elements fit ${selector}: ${error.message}`);
      });
  }

  async count(selector) {
    return this.page.evaluate((selector) => document.querySelectorAll(selector).length, selector);
  }

  async text(selector = "body") {
    return this.page.$eval(selector, (element) => element.textContent);
  }

  /** The button, link or field of this name. A name is the label for screen readers, or the text. */
  async named(name) {
    const handle = await this.page.waitForFunction((name, selector) => {
      const name_of = (element) => (element.getAttribute("aria-label") ?? element.closest("label")?.textContent ?? element.textContent).trim();
      const all = [...document.querySelectorAll(selector)].filter((element) => !element.disabled && element.checkVisibility());
      return all.find((element) => name_of(element) === name) ?? all.find((element) => name_of(element).startsWith(name));
    }, {}, name, NAMED).catch((error) => {
      throw new Error(`There is no usable control "${name}": ${error.message}`);
    });
    return handle.asElement();
  }

  /** Presses a control. */
  async press(name) {
    await this.#hit(await this.named(name));
  }

  /** Presses the first element that fits the selector. */
  async hit(selector) {
    await this.#hit(await this.page.waitForSelector(selector));
  }

  /** Goes to a step by its link in the row of steps. */
  async step(step) {
    await this.hit(`.steps a[href="#${step}"]`);
    await this.page.waitForSelector(`main[data-step="${step}"]`);
    await this.idle();
  }

  async choose(label, path) {
    const [chooser] = await Promise.all([this.page.waitForFileChooser(), this.press(label)]);
    await chooser.accept([path]);
  }

  async open_demo() {
    await this.press("Try it with the demo figure");
    await this.page.waitForSelector('.steps a[href="#photo"][data-done="1"]');
    await this.idle();
  }

  async add_part(name) {
    const field = await this.page.waitForSelector(".new-part input");
    await field.type(name);
    await field.press("Enter");
    await this.page.waitForSelector(`.parts [data-part="${name}"]`);
    await this.page.waitForSelector(`.pills [data-part="${name}"] input:checked`);
  }

  /** A tap on a button that is just moving misses it, as it does for people: they tap again. */
  async tool(part) {
    await this.idle();
    for (let left = 2; ; left--) {
      await this.hit(`.pills [data-part="${part}"]`);
      const chosen = this.page.waitForSelector(`.pills [data-part="${part}"] input:checked`, left > 0 ? { timeout: 5000 } : {});
      if (await chosen.catch((error) => { if (left === 0) throw error; })) return;
    }
  }

  /** A place of the photo, from 0 to 1 along its width and height, on the screen. */
  async on_board([x, y], photo = { width: 1067, height: 1600 }) {
    const box = await (await this.page.waitForSelector(".board")).boundingBox();
    const scale = Math.min(box.width / photo.width, box.height / photo.height);
    return [
      box.x + (box.width - photo.width * scale) / 2 + x * photo.width * scale,
      box.y + (box.height - photo.height * scale) / 2 + y * photo.height * scale,
    ];
  }

  /** A stroke through places of the photo, with the mouse or a finger. */
  async stroke(places) {
    await this.page.$eval(".board", (board) => board.scrollIntoView({ block: "start" }));
    const way = between(await Promise.all(places.map((place) => this.on_board(place))));
    const { mouse, touchscreen } = this.page;
    if (this.finger) {
      const touch = await touchscreen.touchStart(...way[0]);
      for (const place of way.slice(1)) await touch.move(...place);
      await touch.end();
    } else {
      await mouse.move(...way[0]);
      await mouse.down();
      for (const place of way.slice(1)) await mouse.move(...place);
      await mouse.up();
    }
  }

  /** Waits until the board shows the parts in colours over the grey photo. */
  async see_parts() {
    await this.page.waitForFunction(() => {
      const canvas = document.querySelector(".board canvas");
      const { data } = canvas.getContext("2d").getImageData(0, 0, canvas.width, canvas.height);
      let coloured = 0;
      for (let at = 0; at < data.length; at += 4) {
        if (Math.max(data[at], data[at + 1], data[at + 2]) - Math.min(data[at], data[at + 1], data[at + 2]) > 40) coloured += 1;
      }
      return coloured > data.length / 4 / 50;
    }, { polling: 100 }).catch((error) => {
      throw new Error(`The board does not show the parts: ${error.message}`);
    });
  }

  /** The shares of the parts in whole percent, once the page shows them. */
  async shares() {
    const shares = await this.page.waitForFunction(() => {
      const rows = [...document.querySelectorAll(".parts li")];
      const all = rows.map((row) => [row.dataset.part, /(\d+) %/.exec(row.querySelector(".share").textContent)?.[1]]);
      return all.every(([, share]) => share !== undefined) && Object.fromEntries(all.map(([part, share]) => [part, Number(share)]));
    }).catch((error) => {
      throw new Error(`Not every part has its share: ${error.message}`);
    });
    return shares.jsonValue();
  }

  /** The report inside the Compare step. */
  async report() {
    const in_room = (frame) => frame.parentFrame() !== null && frame.parentFrame() !== this.page.mainFrame();
    return this.page.waitForFrame(async (frame) => in_room(frame) && (await frame.$("h1")) !== null);
  }

  /** What each of these canvases shows, as one number of its pixels. */
  async marks(selector) {
    await this.page.mouse.move(0, 0); // a brush over a board would count
    await this.drawn();
    return this.page.$$eval(selector, (canvases) => canvases.map((canvas) => {
      const { data } = canvas.getContext("2d").getImageData(0, 0, canvas.width, canvas.height);
      let mark = 0;
      for (const value of data) mark = (Math.imul(mark, 31) + value) | 0;
      return mark;
    }));
  }
}

/** Scrolls until nothing covers the middle of the element: on a phone the picture and the row of steps stay over the page. */
function uncover(element) {
  const free = () => {
    const box = element.getBoundingClientRect();
    const hit = document.elementFromPoint(box.x + box.width / 2, box.y + box.height / 2);
    return hit !== null && (element.contains(hit) || hit.closest("label")?.contains(element));
  };
  for (const block of ["nearest", "center", "start", "end"]) {
    if (free()) return;
    element.scrollIntoView({ block, behavior: "instant" });
  }
  // Somewhere between the two covers.
  for (let at = 0.1; at < 1; at += 0.05) {
    if (free()) return;
    scrollBy({ top: element.getBoundingClientRect().y - innerHeight * at, behavior: "instant" });
  }
  if (!free()) throw new Error(`Something covers "${element.textContent.trim() || element.getAttribute("aria-label")}" wherever the page scrolls.`);
}

/** A hand moves in small steps. */
function between(places) {
  const STEPS = 4;
  return places.flatMap(([x, y], index) => {
    if (index === 0) return [[x, y]];
    const [from_x, from_y] = places[index - 1];
    return Array.from({ length: STEPS }, (_, step) => (step + 1) / STEPS)
      .map((share) => [from_x + (x - from_x) * share, from_y + (y - from_y) * share]);
  });
}

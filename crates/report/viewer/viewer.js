"use strict";
// Looks at schemes side by side. Works on any page that has a section #compare and pictures with the attribute data-view, and
// asks nothing of a network. Without this script the page still shows everything, one scheme below the other.
(() => {
  const section = document.getElementById("compare");
  const views = [...document.querySelectorAll("img[data-view]")];
  if (!section || views.length === 0) return;

  const part = (name) => section.querySelector(`[data-part="${name}"]`);
  const stage = part("stage");
  const sides = [part("left"), part("right")];
  const sections = [...document.querySelectorAll("section[data-scheme]")];
  const MOST_ZOOM = 8;
  const LEAST_ZOOM = 0.02;
  // How wide a picture looks from across the table; the page knows the figure's height.
  const farWidth = Number(section.dataset.farPx);
  const look = { zoom: 1, x: 0, y: 0 };

  const within = (value, least, most) => Math.min(Math.max(value, least), most);

  // Places are in percent of a picture, so panes of any size show the same spot.
  const apply = () => {
    const limit = 100 * (1 - look.zoom);
    if (look.zoom < 1) {
      look.x = limit / 2;
      look.y = limit / 2;
    } else {
      look.x = within(look.x, limit, 0);
      look.y = within(look.y, limit, 0);
    }
    stage.style.setProperty("--zoom", look.zoom);
    stage.style.setProperty("--x", `${look.x}%`);
    stage.style.setProperty("--y", `${look.y}%`);
    part("zoom").textContent = `${Math.round(100 * look.zoom)} %`;
  };

  // The spot under (x, y), in percent of the pane, stays where it is.
  const zoomTo = (zoom, x = 50, y = 50) => {
    const next = within(zoom, LEAST_ZOOM, MOST_ZOOM);
    look.x = x - ((x - look.x) * next) / look.zoom;
    look.y = y - ((y - look.y) * next) / look.zoom;
    look.zoom = next;
    apply();
  };

  const pane = (view) => {
    const figure = document.createElement("figure");
    const picture = document.createElement("img");
    const name = document.createElement("figcaption");
    picture.src = view.src;
    picture.alt = view.alt;
    picture.draggable = false;
    name.textContent = view.dataset.view;
    figure.className = "pane";
    figure.dataset.of = view.dataset.view;
    figure.append(picture, name);
    return figure;
  };

  const visible = (view) => {
    const own = view.closest("section[data-scheme]");
    return !own || !own.hidden;
  };

  const draw = () => {
    const all = part("all").checked;
    const chosen = all
      ? views.filter(visible)
      : sides.map((side) => views.find((view) => view.dataset.view === side.value));
    stage.classList.toggle("divided", !all);
    stage.replaceChildren(...chosen.filter(Boolean).map(pane));
    part("two").hidden = all;
    apply();
  };

  const divide = (percent) => {
    part("divider").value = percent;
    stage.style.setProperty("--divide", `${percent}%`);
  };

  for (const [side, first] of [[sides[0], 0], [sides[1], 1]]) {
    for (const view of views) side.add(new Option(view.dataset.view, view.dataset.view));
    side.selectedIndex = Math.min(first, views.length - 1);
    side.addEventListener("change", draw);
  }
  part("all").addEventListener("change", draw);
  part("divider").addEventListener("input", (event) => divide(event.target.value));
  part("flip").addEventListener("click", () => divide(part("divider").value > 50 ? 0 : 100));
  part("closer").addEventListener("click", () => zoomTo(look.zoom * 1.5));
  part("back").addEventListener("click", () => zoomTo(look.zoom / 1.5));
  part("fit").addEventListener("click", () => zoomTo(1));
  part("far").addEventListener("click", () => {
    zoomTo(farWidth / stage.querySelector(".pane").clientWidth);
  });
  part("far").hidden = !(farWidth > 0);
  part("see").addEventListener("change", (event) => {
    const way = event.target.value;
    stage.style.filter = way ? `url(#see-${way})` : "";
  });

  stage.addEventListener("keydown", (event) => {
    const step = 10;
    const keys = {
      ArrowLeft: () => (look.x += step),
      ArrowRight: () => (look.x -= step),
      ArrowUp: () => (look.y += step),
      ArrowDown: () => (look.y -= step),
      "+": () => zoomTo(look.zoom * 1.5),
      "-": () => zoomTo(look.zoom / 1.5),
      0: () => zoomTo(1),
    };
    if (!keys[event.key] || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    keys[event.key]();
    apply();
  });

  // One pointer moves the picture, two of them zoom it.
  const held = new Map();
  const paneSize = () => {
    const picture = stage.querySelector(".pane");
    const box = (picture || stage).getBoundingClientRect();
    return { ...box.toJSON(), width: box.width || 1, height: box.height || 1 };
  };
  const spread = () => {
    const [a, b] = [...held.values()];
    return Math.hypot(a.x - b.x, a.y - b.y) || 1;
  };
  stage.addEventListener("pointerdown", (event) => {
    held.set(event.pointerId, { x: event.clientX, y: event.clientY });
  });
  stage.addEventListener("pointermove", (event) => {
    const before = held.get(event.pointerId);
    if (!before) return;
    const box = paneSize();
    const wide = held.size === 2 ? spread() : 0;
    held.set(event.pointerId, { x: event.clientX, y: event.clientY });
    if (held.size === 2) {
      const [a, b] = [...held.values()];
      const x = (100 * ((a.x + b.x) / 2 - box.left)) / box.width;
      const y = (100 * ((a.y + b.y) / 2 - box.top)) / box.height;
      zoomTo((look.zoom * spread()) / wide, x, y);
    } else if (look.zoom > 1) {
      look.x += (100 * (event.clientX - before.x)) / box.width;
      look.y += (100 * (event.clientY - before.y)) / box.height;
      apply();
    } else if (!part("all").checked) {
      divide(within((100 * (event.clientX - box.left)) / box.width, 0, 100));
    }
  });
  for (const end of ["pointerup", "pointercancel", "pointerleave"]) {
    stage.addEventListener(end, (event) => held.delete(event.pointerId));
  }

  // Only schemes with one paint.
  const paints = new Set(sections.flatMap((own) => JSON.parse(own.dataset.paints)));
  for (const name of [...paints].sort()) part("paint").add(new Option(name, name));
  part("paint").addEventListener("change", (event) => {
    const wanted = event.target.value;
    for (const own of sections) {
      own.hidden = wanted !== "" && !JSON.parse(own.dataset.paints).includes(wanted);
      const link = document.querySelector(`nav a[href="#${own.id}"]`);
      if (link) link.hidden = own.hidden;
    }
    const left = sections.filter((own) => !own.hidden).length;
    part("count").textContent = wanted ? `${left} of ${sections.length} schemes use ${wanted}` : "";
    draw();
  });

  // Favourites stay in this browser. A page that is opened from a file may have no storage.
  const place = `velatura ${document.title}`;
  const stored = () => {
    try {
      return JSON.parse(localStorage.getItem(place)) || [];
    } catch {
      return [];
    }
  };
  const boxes = [];
  const listKept = () => {
    const kept = boxes.filter((box) => box.checked).map((box) => box.value);
    const quoted = kept.map((name) => `"${name.replaceAll('"', '\\"')}"`).join(" ");
    part("kept").value = kept.length ? `--only ${quoted}` : "";
    try {
      localStorage.setItem(place, JSON.stringify(kept));
    } catch {
      // Then they last as long as the page is open.
    }
  };
  const earlier = stored();
  for (const own of sections) {
    const label = document.createElement("label");
    const box = document.createElement("input");
    box.type = "checkbox";
    box.value = own.dataset.scheme;
    box.checked = earlier.includes(box.value);
    box.addEventListener("change", listKept);
    label.className = "keep";
    label.append(box, ` Keep ${own.dataset.scheme}`);
    own.querySelector("h2").after(label);
    boxes.push(box);
  }

  // Within another page this one has no address: links to places in it would lead out of it, and there are no files next to it.
  if (location.protocol === "about:") {
    for (const list of document.querySelectorAll("[data-files]")) list.hidden = true;
    for (const link of document.querySelectorAll('a[href^="#"]')) {
      link.addEventListener("click", (event) => {
        event.preventDefault();
        document.getElementById(link.getAttribute("href").slice(1))?.scrollIntoView();
      });
    }
  }

  section.hidden = false;
  listKept();
  divide(50);
  draw();
})();

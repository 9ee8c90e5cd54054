import { is_whole } from "./place";
import { render } from "preact";
import { App } from "./app";
import { desk } from "./desk";

const root = document.getElementById("desk")!;
const draw = () => render(<App />, root);
let waiting = false;

// Several changes in a row are drawn once.
desk.on_change(() => {
  if (waiting) return;
  waiting = true;
  queueMicrotask(() => {
    waiting = false;
    draw();
  });
});

document.documentElement.dataset.busy = "1";
draw();
void desk.start();

// Without a service worker the page works as well, only not without a connection.
if (!is_whole && "serviceWorker" in navigator) navigator.serviceWorker.register("./sw.js").catch(() => {});

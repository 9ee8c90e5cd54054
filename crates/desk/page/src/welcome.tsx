// The Photo step before there is a photo: what the desk does, and the ways to begin.

import { useState } from "preact/hooks";
import { FileButton, Trouble } from "./controls";
import { desk } from "./desk";
import { demo_project } from "./place";
import { problem } from "./engine";

export function Welcome() {
  return (
    <div class="welcome">
      <div class="hello">
        <h1>Ten schemes on your own figure</h1>
        <p class="lead">Prime a figure. Drybrush it in greys, from black recesses to white edges. Take one photo. The desk shows what your
          translucent paints will dry to over those greys, part by part.</p>
        <Trouble />
        <div class="row">
          <FileButton label="Take a photo" accept="image/*" camera strong onFile={(file) => void desk.put_file("photo", file)} />
          <FileButton label="Choose a photo" accept="image/*" strong onFile={(file) => void desk.put_file("photo", file)} />
          <Demo />
          <FileButton label="Open a project" accept=".zip,application/zip" onFile={(file) => void desk.put_file("project", file)} />
        </div>
        <ul class="advice">
          <li>Use one lamp, and no window behind you.</li>
          <li>Fill the picture with the figure. Keep the brightest edges just below pure white.</li>
          <li>Switch off portrait mode, night mode and filters.</li>
        </ul>
        <p class="promise">The photo stays on this device. The page sends nothing anywhere.</p>
        <p class="caution">Prime outdoors or in moving air, and wear a mask that is made for spray paint. The safety sheet of the product
          comes before anything written here.</p>
      </div>
      <figure class="poster">
        <img src="glazes.svg" alt="Six bars from black to white. Six translucent paints cross them: dark over black, bright over white." width="360" height="420" />
        <figcaption>Six invented paints, one coat each, over six greys. Dark recesses keep the paint dark; white edges make it shine.</figcaption>
      </figure>
    </div>
  );
}

/** The Lamplighters' demo figure comes with the page; a page built without it has no such button. */
function Demo() {
  const [state, set_state] = useState<"there" | "coming" | "missing">("there");
  const open = async () => {
    set_state("coming");
    try {
      await desk.put("project", "demo.zip", await demo_project());
      set_state("there");
    } catch {
      set_state("missing");
      desk.fail(problem("The demo figure did not load.", "It comes with the page. Check the connection, or use your own photo."));
    }
  };
  if (state === "missing") return null;
  return (
    <button type="button" disabled={state === "coming"} onClick={() => void open()}>
      {state === "coming" ? "Loading the demo figure…" : "Try it with the demo figure"}
    </button>
  );
}

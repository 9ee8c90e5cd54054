// Ten proposals from the paints in the box.

import { useState } from "preact/hooks";
import { desk } from "./desk";
import { Trouble } from "./controls";

type Mood = "bright" | "dark" | "muted";

let seed = 0; // another press, other schemes

export function Propose() {
  const { view } = desk.state;
  const [mood, set_mood] = useState<Mood | "">("");
  const [trying, set_trying] = useState(false);
  const propose = async (replace: boolean) => {
    set_trying(true);
    seed += 1;
    const before = desk.state.view.schemes.length;
    const well = await desk.run({ do: "explore", seed, replace, mood: mood || null }, "propose");
    set_trying(false);
    if (well && !replace) requestAnimationFrame(() => document.querySelector(`[data-scheme="${before}"]`)?.scrollIntoView());
  };
  const some = view.schemes.length > 0;
  return (
    <div class="propose">
      <div class="row">
        <label class="field">
          <span class="unseen">Mood</span>
          <select value={mood} onChange={(event) => set_mood(event.currentTarget.value as Mood | "")}>
            <option value="">any mood</option>
            <option value="bright">bright</option>
            <option value="dark">dark</option>
            <option value="muted">muted</option>
          </select>
        </label>
        <button type="button" class={some ? "" : "strong"} disabled={trying} onClick={() => void propose(!some)}>
          {some ? "Propose ten more" : "Propose ten schemes"}
        </button>
        {some && <button type="button" disabled={trying} onClick={() => void propose(true)}>Replace all of them</button>}
      </div>
      {trying && <p class="quiet" role="status">Trying mixes of your paints. This takes some seconds…</p>}
      {!some && !trying && <p class="quiet">Proposals use the paints in your box: few paints, distinct parts, schemes that differ from each other.</p>}
      <Trouble where="propose" />
    </div>
  );
}

// The parts by name: what each one is, how much of the figure it covers.

import { useState } from "preact/hooks";
import { NameField, Trouble } from "./controls";
import { desk } from "./desk";
import type { Material, PartView } from "./protocol";
import { MATERIALS, percent } from "./words";

/** Adds a part and takes it in hand. */
export function NewPart() {
  const [name, set_name] = useState("");
  const add = async (event: Event) => {
    event.preventDefault();
    const wanted = name.trim();
    if (!wanted || !(await desk.run({ do: "add_part", name: wanted }, "parts"))) return;
    set_name("");
    const last = desk.state.view.parts.at(-1);
    if (last) desk.set({ tool: { part: last.name } });
  };
  return (
    <form class="row new-part" onSubmit={add}>
      <label class="field grow">
        <span>New part</span>
        <input type="text" value={name} placeholder="cloak" autocomplete="off" autocapitalize="none"
          onInput={(event) => set_name(event.currentTarget.value)} />
      </label>
      <button type="submit" class="low">Add a part</button>
      <Trouble where="parts" />
    </form>
  );
}

export function PartList() {
  const { view } = desk.state;
  if (view.parts.length === 0) return null;
  return (
    <section>
      <h2>The parts</h2>
      <Trouble where="part list" />
      <ul class="parts">
        {view.parts.map((part) => <Part key={part.colour} part={part} />)}
      </ul>
    </section>
  );
}

function Part({ part }: { part: PartView }) {
  return (
    <li data-part={part.name}>
      <i class="dot" style={{ backgroundColor: part.colour }} aria-hidden="true" />
      <NameField label={`Name of ${part.name}`} hidden value={part.name}
        onName={async (name) => {
          const { tool } = desk.state;
          const held = typeof tool === "object" && tool.part === part.name;
          const went_well = await desk.run({ do: "rename_part", part: part.name, name }, "part list");
          if (went_well && held) desk.set({ tool: { part: name } });
          return went_well;
        }} />
      <label class="field">
        <span class="unseen">What {part.name} is</span>
        <select value={part.is ?? ""} onChange={(event) =>
          void desk.run({ do: "part_is", part: part.name, is: (event.currentTarget.value || null) as Material | null }, "part list")}>
          <option value="">{part.guess ? `${part.guess} (a guess)` : "not known"}</option>
          {MATERIALS.map((material) => <option key={material} value={material}>{material}</option>)}
        </select>
      </label>
      <span class="share">{part.share === null ? "–" : percent(part.share)}<span class="unseen"> of the figure</span></span>
      <button type="button" aria-label={`Remove ${part.name}`} onClick={() => void desk.run({ do: "remove_part", part: part.name }, "part list")}>×</button>
    </li>
  );
}

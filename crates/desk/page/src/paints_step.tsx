// Step 3: the paints in the painter's box.

import { AddPaint } from "./add_paint";
import { CardForm } from "./card_form";
import { FileButton, NameField, Problems, Trouble } from "./controls";
import { desk } from "./desk";
import { hints_for } from "./hints";
import type { PaintView } from "./protocol";
import { Take } from "./take_step";
import { Tints } from "./tints";
import { capital, count } from "./words";

export function PaintsStep() {
  const { view } = desk.state;
  const owned = view.paints.filter((paint) => paint.owned).length;
  return (
    <div class="page">
      <h1>Paints</h1>
      <Trouble />
      <p class="lead">{view.paints.length === 0
        ? "Which paints do you have? A drawdown of each shows all that counts: one even film over black and over white, dried."
        : `${count(view.paints.length, "paint")}, ${owned} in your box. Proposals and matches use only what is in the box.`}</p>
      {hints_for("paints", view).length > 0 && <Problems problems={hints_for("paints", view)} />}
      {view.paints.length > 0 && (
        <ul class="paints">
          {view.paints.map((paint) => <Paint key={paint.name} paint={paint} />)}
        </ul>
      )}
      {view.card && <CardForm card={view.card} />}
      <section class="ways">
        <h2>{view.paints.length === 0 ? "Bring your paints" : "More paints"}</h2>
        <div class="cards">
          <div class="card">
            <h3>Example paints</h3>
            <p>Invented paints of the Lamplighters' harbour, to try the desk with.</p>
            <button type="button" class={view.paints.length === 0 ? "strong" : ""}
              onClick={() => void desk.run({ do: "example_paints" }, "ways").then((well) => { if (well) window.scrollTo(0, 0); })}>Use the example paints</button>
          </div>
          <div class="card">
            <h3>A paints file</h3>
            <p>A file paints.toml from Velatura.</p>
            <FileButton label="Open a paints file" accept=".toml,application/toml,text/plain" onFile={(file) => void desk.put_file("paints", file, "ways")} />
          </div>
          <div class="card">
            <h3>A photo of your drawdown card</h3>
            <p>Print the blank card, brush each paint over its black and its white, let it dry, and photograph it from above, without glare.</p>
            <Take kind="drawdown-card" label="Save the blank drawdown card" can />
            <FileButton label="Read a photo of the card" accept="image/*" onFile={(file) => void desk.put_file("card", file, "ways")} />
          </div>
        </div>
        <Trouble where="ways" />
      </section>
      <AddPaint />
      <p class="onward"><a class="button strong" href="#schemes">Go on to Schemes</a></p>
    </div>
  );
}

const GIVEN = { drawdown: "from a drawdown", spectrum: "from a spectrum", chip: "from one colour, less exact" };

function Paint({ paint }: { paint: PaintView }) {
  const where = `paint ${paint.name}`;
  return (
    <li data-paint={paint.name} class={paint.owned ? "" : "lent"}>
      <div class="drawdown" role="img" aria-label={`${paint.name}: ${paint.over_black} over black, ${paint.over_white} over white`}>
        <i style={{ backgroundColor: paint.over_black }} />
        <i style={{ backgroundColor: paint.over_white }} />
      </div>
      <NameField label={`Name of ${paint.name}`} hidden value={paint.name}
        onName={(name) => desk.run({ do: "rename_paint", paint: paint.name, name }, where)} />
      <p class="quiet">
        {capital(paint.hides)}. Contrast ratio {paint.contrast_ratio.toFixed(2)}, {GIVEN[paint.given]}.{" "}
        {paint.used > 0 ? `In ${count(paint.used, "coat")}.` : "Not used yet."}
      </p>
      <div class="row">
        <label class="check">
          <input type="checkbox" checked={paint.owned} aria-label={`${paint.name} is in my box`}
            onChange={(event) => void desk.run({ do: "paint_owned", paint: paint.name, owned: event.currentTarget.checked }, where)} />
          <span>In my box</span>
        </label>
        <label class="check">
          <input type="checkbox" checked={paint.metallic} aria-label={`${paint.name} is metallic`}
            onChange={(event) => void desk.run({ do: "paint_metallic", paint: paint.name, metallic: event.currentTarget.checked }, where)} />
          <span>Metallic</span>
        </label>
        <button type="button" aria-label={`Remove ${paint.name}`} onClick={() => void desk.run({ do: "remove_paint", paint: paint.name }, where)}>
          Remove
        </button>
      </div>
      <Tints paint={paint} where={where} />
      <Trouble where={where} />
    </li>
  );
}

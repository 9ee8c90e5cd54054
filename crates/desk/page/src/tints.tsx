// Tints of a paint: drawdowns of it mixed with another. They show how strong it is in a mix.

import { useState } from "preact/hooks";
import { Colour, FromPhoto, NOTHING_TAKEN, type TakenPair } from "./add_paint";
import { Chip, Stepper } from "./controls";
import { desk } from "./desk";
import type { PaintView } from "./protocol";
import { count } from "./words";

export function Tints({ paint, where }: { paint: PaintView; where: string }) {
  const { tints } = paint;
  const others = desk.state.view.paints.filter(({ name }) => name !== paint.name);
  if (tints.length === 0 && others.length === 0) return null;
  return (
    <details class="tints">
      <summary>{tints.length === 0 ? "Tints" : count(tints.length, "tint")}</summary>
      <p class="quiet">Mix a little of {paint.name} with a pale paint and brush it over both cards: mixes are then much more exact.</p>
      <ul>
        {tints.map((tint, index) => (
          <li key={index} class="row">
            {tint.over && <Chip left={tint.over[0]} right={tint.over[1]} />}
            <span class="grow">{tint.parts[0]} : {tint.parts[1]} {tint.with}{tint.over ? "" : ", a spectrum"}</span>
            <button type="button" aria-label={`Remove the tint with ${tint.with}`}
              onClick={() => void desk.run({ do: "remove_tint", paint: paint.name, tint: index }, where)}>Remove</button>
          </li>
        ))}
      </ul>
      {others.length > 0 && <AddTint paint={paint} others={others} where={where} />}
    </details>
  );
}

/** The sum of a colour's three codes: enough to order paints. A paint that is bright over black is pale and hides. */
function brightness(colour: string): number {
  return [1, 3, 5].reduce((sum, at) => sum + parseInt(colour.slice(at, at + 2), 16), 0);
}

function AddTint({ paint, others, where }: { paint: PaintView; others: PaintView[]; where: string }) {
  // The palest paint is the usual partner.
  const palest = others.reduce((one, other) => (brightness(other.over_black) > brightness(one.over_black) ? other : one));
  const [partner, set_partner] = useState(palest.name);
  const [parts, set_parts] = useState<[number, number]>([1, 9]);
  const [taken, set_taken] = useState<TakenPair>(NOTHING_TAKEN);
  const chosen = others.some(({ name }) => name === partner) ? partner : palest.name;
  const add = async (event: Event) => {
    event.preventDefault();
    if (!taken.black || !taken.white) return;
    const well = await desk.run({
      do: "add_tint", paint: paint.name, with: chosen, parts, over_black: taken.black, over_white: taken.white,
    }, where);
    if (well) set_taken(NOTHING_TAKEN);
  };
  return (
    <form onSubmit={add}>
      <label class="field">
        <span>Mixed with</span>
        <select value={chosen} onChange={(event) => set_partner(event.currentTarget.value)}>
          {others.map(({ name }) => <option key={name} value={name}>{name}</option>)}
        </select>
      </label>
      <div class="measure">
        <span>Parts of {paint.name}</span>
        <Stepper label={`Parts of ${paint.name}`} value={parts[0]} step={1} min={1} max={30} onValue={(first) => set_parts([first, parts[1]])} />
      </div>
      <div class="measure">
        <span>Parts of {chosen}</span>
        <Stepper label={`Parts of ${chosen}`} value={parts[1]} step={1} min={1} max={30} onValue={(second) => set_parts([parts[0], second])} />
      </div>
      <FromPhoto taken={taken} onTaken={set_taken} trouble={where} />
      <div class="row">
        <Colour label="Over black" value={taken.black ?? "#000000"} onColour={(black) => set_taken({ ...taken, black })} />
        <Colour label="Over white" value={taken.white ?? "#000000"} onColour={(white) => set_taken({ ...taken, white })} />
      </div>
      {(!taken.black || !taken.white) && <p class="quiet">Take both colours first, in a photo or by their codes.</p>}
      <button type="submit" disabled={!taken.black || !taken.white}>Add the tint</button>
    </form>
  );
}

// The coats of one part, in the order they are painted.

import { useState } from "preact/hooks";
import { Colour } from "./add_paint";
import { Chip, Stepper, Trouble } from "./controls";
import { desk } from "./desk";
import { InProposals } from "./in_proposals";
import type { CoatView, Command, Place, SchemeView } from "./protocol";
import { count, MEDIUM, mix_text, PLACES } from "./words";

export function Coats({ index, scheme, part }: { index: number; scheme: SchemeView; part: string }) {
  const coats = scheme.coats.filter((coat) => coat.part === part);
  const run = (command: Command) => void desk.run(command, "coats");
  return (
    <section class="coats" aria-labelledby="coats-of">
      <h2 id="coats-of">{part}<small>{coats.length === 0 ? "no coat yet: it stays as photographed" : count(coats.length, "coat")}</small></h2>
      <Trouble where="coats" />
      <ol>
        {coats.map((coat, place) => (
          <li key={coat.index}>
            <Coat scheme={index} coat={coat} number={place + 1} of={coats.length} run={run} />
          </li>
        ))}
      </ol>
      <div class="row">
        <button type="button" onClick={() => run({ do: "add_coat", scheme: index, part })}>Add a coat</button>
      </div>
      <Match scheme={index} part={part} run={run} />
      <InProposals scheme={index} part={part} coats={coats} />
    </section>
  );
}

function Coat({ scheme, coat, number, of, run }: {
  scheme: number; coat: CoatView; number: number; of: number; run: (command: Command) => void;
}) {
  const at = { scheme, coat: coat.index };
  return (
    <fieldset class="coat" data-coat={coat.index}>
      <legend><Chip left={coat.dried} /> Coat {number}<span class="unseen">: {mix_text(coat.mix)}</span></legend>
      <Mix at={at} coat={coat} run={run} />
      <div class="measure">
        <span>Film<small>{coat.brush}</small></span>
        <Stepper label="Film" value={coat.film} step={0.25} min={0.25} max={3} shown={(film) => film.toFixed(2)}
          onValue={(film) => run({ do: "film", ...at, film })} />
      </div>
      <label class="field">
        <span>Where</span>
        <select value={coat.where} onChange={(event) => run({ do: "where", ...at, where: event.currentTarget.value as Place })}>
          {PLACES.map(({ place, name }) => <option key={place} value={place}>{name}</option>)}
        </select>
      </label>
      {coat.width_mm !== null && (
        <div class="measure">
          <span>Width of the line<small>in millimetres</small></span>
          <Stepper label="Width of the line" value={coat.width_mm} step={0.1} min={0.1} max={0.5} shown={(mm) => mm.toFixed(1)}
            onValue={(mm) => run({ do: "width", ...at, mm })} />
        </div>
      )}
      {(coat.where === "all" || coat.where === "recesses" || coat.pooling > 0) && (
        <div class="measure">
          <span>Pooling<small>{pooling_words(coat.pooling)}</small></span>
          <Stepper label="Pooling" value={coat.pooling} step={0.1} min={0} max={1} shown={(pooling) => pooling.toFixed(1)}
            onValue={(pooling) => run({ do: "pooling", ...at, pooling })} />
        </div>
      )}
      {/* "up" is up on the figure: a later coat covers an earlier one. */}
      <div class="row">
        <button type="button" aria-label={`Earlier: coat ${number}`} disabled={number === 1} onClick={() => run({ do: "move_coat", ...at, up: false })}>Earlier</button>
        <button type="button" aria-label={`Later: coat ${number}`} disabled={number === of} onClick={() => run({ do: "move_coat", ...at, up: true })}>Later</button>
        <button type="button" aria-label={`Remove coat ${number}`} onClick={() => run({ do: "remove_coat", ...at })}>Remove</button>
      </div>
    </fieldset>
  );
}

function pooling_words(pooling: number): string {
  if (pooling < 0.05) return "an even film";
  if (pooling < 0.35) return "runs a little";
  return pooling < 0.7 ? "a wash that runs" : "pools in the recesses";
}

function Mix({ at, coat, run }: { at: { scheme: number; coat: number }; coat: CoatView; run: (command: Command) => void }) {
  const { paints } = desk.state.view;
  const colours = new Map(paints.map((paint) => [paint.name, paint]));
  const others = [MEDIUM, ...paints.map((paint) => paint.name)].filter((name) => !coat.mix.some(({ paint }) => paint === name));
  const name = (paint: string) => (paint === MEDIUM ? "clear medium" : paint);
  return (
    <ul class="mix" aria-label="Mix, in parts">
      {coat.mix.map(({ paint, parts }) => {
        const colour = colours.get(paint);
        return (
          <li key={paint} data-paint={paint}>
            {colour ? <Chip left={colour.over_black} right={colour.over_white} size="small" /> : <span class="chip small none" aria-hidden="true" />}
            <span class="grow">{name(paint)}</span>
            {coat.mix.length > 1
              ? <Stepper label={name(paint)} value={parts} step={1} min={0} max={30} onValue={(parts) => run({ do: "mix", ...at, paint, parts })} />
              : <small>nothing else</small>}
          </li>
        );
      })}
      {others.length > 0 && (
        <li>
          <label class="field grow">
            <span class="unseen">Add a paint to the mix</span>
            <select value="" onChange={(event) => {
              const paint = event.currentTarget.value;
              event.currentTarget.value = "";
              if (paint) run({ do: "mix", ...at, paint, parts: 1 });
            }}>
              <option value="">Add a paint…</option>
              {others.map((other) => <option key={other} value={other}>{name(other)}</option>)}
            </select>
          </label>
        </li>
      )}
    </ul>
  );
}

function Match({ scheme, part, run }: { scheme: number; part: string; run: (command: Command) => void }) {
  const [colour, set_colour] = useState("#5f8fa0");
  return (
    <details class="match">
      <summary>Nearest mix to a colour</summary>
      <div class="row">
        <Colour label="Wanted colour" value={colour} onColour={set_colour} />
        <button type="button" class="low" onClick={() => run({ do: "match", scheme, part, colour })}>Find the nearest mix</button>
      </div>
      <p class="quiet">It takes the place of the coats of {part}.</p>
    </details>
  );
}

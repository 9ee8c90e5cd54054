// One scheme on the desk: large, with its coats part by part.

import { useState } from "preact/hooks";
import { Chip, Choice, NameField, Trouble } from "./controls";
import { Coats } from "./coats";
import { desk } from "./desk";
import type { SchemeView } from "./protocol";
import { Missing } from "./schemes_step";
import { Take } from "./take_step";
import { Tile } from "./tile";
import { count, FINISHES, SCHEME_UNDERCOATS } from "./words";

export function SchemeDesk({ index }: { index: number }) {
  const { view, part } = desk.state;
  const scheme = view.schemes[index]!;
  const [place, set_place] = useState<string | null>(null);
  const tap = async (x: number, y: number) => {
    const found = await desk.engine.part_at(x, y).catch(() => null);
    set_place(found ?? "background");
    if (found !== null) {
      desk.set({ part: found, said: found });
      requestAnimationFrame(() => document.getElementById("coats-of")?.scrollIntoView());
    }
    else desk.set({ said: "Background" });
  };
  return (
    <div class="bench at-scheme">
      <section class="stage figure-stage" aria-label={`The figure in ${scheme.name}`}>
        <Tile scheme={index} onPlace={(x, y) => void tap(x, y)} />
        <p class="ask quiet">{place === "background" ? "That is the background. Tap a part of the figure." : "Tap a part to change its coats."}</p>
      </section>
      <div class="panel">
        <p class="back"><a href="#schemes">All schemes</a></p>
        <h1>{scheme.name}</h1>
        <Trouble />
        <Missing />
        {scheme.undercoat !== "as-photographed" && (
          <p class="note">
            This scheme needs another undercoat than your photo has: {SCHEME_UNDERCOATS.find(({ value }) => value === scheme.undercoat)?.label}.
            The picture simulates it.{" "}
            <button type="button" onClick={() => void desk.run({ do: "scheme_undercoat", scheme: index, undercoat: "as-photographed" }, "scheme")}>
              Use the undercoat of the photo</button>
          </p>
        )}
        <Parts scheme={scheme} />
        {part !== null && <Coats index={index} scheme={scheme} part={part} />}
        <SchemeActions index={index} scheme={scheme} />
      </div>
      <Others open={index} />
    </div>
  );
}

function Parts({ scheme }: { scheme: SchemeView }) {
  const { view, part } = desk.state;
  return (
    <fieldset class="choice pills">
      <legend>Part</legend>
      <div class="options">
        {view.parts.map(({ name }) => {
          const chip = scheme.chips.find((chip) => chip.part === name);
          return (
            <label key={name} data-part={name}>
              <input type="radio" name="part" checked={name === part} onChange={() => desk.set({ part: name })} />
              <span>{chip ? <Chip left={chip.seen ?? chip.dried} right={chip.dried} size="small" /> : <span class="chip small none" />}{name}</span>
            </label>
          );
        })}
      </div>
    </fieldset>
  );
}

function SchemeActions({ index, scheme }: { index: number; scheme: SchemeView }) {
  const { view } = desk.state;
  const last = view.schemes.length - 1;
  const run = (...[command, then]: [Parameters<typeof desk.run>[0], (() => number | null)?]) =>
    void desk.run(command, "scheme").then((well) => { if (well && then) desk.go("schemes", then()); });
  const move = (to: number) => run({ do: "move_scheme", scheme: index, to }, () => to);
  return (
    <section class="scheme-actions">
      <h2>The scheme</h2>
      <Trouble where="scheme" />
      <Trouble where="card-pdf" />
      <NameField label="Name of the scheme" value={scheme.name} onName={(name) => desk.run({ do: "rename_scheme", scheme: index, name }, "scheme")} />
      <NameField label="Team" value={scheme.team} optional onName={(team) => desk.run({ do: "team", scheme: index, team }, "scheme")} />
      <label class="field">
        <span>Undercoat below these coats</span>
        <select value={scheme.undercoat} onChange={(event) => run({ do: "scheme_undercoat", scheme: index, undercoat: event.currentTarget.value })}>
          {SCHEME_UNDERCOATS.map(({ value, label }) => <option key={value} value={value}>{label}</option>)}
        </select>
      </label>
      <p class="quiet">{count(scheme.coats.length, "coat")}</p>
      <Choice legend="Varnish" name="finish" pills value={scheme.finish} options={FINISHES.map((value) => ({ value, label: value }))}
        onChoice={(finish) => run({ do: "finish", scheme: index, finish })}>
        <p class="caution">Spray varnish outdoors or in moving air, and wear a mask that is made for it. The safety sheet of the product comes
          before anything written here.</p>
      </Choice>
      <div class="row">
        <Take kind="card-pdf" scheme={index} label="Save the bench card" can={scheme.tile !== null} />
        <button type="button" onClick={() => run({ do: "oppose", scheme: index }, () => {
          desk.set({ teams: [index, index + 1] });
          return index + 1;
        })}>Make the opposite scheme</button>
        <button type="button" onClick={() => run({ do: "duplicate_scheme", scheme: index }, () => index + 1)}>Duplicate</button>
        <button type="button" disabled={index === 0} onClick={() => move(index - 1)}>Move earlier</button>
        <button type="button" disabled={index === last} onClick={() => move(index + 1)}>Move later</button>
        <button type="button" onClick={() => run({ do: "remove_scheme", scheme: index }, () => null)}>Remove the scheme</button>
      </div>
    </section>
  );
}

/** The other schemes stay in sight. */
function Others({ open }: { open: number }) {
  const { view } = desk.state;
  if (view.schemes.length < 2) return null;
  return (
    <nav class="others" aria-label="Other schemes">
      <ul>
        {view.schemes.map((scheme, index) => (
          <li key={index}>
            <a href={`#schemes/${index + 1}`} aria-current={index === open ? "true" : undefined}>
              <Tile scheme={index} most={240} /><span>{scheme.name}</span>
            </a>
          </li>
        ))}
      </ul>
    </nav>
  );
}

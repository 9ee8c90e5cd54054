// One paint by hand: two places in a photo, two colours, or a single colour.

import { useState } from "preact/hooks";
import { Board } from "./board";
import { Chip, Choice, FileButton, Trouble } from "./controls";
import { desk } from "./desk";
import { problem } from "./engine";
import { picture_of } from "./pixels";
import type { Command } from "./protocol";
import { OPACITIES } from "./words";

type Way = "photo" | "two" | "one";

export function AddPaint() {
  const [way, set_way] = useState<Way>("photo");
  const [name, set_name] = useState("");
  const [black, set_black] = useState("#3a2c1c");
  const [white, set_white] = useState("#d8a860");
  const [one, set_one] = useState("#b8a074");
  const [opacity, set_opacity] = useState("semi-opaque");
  const [taken, set_taken] = useState<TakenPair>(NOTHING_TAKEN);

  const command = (): Command | null => {
    const named = name.trim();
    if (!named) return null;
    if (way === "one") return { do: "add_chip", name: named, colour: one, opacity };
    const [over_black, over_white] = way === "photo" ? [taken.black, taken.white] : [black, white];
    return over_black && over_white ? { do: "add_paint", name: named, over_black, over_white } : null;
  };
  const add = async (event: Event) => {
    event.preventDefault();
    const ready = command();
    if (!ready || !(await desk.run(ready, "add paint"))) return;
    set_name("");
    set_taken(NOTHING_TAKEN);
  };

  return (
    <details class="add-paint">
      <summary>Add one paint, from a photo or a colour</summary>
      <form onSubmit={add}>
        <Choice<Way> legend="What do you have?" name="way" value={way} onChoice={set_way} options={[
          { value: "photo", label: "A photo of a drawdown", hint: "Tap it over black and over white." },
          { value: "two", label: "Two colours", hint: "Dried, over black and over white." },
          { value: "one", label: "One colour", hint: "Less exact: how it hides is then a guess." },
        ]} />
        {way === "photo" && <FromPhoto taken={taken} onTaken={set_taken} trouble="add paint" />}
        {way === "two" && (
          <div class="row">
            <Colour label="Over black" value={black} onColour={set_black} />
            <Colour label="Over white" value={white} onColour={set_white} />
          </div>
        )}
        {way === "one" && (
          <div class="row">
            <Colour label="Colour" value={one} onColour={set_one} />
            <label class="field">
              <span>How it hides</span>
              <select value={opacity} onChange={(event) => set_opacity(event.currentTarget.value)}>
                {OPACITIES.map((word) => <option key={word} value={word}>{word}</option>)}
              </select>
            </label>
          </div>
        )}
        <div class="row">
          <label class="field grow">
            <span>Name of the paint</span>
            <input type="text" value={name} autocomplete="off" onInput={(event) => set_name(event.currentTarget.value)} />
          </label>
          <button type="submit" class="strong low" disabled={!command()}>Add the paint</button>
        </div>
        <Trouble where="add paint" />
      </form>
    </details>
  );
}

export function Colour({ label, value, onColour }: { label: string; value: string; onColour: (colour: string) => void }) {
  return (
    <label class="field colour">
      <span>{label} <em>{value}</em></span>
      <input type="color" value={value} onInput={(event) => onColour(event.currentTarget.value)} />
    </label>
  );
}

/** Both colours of a drawdown, as far as they are taken. */
export type TakenPair = { black: string | null; white: string | null };
export const NOTHING_TAKEN: TakenPair = { black: null, white: null };

/** Takes both colours of a drawdown from a photo. */
export function FromPhoto({ taken, onTaken, trouble }: { taken: TakenPair; onTaken: (taken: TakenPair) => void; trouble: string }) {
  const [picture, set_picture] = useState<ImageBitmap | null>(null);
  const next = taken.black === null ? "black" : "white";
  const choose = async (file: File) => {
    try {
      set_picture(await picture_of(file));
      onTaken(NOTHING_TAKEN);
    } catch {
      desk.set({ trouble: { where: trouble, problems: [problem(`${file.name} does not open as a picture.`, "Choose a JPEG or PNG.")] } });
    }
  };
  return (
    <div class="from-photo">
      <FileButton label={picture ? "Another photo" : "Choose the photo"} accept="image/*" onFile={(file) => void choose(file)} />
      {picture && (
        <>
          <p class="ask">{taken.white === null ? `Tap the paint over ${next}.` : "Both are taken. Tap again to change the one over white."}</p>
          <Wells taken={taken} />
          <Board picture={picture} label="Photo of a drawdown"
            mode={{ kind: "take", onTake: (_x, _y, colour) => onTaken({ ...taken, [next]: colour }) }} />
        </>
      )}
      {picture && <button type="button" disabled={!taken.black} onClick={() => onTaken(NOTHING_TAKEN)}>Take both again</button>}
    </div>
  );
}

/** Both colours, with room for what is not taken yet: the picture below stays where it is. */
function Wells({ taken }: { taken: TakenPair }) {
  const well = (label: string, colour: string | null) => (
    <span class="well">{colour ? <Chip left={colour} size="large" /> : <span class="chip large none" aria-hidden="true" />}<small>{label}: {colour ?? "not taken"}</small></span>
  );
  return <p class="wells">{well("Over black", taken.black)}{well("Over white", taken.white)}</p>;
}

// Step 1: the photo of the undercoated figure, and what is bare primer and brightest white in it.

import { useState } from "preact/hooks";
import { Board, type BoardMode } from "./board";
import { Chip, Choice, FileButton, NumberField, Problems, Trouble } from "./controls";
import { desk } from "./desk";
import { hints_for } from "./hints";
import { Welcome } from "./welcome";
import { UNDERCOATS } from "./words";

type Point = "black" | "white";

const POINTS: { point: Point; ask: string; name: string }[] = [
  { point: "black", name: "Bare primer", ask: "Tap bare primer in full light" },
  { point: "white", name: "Brightest white", ask: "Tap the brightest white" },
];

export function PhotoStep() {
  const { view } = desk.state;
  const [taking, set_taking] = useState<Point | null>(null);
  if (!view.photo) return <Welcome />;
  const mode: BoardMode = taking
    ? { kind: "take", onTake: (x, y) => {
        set_taking(null);
        void desk.run({ do: "tone_point", point: taking, at: [x, y] }, "tone");
      } }
    : { kind: "show" };
  const { photo } = view;
  return (
    <div class="bench">
      <section class="stage" aria-label="The photo">
        <Board picture={desk.pictures.photo} mode={mode} label={`Photo of ${view.name || "the figure"}`} />
        {taking && (
          <p class="ask">
            {POINTS.find(({ point }) => point === taking)?.ask}
            <button type="button" onClick={() => set_taking(null)}>Stop</button>
          </p>
        )}
      </section>
      <div class="panel">
        <h1>Photo</h1>
        <Trouble />
        <p class="quiet">{photo.name}, {photo.original.width} × {photo.original.height} pixels. The desk works
          on {photo.width === photo.original.width ? "all of them" : `a copy of ${photo.width} × ${photo.height}`}.</p>
        <Hints />
        <Choice legend="How did you undercoat the figure?" name="undercoat" value={view.undercoat.kind}
          options={UNDERCOATS.map(({ kind, name, hint }) => ({ value: kind, label: name, hint }))}
          onChoice={(kind) => void desk.run({ do: "undercoat", kind }, "tone")} />
        <fieldset>
          <legend>Black and white in this photo</legend>
          <p class="quiet">Velatura estimates both. Take them yourself if the pictures come out too dark or too pale.</p>
          <Trouble where="tone" />
          <ul class="tones">
            {POINTS.map((each) => <Tone key={each.point} {...each} taking={taking === each.point} onTaking={set_taking} />)}
          </ul>
        </fieldset>
        <Figure />
        <fieldset>
          <legend>More photos</legend>
          <p class="quiet">A light photo is optional: the same pose under the same lamp, before you drybrushed. With it the colours are
            about twice as exact.</p>
          <p>{view.light_photo ? `Light photo: ${view.light_photo}` : "No light photo yet."}</p>
          <div class="row">
            <FileButton label={view.light_photo ? "Another light photo" : "Choose a light photo"} accept="image/*"
              onFile={(file) => void desk.put_file("light-photo", file, "more")} />
            {view.light_photo && (
              <button type="button" onClick={() => void desk.run({ do: "remove_light_photo" }, "more")}>Go on without it</button>
            )}
            <FileButton label="Another photo of the figure" accept="image/*" onFile={(file) => void desk.put_file("photo", file, "more")} />
          </div>
          <Trouble where="more" />
        </fieldset>
        <p class="onward"><a class="button strong" href="#parts">Go on to Parts</a></p>
      </div>
    </div>
  );
}

function Hints() {
  const hints = hints_for("photo", desk.state.view);
  if (hints.length === 0) return null;
  return (
    <section class="hints">
      <h2>What the photo shows</h2>
      <Problems problems={hints} />
    </section>
  );
}

function Tone({ point, name, ask, taking, onTaking }: {
  point: Point; name: string; ask: string; taking: boolean; onTaking: (point: Point | null) => void;
}) {
  const colour = desk.state.view.undercoat[point];
  return (
    <li>
      {colour ? <Chip left={colour} /> : <span class="chip none" aria-hidden="true" />}
      <span class="grow">{name}<small>{colour ?? "estimated"}</small></span>
      <button type="button" aria-pressed={taking} onClick={() => onTaking(taking ? null : point)}>{ask}</button>
      {colour && (
        <button type="button" onClick={() => void desk.run({ do: "tone_point", point, at: null }, "tone")}>
          Estimate it again<span class="unseen"> ({name})</span>
        </button>
      )}
    </li>
  );
}

function Figure() {
  const { view } = desk.state;
  const [name, set_name] = useState<string | null>(null);
  return (
    <fieldset>
      <legend>The figure</legend>
      <div class="row">
        <label class="field grow">
          <span>Name of the figure</span>
          <input type="text" value={name ?? view.name} onInput={(event) => set_name(event.currentTarget.value)}
            onChange={async () => {
              if (name?.trim()) await desk.run({ do: "name_figure", name: name.trim() }, "figure");
              set_name(null);
            }} />
        </label>
        <NumberField label="Height in mm" value={view.height_mm} min={5} max={1000} onNumber={(mm) => desk.run({ do: "height", mm }, "figure")} />
        <NumberField label="How many in the team" value={view.count} min={1} max={100000} whole
          onNumber={(count) => desk.run({ do: "count", count }, "figure")} />
      </div>
      <Trouble where="figure" />
    </fieldset>
  );
}

// Step 2: the parts of the figure, from a few strokes on each.

import { useEffect, useState } from "preact/hooks";
import { Board } from "./board";
import { FileButton, Problems, Slider, Trouble } from "./controls";
import { desk, type Tool } from "./desk";
import { hints_for } from "./hints";
import { NewPart, PartList } from "./part_list";
import type { PartView } from "./protocol";
import type { Stroke } from "./strokes";
import { count } from "./words";

export function PartsStep() {
  const { view, tool } = desk.state;
  const { photo, overlay } = desk.pictures;
  const [shown, set_shown] = useState(true);
  const [radius, set_radius] = useState<number | null>(null);
  const [drawn, set_drawn] = useDrawn(overlay);
  if (!view.photo) return <NoPhoto />;

  // Half of the usual part fits under such a brush.
  const usual = Math.max(3, Math.round(Math.max(view.photo.width, view.photo.height) / 130));
  const brush = radius ?? usual;
  const held = typeof tool === "object" ? tool.part : null;
  const part = view.parts.find((part) => part.name === held);
  const erase = tool === "eraser";

  const send = async (stroke: Stroke) => {
    set_drawn((before) => [...before, stroke]);
    const command = { do: "stroke", part: part?.name ?? null, erase, radius: stroke.radius, points: stroke.points } as const;
    if (!(await desk.run(command, "strokes"))) set_drawn((before) => before.filter((each) => each !== stroke));
  };

  return (
    <div class="bench">
      <section class="stage" aria-label="Draw the parts">
        <Board picture={photo} overlay={shown ? overlay : null} strokes={drawn}
          mode={{ kind: "draw", colour: part?.colour ?? "#000000", radius: brush, erase, onStroke: (stroke) => void send(stroke) }}
          label={`Photo of ${view.name || "the figure"} with ${count(view.parts.length, "part")} in colours`} />
      </section>
      <div class="panel">
        <h1>Parts</h1>
        <Trouble />
        <Tools parts={view.parts} tool={tool} />
        <NewPart />
        <Trouble where="strokes" />
        <p class="quiet">{view.parts.length === 0
          ? "Add a part, for example its cloak. Then draw one or two quick strokes on it."
          : "Draw one or two quick strokes on each part, and some on the background. Velatura finds the borders. Where it is wrong, draw one more stroke."}</p>
        <Slider label="Brush" value={brush} min={2} max={usual * 5} step={1} live onValue={set_radius} words={(value) => `${2 * value} pixels wide`} />
        <div class="row">
          <label class="check"><input type="checkbox" checked={shown} onChange={(event) => set_shown(event.currentTarget.checked)} />
            <span>Show the parts in colours</span></label>
          <button type="button" disabled={view.strokes === 0 && view.mask !== "strokes"} onClick={() => {
            set_drawn([]);
            void desk.run({ do: "clear_strokes" }, "strokes");
          }}>Clear all strokes</button>
        </div>
        <p class="quiet">{strokes_so_far()}</p>
        {hints_for("parts", view).length > 0 && <Problems problems={hints_for("parts", view)} />}
        <PartList />
        <fieldset>
          <legend>Or load a mask</legend>
          <p class="quiet">A picture of the same size as the photo, each part in its own flat colour, the background black.</p>
          <FileButton label="Load a mask picture" accept="image/*" onFile={(file) => void desk.put_file("mask", file, "mask")} />
          <Trouble where="mask" />
        </fieldset>
        <p class="onward"><a class="button strong" href="#paints">Go on to Paints</a></p>
      </div>
    </div>
  );
}

function strokes_so_far(): string {
  const { mask, strokes } = desk.state.view;
  if (mask === "file") return "The mask came from a file. A stroke begins a new one.";
  return mask === "strokes" && strokes === 0 ? "The strokes came with the project." : `${count(strokes, "stroke")} so far.`;
}

/** Strokes show from the finger's first touch until the overlay has them. */
function useDrawn(overlay: ImageBitmap | null) {
  const drawn = useState<Stroke[]>([]);
  const [, set_drawn] = drawn;
  const { strokes } = desk.state.view;
  useEffect(() => { if (overlay) set_drawn([]); }, [overlay]);
  useEffect(() => { if (strokes === 0) set_drawn([]); }, [strokes]);
  return drawn;
}

function Tools({ parts, tool }: { parts: PartView[]; tool: Tool }) {
  const one = (key: string, label: string, colour: string | null, value: Tool, on: boolean) => (
    <label key={key} data-part={typeof value === "object" ? value.part : value}>
      <input type="radio" name="tool" checked={on} onChange={() => desk.set({ tool: value })} />
      <span>{colour && <i class="dot" style={{ backgroundColor: colour }} />}{label}</span>
    </label>
  );
  return (
    <fieldset class="choice pills">
      <legend>Draw on</legend>
      <div class="options">
        {parts.map((part) => one(`part ${part.name}`, part.name, part.colour, { part: part.name },
          typeof tool === "object" && tool.part === part.name))}
        {one("background", "Background", "#000000", "background", tool === "background")}
        {one("eraser", "Eraser", null, "eraser", tool === "eraser")}
      </div>
    </fieldset>
  );
}

export function NoPhoto() {
  return (
    <section class="plain">
      <h1>First a photo</h1>
      <p>This step works on the photo of your figure.</p>
      <p><a class="button strong" href="#photo">Go to Photo</a></p>
    </section>
  );
}

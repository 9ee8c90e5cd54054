// What the page and the engine say to each other. The engine is the Rust crate, run in a worker; `src/view.rs` and
// `src/command.rs` have the same names on its side.

/** Something wrong or worth knowing, as the command prints it. */
export interface Problem {
  severity: "error" | "warning";
  file: string;
  place?: { line: number; column: number; text: string } | null;
  found: string;
  in?: string | null;
  expected?: string | null;
  help?: string | null;
}

/** Everything the page shows, after each command. Pictures come separately. */
export interface View {
  /** Grows by one with every change of the project. */
  version: number;
  name: string;
  undercoat: { kind: UndercoatKind; black: string | null; white: string | null };
  height_mm: number;
  /** How many such figures the team has. */
  count: number;
  photo: PhotoView | null;
  light_photo: string | null;
  parts: PartView[];
  /** "strokes": the mask follows the strokes; "file": it was loaded. */
  mask: "none" | "strokes" | "file";
  /** Stands for the overlay: another overlay has another number. Null: there is none. */
  overlay: number | null;
  strokes: number;
  paints: PaintView[];
  schemes: SchemeView[];
  /** What stands between now and pictures, in the order of the steps; empty if there is nothing. */
  missing: ("photo" | "parts" | "paints" | "schemes")[];
  problems: Problem[];
  /** The photo of a card that was put and not read yet. */
  card: { name: string; places: number } | null;
  /** The rivals' figure, if their project was opened; another project has another number. */
  rival: { number: number; name: string; schemes: string[] } | null;
  can_undo: boolean;
  can_redo: boolean;
  /** What the last change was, for the button's label: "stroke on \"coat\"". */
  undo: string | null;
  redo: string | null;
  /** A sentence on what the last command did, for a status line that is read aloud; may be empty. */
  said: string;
}

export type UndercoatKind = "black-to-white" | "white-with-wash" | "plain";
export type Material =
  | "skin" | "hair" | "cloth" | "leather" | "wood" | "metal" | "bone" | "stone" | "plant" | "glow";
export type Place = "all" | "recesses" | "raised" | "upper" | "edges";

export type Mix = { paint: string; parts: number }[];

export interface PhotoView {
  /** Stands for the picture: another photo has another number. */
  number: number;
  name: string;
  /** Of the working photo: upright, at most 1600 pixels along the longer edge. */
  width: number;
  height: number;
  /** Of the file that was dropped, upright. */
  original: { width: number; height: number };
}

export interface PartView {
  name: string;
  /** "#rrggbb": its colour in the mask, only used to draw strokes and overlay. */
  colour: string;
  /** As chosen; null: guessed from the name. */
  is: Material | null;
  guess: Material | null;
  /** The part whose mix proposals also give to this one. */
  same_as: string | null;
  /** Whether proposals keep it in natural colours. */
  natural: boolean;
  /** The mix that every proposal gives it; empty: proposals choose. */
  keep: Mix;
  /** Share of the figure, 0…1; null before there is a mask. */
  share: number | null;
}

export interface PaintView {
  name: string;
  owned: boolean;
  metallic: boolean;
  /** Dried colours over the cards, as the paint model gives them: "#rrggbb". */
  over_black: string;
  over_white: string;
  /** What the paint was given as. */
  given: "drawdown" | "spectrum" | "chip";
  /** 0…1; luminance over black by that over white. */
  contrast_ratio: number;
  /** The painter's word: "transparent", "semi-transparent", "semi-opaque", "opaque". */
  hides: string;
  /** How many coats of schemes use it. */
  used: number;
  /** Drawdowns of this paint mixed with another; parts by volume, this paint first. Both colours, or null for a spectrum. */
  tints: { with: string; parts: [number, number]; over: [string, string] | null }[];
}

export interface SchemeView {
  name: string;
  team: string;
  undercoat: string;
  finish: string;
  coats: CoatView[];
  /** One per part that has a coat: what the eye sees, and the flat dried colour. `seen` is null until the tile is made. */
  chips: { part: string; seen: string | null; dried: string }[];
  /** Names the picture: another picture has another number. Null if it cannot be made now. */
  tile: number | null;
}

export interface CoatView {
  /** Index within the scheme: what commands call it. */
  index: number;
  part: string;
  /** Paints (and "medium") with their parts by volume, in the order written. */
  mix: Mix;
  film: number;
  /** Coats of the brush: "two thin coats". */
  brush: string;
  where: Place;
  width_mm: number | null;
  pooling: number;
  /** The colour of the mix, dried over mid grey at this film. */
  dried: string;
}

/** A command; every one that changes the project is one step of undo. Names are as in the view. */
export type Command =
  | { do: "look" } // changes nothing, returns the view
  | { do: "undo" } | { do: "redo" }
  | { do: "name_figure"; name: string }
  | { do: "undercoat"; kind: UndercoatKind }
  | { do: "height"; mm: number }
  | { do: "count"; count: number }
  | { do: "remove_light_photo" }
  /** Takes the colour around a place of the working photo (pixels) for bare primer or brightest white; without a place: estimate it again. */
  | { do: "tone_point"; point: "black" | "white"; at: [number, number] | null }
  | { do: "add_part"; name: string }
  | { do: "rename_part"; part: string; name: string }
  | { do: "part_is"; part: string; is: Material | null }
  /** For proposals: the mix of another part, natural colours, and the mix that the part has in a scheme in every one of them. */
  | { do: "same_as"; part: string; other: string | null }
  | { do: "natural"; part: string; natural: boolean }
  | { do: "keep"; part: string; scheme: number | null }
  | { do: "remove_part"; part: string }
  /** A stroke in pixels of the working photo. part null: background. erase: takes strokes away instead. */
  | { do: "stroke"; part: string | null; erase: boolean; radius: number; points: [number, number][] }
  | { do: "clear_strokes" }
  | { do: "example_paints" }
  /** Reads the drawdowns from the photo of a printed card that was put: names in the order of its places; "" skips a place. */
  | { do: "read_card"; names: string[] }
  | { do: "add_paint"; name: string; over_black: string; over_white: string }
  | { do: "add_chip"; name: string; colour: string; opacity: string }
  | { do: "rename_paint"; paint: string; name: string }
  | { do: "paint_owned"; paint: string; owned: boolean }
  | { do: "paint_metallic"; paint: string; metallic: boolean }
  | { do: "add_tint"; paint: string; with: string; parts: [number, number]; over_black: string; over_white: string }
  | { do: "remove_tint"; paint: string; tint: number }
  | { do: "remove_paint"; paint: string } // refused while a coat uses it
  | { do: "add_scheme" }
  | { do: "duplicate_scheme"; scheme: number }
  | { do: "rename_scheme"; scheme: number; name: string }
  | { do: "remove_scheme"; scheme: number }
  | { do: "move_scheme"; scheme: number; to: number }
  | { do: "team"; scheme: number; team: string }
  /** "as-photographed", "white-with-wash", "plain-white" or "black-to-white". */
  | { do: "scheme_undercoat"; scheme: number; undercoat: string }
  | { do: "finish"; scheme: number; finish: string }
  | { do: "add_coat"; scheme: number; part: string }
  | { do: "remove_coat"; scheme: number; coat: number }
  /** Among the coats of the same part; up: painted later. */
  | { do: "move_coat"; scheme: number; coat: number; up: boolean }
  /** parts 0 takes the paint out of the mix (refused for the last one). */
  | { do: "mix"; scheme: number; coat: number; paint: string; parts: number }
  | { do: "film"; scheme: number; coat: number; film: number }
  | { do: "where"; scheme: number; coat: number; where: Place }
  | { do: "width"; scheme: number; coat: number; mm: number }
  | { do: "pooling"; scheme: number; coat: number; pooling: number }
  /** Proposes schemes from the owned paints; they take the place of all schemes, or follow them. */
  | { do: "explore"; seed: number; replace: boolean; mood: "bright" | "dark" | "muted" | null }
  /** Adds the opposite scheme. */
  | { do: "oppose"; scheme: number }
  /** Gives the part the mix that comes nearest to a colour ("#rrggbb"). */
  | { do: "match"; scheme: number; part: string; colour: string };

/** Files that the page hands over. "kept": the project that the browser kept; it is the beginning, not a change. */
export type PutKind = "kept" | "photo" | "light-photo" | "mask" | "paints" | "schemes" | "project" | "card" | "rival";

/** What the page can take away. "draft": the project without what can be computed again, for the browser to keep. */
export type TakeKind = "project" | "draft" | "sheet" | "page" | "report" | "card-page" | "card-pdf" | "drawdown-card" | "pair";

/** 8-bit RGBA, row by row. */
export interface Pixels { width: number; height: number; rgba: Uint8ClampedArray }

/** The engine as the page uses it, through a worker. Every call is answered in order; a rejected promise has an `EngineError`. */
export interface Engine {
  run(command: Command): Promise<View>;
  put(kind: PutKind, name: string, bytes: Uint8Array): Promise<View>;
  /** The working photo. */
  photo(): Promise<ImageBitmap>;
  /** The regions as they are now: an overlay in the parts' colours, transparent on the background. The quick one follows a pen, the
      fine one takes a moment. */
  overlay(fine: boolean): Promise<ImageBitmap | null>;
  /** One scheme on the figure, cut to the figure. */
  tile(scheme: number): Promise<ImageBitmap>;
  /** The part at a place of a tile (pixels of the tile); null on the background. */
  part_at(x: number, y: number): Promise<string | null>;
  /** The colour around a place of the working photo, "#rrggbb". */
  colour_at(x: number, y: number): Promise<string>;
  /** "pair": two schemes as two teams on one table, with a verdict; `rival` is a scheme of the rivals' project if there is one. */
  take(kind: TakeKind, scheme?: number, rival?: number): Promise<{ name: string; type: string; bytes: Uint8Array }>;
}

export class EngineError extends Error {
  constructor(readonly problems: Problem[]) {
    super(problems.map((problem) => problem.found).join("\n"));
  }
}

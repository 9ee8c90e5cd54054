//! What a page can ask for. Each command that changes the project is one step of undo.

use serde::Deserialize;

/// A grey of the undercoat that can be taken from the photo.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum TonePoint {
    /// Bare dark primer in full light.
    Black,
    /// The brightest undercoat in full light.
    White,
}

/// A command; in JSON its name is under `do`, in small letters: `{"do": "rename_part", "part": "coat", "name": "cloak"}`.
///
/// Schemes and coats are given by their place in the file, from 0; parts and paints by their name. Places on the photo
/// are in pixels of the working photo. Words are those of the files.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(tag = "do", rename_all = "snake_case", deny_unknown_fields)]
#[allow(
    missing_docs,
    reason = "the fields have the names and units of the files"
)]
pub enum Command {
    /// Changes nothing.
    Look,
    /// Takes the last change back.
    Undo,
    /// Makes the change again that was taken back last.
    Redo,
    /// Names the figure.
    NameFigure { name: String },
    /// Sets how the figure was undercoated.
    Undercoat { kind: String },
    /// Sets how tall the figure is, in millimetres.
    Height { mm: f64 },
    /// Sets how many such figures the team has.
    Count { count: u32 },
    /// Goes on without the light photo.
    RemoveLightPhoto,
    /// Takes a grey of the undercoat from a place of the photo, or has it estimated again.
    TonePoint {
        point: TonePoint,
        at: Option<[f64; 2]>,
    },
    /// Adds a part.
    AddPart { name: String },
    /// Renames a part, in the schemes too.
    RenamePart { part: String, name: String },
    /// Sets what a part is; without a material it is guessed from the name.
    PartIs { part: String, is: Option<String> },
    /// Has proposals give a part the mix of another part, or a mix of its own.
    SameAs { part: String, other: Option<String> },
    /// Sets whether proposals keep a part in the natural colours of what it is.
    Natural { part: String, natural: bool },
    /// Keeps the mix that a part has in a scheme for every proposal, or gives it free.
    Keep { part: String, scheme: Option<usize> },
    /// Removes a part with its strokes and coats.
    RemovePart { part: String },
    /// Draws a stroke on a part or, without one, on the background; or erases strokes.
    Stroke {
        part: Option<String>,
        erase: bool,
        radius: f64,
        points: Vec<[f64; 2]>,
    },
    /// Removes all strokes.
    ClearStrokes,
    /// Takes the invented example paints.
    ExamplePaints,
    /// Reads drawdowns from the photo of a card; an empty name leaves its place out.
    ReadCard { names: Vec<String> },
    /// Adds a paint by the colours of its drawdown.
    AddPaint {
        name: String,
        over_black: String,
        over_white: String,
    },
    /// Adds a paint by one colour, and how well it hides.
    AddChip {
        name: String,
        colour: String,
        opacity: String,
    },
    /// Renames a paint, in mixes too.
    RenamePaint { paint: String, name: String },
    /// Sets whether the painter has a paint.
    PaintOwned { paint: String, owned: bool },
    /// Sets whether a paint glints like metal.
    PaintMetallic { paint: String, metallic: bool },
    /// Adds a drawdown of a paint mixed with another; parts by volume, this paint first.
    AddTint {
        paint: String,
        with: String,
        parts: [f64; 2],
        over_black: String,
        over_white: String,
    },
    /// Removes a tint, by its place from 0.
    RemoveTint { paint: String, tint: usize },
    /// Removes a paint that no mix uses.
    RemovePaint { paint: String },
    /// Adds a scheme with one coat per part.
    AddScheme,
    /// Copies a scheme; the copy follows it.
    DuplicateScheme { scheme: usize },
    /// Renames a scheme.
    RenameScheme { scheme: usize, name: String },
    /// Removes a scheme.
    RemoveScheme { scheme: usize },
    /// Moves a scheme to another place.
    MoveScheme { scheme: usize, to: usize },
    /// Names the team of a scheme.
    Team { scheme: usize, team: String },
    /// Shows a scheme over another undercoat.
    SchemeUndercoat { scheme: usize, undercoat: String },
    /// Sets the varnish.
    Finish { scheme: usize, finish: String },
    /// Adds a coat on a part.
    AddCoat { scheme: usize, part: String },
    /// Removes a coat.
    RemoveCoat { scheme: usize, coat: usize },
    /// Moves a coat above or below the next one on the same part.
    MoveCoat {
        scheme: usize,
        coat: usize,
        up: bool,
    },
    /// Sets the parts of a paint in a mix; with 0 the mix goes on without it.
    Mix {
        scheme: usize,
        coat: usize,
        paint: String,
        parts: f64,
    },
    /// Sets the film of a coat.
    Film {
        scheme: usize,
        coat: usize,
        film: f64,
    },
    /// Sets where a coat goes.
    Where {
        scheme: usize,
        coat: usize,
        r#where: String,
    },
    /// Sets how far a coat runs into the recesses.
    Pooling {
        scheme: usize,
        coat: usize,
        pooling: f64,
    },
    /// Sets the width of a line along edges, in millimetres.
    Width { scheme: usize, coat: usize, mm: f64 },
    /// Proposes ten schemes from the owned paints, in place of all schemes or after them.
    Explore {
        seed: u64,
        replace: bool,
        mood: Option<String>,
    },
    /// Adds the opposite of a scheme after it.
    Oppose { scheme: usize },
    /// Gives a part the mix that dries nearest to a colour.
    Match {
        scheme: usize,
        part: String,
        colour: String,
    },
}

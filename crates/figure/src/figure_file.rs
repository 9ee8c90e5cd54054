//! `figure.toml`: which photo and mask, how the figure was undercoated, and what its regions are called.
//!
//! In: text. Out: entries with the place of every field, and all problems at once. Not here: opening the pictures
//! (`intake`), what the undercoat's points mean (`ground`).

use velatura_document::Diagnostic;
use velatura_document::StageTable;
use velatura_document::{At, Fields, SourceText, read_document};
use velatura_optics::colour::{Encoded, luminance};
use velatura_photo::flat::{MASK_TOLERANCE, MOST_REGIONS, distance};

/// The format line of this file.
pub const FORMAT: &str = "velatura-figure/1";

/// Height in mm of a figure whose file does not state it: a common size of small tabletop figures (common practice, no
/// source).
pub const DEFAULT_HEIGHT_MM: f64 = 32.0;

/// Figures in the team if the file does not state it.
pub const DEFAULT_COUNT: u32 = 1;

const MOST_FIGURES: f64 = 100_000.0;

pub(crate) const KEYS: &[&str] = &[
    "format",
    "name",
    "photo",
    "mask",
    "height_mm",
    "count",
    "undercoat",
    "region",
    "plugins",
    "stage",
];
pub(crate) const UNDERCOAT_KEYS: &[&str] =
    &["kind", "black", "white", "light_share", "light_photo"];
pub(crate) const REGION_KEYS: &[&str] = &["name", "mask_colour"];

/// A whole `figure.toml`.
#[derive(Debug, Clone)]
pub struct FigureFile {
    /// The name of the figure.
    pub name: String,
    /// Path of the photo, relative to this file.
    pub photo: At<String>,
    /// Path of the mask, relative to this file.
    pub mask: At<String>,
    /// Height of the figure in mm; [`DEFAULT_HEIGHT_MM`] if the file does not state it.
    pub height_mm: f64,
    /// Figures in the team; [`DEFAULT_COUNT`] if the file does not state it.
    pub count: u32,
    /// The undercoat below the glazes.
    pub undercoat: UndercoatEntry,
    /// The parts of the figure, in the order written.
    pub regions: Vec<RegionEntry>,
    /// Paths of plugins, relative to this file.
    pub plugins: Vec<At<String>>,
    /// The tables `[stage.NAME]`.
    pub stages: Vec<StageTable>,
    /// The text of the file, for later messages.
    pub source: SourceText,
}

/// How the figure was prepared.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum UndercoatKind {
    /// Black primer, drybrushed up to white.
    BlackToWhite,
    /// White primer with a dark wash in the recesses.
    WhiteWithWash,
    /// One flat primer.
    Plain,
}

/// The table `[undercoat]`.
#[derive(Debug, Clone)]
pub struct UndercoatEntry {
    /// How the figure was prepared.
    pub kind: At<UndercoatKind>,
    /// Photo value where bare dark primer shows in full light.
    pub black: Option<At<Encoded>>,
    /// Photo value of the brightest drybrushing (of the bare primer, if plain) in full light.
    pub white: Option<At<Encoded>>,
    /// Share of the logarithm of the tone that is light and shade, 0…1.
    pub light_share: Option<At<f64>>,
    /// Path of a photo of the same pose under the same lamp before drybrushing.
    pub light_photo: Option<At<String>>,
}

/// One `[[region]]`.
#[derive(Debug, Clone)]
pub struct RegionEntry {
    /// The name that schemes use.
    pub name: At<String>,
    /// Its colour in the mask.
    pub mask_colour: At<Encoded>,
}

/// Reads `figure.toml`.
///
/// Returns the file and warnings, or no file and all errors.
#[must_use]
pub fn read_figure_file(source: &SourceText) -> (Option<FigureFile>, Vec<Diagnostic>) {
    read_document(source, FORMAT, KEYS, |fields| {
        let name = fields.required_text("name", "the name of the figure");
        let photo = fields.required_text("photo", "the path of a JPEG, PNG, TIFF or WebP");
        let mask = fields.required_text(
            "mask",
            "the path of a picture with one flat colour per region",
        );
        let height_mm = fields.number("height_mm", 1.0..=1000.0, "1 to 1000, in millimetres");
        let count = read_count(fields);
        let undercoat = read_undercoat(fields);
        let regions = read_regions(fields);
        Some(FigureFile {
            name: name?.value,
            photo: photo?,
            mask: mask?,
            height_mm: height_mm.map_or(DEFAULT_HEIGHT_MM, |height| height.value),
            count: count.unwrap_or(DEFAULT_COUNT),
            undercoat: undercoat?,
            regions: regions?,
            plugins: fields.texts("plugins", "a list of paths of plugins: [\"dust.wasm\"]"),
            stages: fields.stage_tables("stage"),
            source: source.clone(),
        })
    })
}

fn read_count(fields: &Fields<'_>) -> Option<u32> {
    let expected = "a whole number from 1 to 100000";
    let count = fields.number("count", 1.0..=MOST_FIGURES, expected)?;
    if count.value.fract() != 0.0 {
        let found = format!("`count` is {}", count.value);
        fields.problem(&count.at, found, expected, "");
        return None;
    }
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a whole number from 1 to 100000"
    )]
    Some(count.value as u32)
}

fn read_undercoat(fields: &Fields<'_>) -> Option<UndercoatEntry> {
    let Some(table) = fields.table("undercoat", "[undercoat]", UNDERCOAT_KEYS) else {
        if !fields.has("undercoat") {
            fields.problem(
                &(0..0),
                "`[undercoat]` is missing",
                "[undercoat] with `kind`: how the figure was primed before the photo",
                "add [undercoat] with kind = \"black-to-white\", \"white-with-wash\" or \"plain\"",
            );
        }
        return None;
    };
    if !table.has("kind") {
        table.missing(
            "kind",
            "\"black-to-white\", \"white-with-wash\" or \"plain\"",
        );
    }
    let kind = table.word(
        "kind",
        &[
            ("black-to-white", UndercoatKind::BlackToWhite),
            ("white-with-wash", UndercoatKind::WhiteWithWash),
            ("plain", UndercoatKind::Plain),
        ],
    );
    let entry = UndercoatEntry {
        black: colour(&table, "black"),
        white: colour(&table, "white"),
        light_share: table.number("light_share", 0.0..=1.0, "a number from 0 to 1"),
        light_photo: table.text("light_photo", "the path of a photo"),
        kind: kind?,
    };
    report_contradictions(&table, &entry);
    Some(entry)
}

fn report_contradictions(table: &Fields<'_>, entry: &UndercoatEntry) {
    if let (Some(black), Some(white)) = (&entry.black, &entry.white) {
        if luminance(black.value.linear()) >= luminance(white.value.linear()) {
            table.problem(
                &black.at,
                format!(
                    "black ({}) is not darker than white ({})",
                    black.value, white.value
                ),
                "`black` darker than `white`",
                "are the two swapped?",
            );
        }
    }
    if let Some(white) = &entry.white {
        if white.value == Encoded([0; 3]) {
            table.problem(
                &white.at,
                "`white` is #000000",
                "the photo value of the brightest undercoat",
                "copy its colour from the photo, or remove the line to have it estimated",
            );
        }
    }
    let plain = entry.kind.value == UndercoatKind::Plain;
    if let Some(share) = entry
        .light_share
        .as_ref()
        .filter(|share| plain && share.value < 1.0)
    {
        table.warning(
            &share.at,
            format!(
                "`light_share` is {}, but the undercoat is plain",
                share.value
            ),
            "1: on a single flat primer the photo shows only light and shade",
            "1 is used; remove the line, or correct `kind`",
        );
    }
    if let Some(path) = &entry.light_photo {
        if path.value.trim().is_empty() {
            table.problem(
                &path.at,
                "`light_photo` is empty",
                "the path of a photo",
                "remove the line if there is none",
            );
        } else if plain {
            table.warning(
                &path.at,
                "there is a `light_photo`, but the undercoat is plain",
                "no `light_photo`: on a single flat primer the photo itself shows the light",
                "it is ignored; remove the line, or correct `kind`",
            );
        }
    }
}

fn read_regions(fields: &Fields<'_>) -> Option<Vec<RegionEntry>> {
    let tables = fields.tables("region", "region", REGION_KEYS);
    if tables.is_empty() {
        fields.problem(
            &(0..0),
            "this file has no region",
            "at least one [[region]] with `name` and `mask_colour`",
            "add a [[region]] for each part that gets its own paint",
        );
        return None;
    }
    if let Some(beyond) = tables.get(MOST_REGIONS) {
        fields.problem(
            &beyond.at(),
            format!("this file has {} regions", tables.len()),
            &format!("at most {MOST_REGIONS}"),
            "merge regions that get the same paint",
        );
    }
    // Those beyond the limit would be compared with all others for nothing.
    let tables = &tables[..tables.len().min(MOST_REGIONS)];
    let regions: Vec<Option<RegionEntry>> = tables.iter().map(read_region).collect();
    report_twins(&regions, tables);
    regions.into_iter().collect()
}

fn read_region(table: &Fields<'_>) -> Option<RegionEntry> {
    let name = table.required_text("name", "the name that schemes use for this region");
    if !table.has("mask_colour") {
        table.missing(
            "mask_colour",
            "the region's colour in the mask, such as \"#e6194b\"",
        );
    }
    let mask_colour = colour(table, "mask_colour");
    Some(RegionEntry {
        name: name?,
        mask_colour: mask_colour?,
    })
}

/// Names and mask colours must be unique.
fn report_twins(regions: &[Option<RegionEntry>], tables: &[Fields<'_>]) {
    for (index, (region, table)) in regions.iter().zip(tables).enumerate() {
        let Some(region) = region else { continue };
        let mut earlier = regions[..index].iter().flatten();
        if earlier
            .clone()
            .any(|other| other.name.value == region.name.value)
        {
            table.problem(
                &region.name.at,
                format!("two regions are called \"{}\"", region.name.value),
                "a different name for every region",
                "rename or remove one of them",
            );
        }
        let colour = region.mask_colour.value;
        let twin =
            earlier.find(|other| distance(other.mask_colour.value, colour) <= MASK_TOLERANCE);
        if let Some(twin) = twin {
            let found = if twin.mask_colour.value == colour {
                format!(
                    "{colour} is also the mask colour of region \"{}\"",
                    twin.name.value
                )
            } else {
                format!(
                    "{colour} is too close to {}, the mask colour of region \"{}\"",
                    twin.mask_colour.value, twin.name.value
                )
            };
            table.problem(
                &region.mask_colour.at,
                found,
                &format!("colours more than {MASK_TOLERANCE} code values apart, better 30 or more"),
                "choose another colour here and repaint the region in the mask",
            );
        }
    }
}

fn colour(fields: &Fields<'_>, key: &'static str) -> Option<At<Encoded>> {
    let expected = "a colour such as \"#e6194b\"";
    let text = fields.text(key, expected)?;
    if let Ok(value) = text.value.parse() {
        return Some(At { value, at: text.at });
    }
    let bare = text.value.len() == 6 && text.value.bytes().all(|b| b.is_ascii_hexdigit());
    let help = if bare {
        format!("add a #: \"#{}\"", text.value)
    } else {
        "write # and six hexadecimal digits, two each for red, green and blue".to_owned()
    };
    let found = format!("`{key}` is \"{}\"", text.value);
    fields.problem(&text.at, found, expected, &help);
    None
}

/// The place of a path in the figure file, for the `in` of a message about that picture.
#[must_use]
pub fn named_in(figure: &FigureFile, at: &std::ops::Range<usize>, key: &str) -> String {
    let place = figure.source.place(at);
    format!(
        "{}:{}:{}, `{key}`",
        figure.source.name(),
        place.line,
        place.column
    )
}

//! `figure.toml`: which photo and mask, how the figure was undercoated, and what its regions are called.
//!
//! In: text. Out: entries with the place of every field, and all problems at once. Not here: opening the pictures
//! (`intake`), what the undercoat's points mean (`ground`).

use velatura_document::{
    At, Diagnostic, Fields, NamedNumbers, SourceText, StageTable, Warned, nearest, read_document,
};
use velatura_optics::colour::{Encoded, luminance};
use velatura_photo::flat::{MASK_TOLERANCE, MOST_REGIONS, distance};

use crate::figure_keys::{FIGURE_FILE, KINDS, UndercoatKind};
use crate::material::{MATERIALS, Material};
use crate::own_range::{self, OwnRange};

/// A whole `figure.toml`.
#[derive(Debug, Clone)]
pub struct FigureFile {
    /// The name of the figure.
    pub name: String,
    /// Path of the photo, relative to this file.
    pub photo: At<String>,
    /// Path of the mask, relative to this file.
    pub mask: At<String>,
    /// Height of the figure in mm; 32 if the file does not state it.
    pub height_mm: f64,
    /// Figures in the team; 1 if the file does not state it.
    pub count: u32,
    /// The undercoat below the glazes.
    pub undercoat: UndercoatEntry,
    /// The parts of the figure, in the order written.
    pub regions: Vec<RegionEntry>,
    /// The painter's own natural colours of materials, in the order written.
    pub materials: Vec<OwnRange>,
    /// The painter's own steps, in the order written.
    pub steps: Vec<OwnStep>,
    /// Paths of plugins, relative to this file.
    pub plugins: Vec<At<String>>,
    /// The tables `[stage.NAME]`.
    pub stages: Vec<StageTable>,
    /// The text of the file, for later messages.
    pub source: SourceText,
}

impl FigureFile {
    /// The names of the parts, in the order written.
    #[must_use]
    pub fn region_names(&self) -> Vec<String> {
        let names = self.regions.iter().map(|region| &region.name.value);
        names.cloned().collect()
    }
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
    /// Reflectance Y of a matte black card, 0…1, in the convention of the photo (surface reflection included or not). No key of
    /// the file: a program that knows the card of the paints sets it. Where `black` is not given, the dark primer is then
    /// taken to be alike.
    pub card_black: Option<f64>,
}

/// One `[[region]]`.
#[derive(Debug, Clone)]
pub struct RegionEntry {
    /// The name that schemes use.
    pub name: At<String>,
    /// Its colour in the mask.
    pub mask_colour: At<Encoded>,
    /// What it is, if the file says so.
    pub is: Option<Material>,
    /// The name of another region whose mix it shares.
    pub same_as: Option<At<String>>,
    /// Whether its colour should be a natural one.
    pub natural: bool,
    /// The mix that stays, if it has one: names of paints or `medium`, with parts by volume.
    pub keep: Option<NamedNumbers>,
}

/// A step that is not about paint, for the bench card.
#[derive(Debug, Clone, PartialEq)]
pub struct OwnStep {
    /// What to do.
    pub text: String,
    /// Minutes for one figure.
    pub minutes: f64,
}

/// Reads `figure.toml`.
///
/// # Errors
/// All problems, warnings included, if any of them is an error.
pub fn read_figure_file(source: &SourceText) -> Result<Warned<FigureFile>, Vec<Diagnostic>> {
    read_document(source, &FIGURE_FILE, |fields| {
        let name = fields.text("name");
        let photo = fields.text("photo");
        let mask = fields.text("mask");
        let height_mm = fields.number_or_default("height_mm");
        let count = fields.whole_or_default("count");
        let undercoat = read_undercoat(fields);
        let regions = read_regions(fields);
        let materials = own_range::read(fields);
        let steps: Vec<Option<OwnStep>> = fields.tables("step").iter().map(read_step).collect();
        let plugins = fields.paths("plugins");
        let stages = fields.stage_tables();
        Some(FigureFile {
            name: name?.value,
            photo: photo?,
            mask: mask?,
            height_mm,
            count,
            undercoat: undercoat?,
            regions: regions?,
            materials: materials?,
            steps: steps.into_iter().collect::<Option<_>>()?,
            plugins,
            stages,
            source: source.clone(),
        })
    })
}

fn read_step(table: &Fields<'_>) -> Option<OwnStep> {
    let text = table.text("text");
    let minutes = table.number_or_default("minutes");
    Some(OwnStep {
        text: text?.value,
        minutes,
    })
}

fn read_undercoat(fields: &Fields<'_>) -> Option<UndercoatEntry> {
    let table = fields.table("undercoat")?;
    let kind = table.word("kind", &KINDS);
    let entry = UndercoatEntry {
        black: table.colour("black"),
        white: table.colour("white"),
        light_share: table.number("light_share"),
        light_photo: table.text("light_photo"),
        card_black: None,
        kind: kind?,
    };
    report_contradictions(&table, &entry);
    Some(entry)
}

fn report_contradictions(table: &Fields<'_>, entry: &UndercoatEntry) {
    if let (Some(black), Some(white)) = (&entry.black, &entry.white)
        && luminance(black.value.linear()) >= luminance(white.value.linear())
    {
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
    // Light and paint are quotients of the photo's tones by these two.
    for (key, code) in [("black", &entry.black), ("white", &entry.white)] {
        let Some(code) = code.as_ref().filter(|code| code.value == Encoded([0; 3])) else {
            continue;
        };
        table.problem(
            &code.at,
            format!("`{key}` is #000000, the code of no light at all"),
            "the photo's colour of a primer in full light: even black primer reflects about 1 % of it",
            "copy its colour from the photo where the primer is brightest, or remove the line to have it estimated",
        );
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
    if let Some(path) = entry.light_photo.as_ref().filter(|_| plain) {
        table.warning(
            &path.at,
            "there is a `light_photo`, but the undercoat is plain",
            "no `light_photo`: on a single flat primer the photo itself shows the light",
            "it is ignored; remove the line, or correct `kind`",
        );
    }
}

fn read_regions(fields: &Fields<'_>) -> Option<Vec<RegionEntry>> {
    let tables = fields.tables("region");
    // Those beyond the limit would be compared with all others for nothing.
    let tables = &tables[..tables.len().min(MOST_REGIONS)];
    let regions: Vec<Option<RegionEntry>> = tables.iter().map(read_region).collect();
    report_twins(&regions, tables);
    report_shared(&regions, tables);
    regions.into_iter().collect()
}

fn read_region(table: &Fields<'_>) -> Option<RegionEntry> {
    let name = table.text("name");
    let mask_colour = table.colour("mask_colour");
    let is = table.word("is", &MATERIALS).map(|word| word.value);
    let same_as = table.text("same_as");
    let natural = table.flag_or_default("natural");
    let keep = table.named_numbers("keep");
    Some(RegionEntry {
        name: name?,
        mask_colour: mask_colour?,
        is,
        same_as,
        natural,
        keep,
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

/// `same_as` names another region, and no circle.
fn report_shared(regions: &[Option<RegionEntry>], tables: &[Fields<'_>]) {
    let named = |name: &str| {
        let mut known = regions.iter().flatten();
        known.find(|other| other.name.value == name)
    };
    for (region, table) in regions.iter().zip(tables) {
        let Some((region, shared)) = region
            .as_ref()
            .and_then(|region| Some((region, region.same_as.as_ref()?)))
        else {
            continue;
        };
        if named(&shared.value).is_none() {
            let names = regions.iter().flatten().map(|other| &*other.name.value);
            let near = nearest(&shared.value, names);
            table.problem(
                &shared.at,
                format!("no region is called \"{}\"", shared.value),
                "the name of another region of this file",
                near.map_or("remove the line".to_owned(), |near| {
                    format!("did you mean \"{near}\"?")
                }),
            );
            continue;
        }
        let mut next = Some(shared);
        let circle = (0..regions.len()).any(|_| {
            let Some(name) = next else { return false };
            next = named(&name.value).and_then(|other| other.same_as.as_ref());
            name.value == region.name.value
        });
        if circle {
            table.problem(
                &shared.at,
                format!("\"{}\" shares the mix of itself", region.name.value),
                "the name of a region that has a mix of its own",
                "remove `same_as` from one of the regions",
            );
        }
    }
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

//! `schemes.toml`: which mix goes where, and in which order. Only reading; `resolve` looks up the names.

use std::collections::HashSet;

use velatura_document::{
    At, Diagnostic, Fields, InPart, SourceText, StageTable, Warned, read_document_in_part,
};
use velatura_figure::SimulatedUndercoat;
use velatura_optics::coat::Where;

use crate::schemes_keys::SCHEMES_FILE;
use crate::words::{PLACES, UNDERCOATS, VARNISHES, Varnish};

/// A `schemes.toml`.
#[derive(Debug, Clone)]
pub struct SchemesFile {
    /// The schemes in the order written.
    pub schemes: Vec<SchemeEntry>,
    /// The tables `[stage.NAME]`, for all schemes.
    pub stages: Vec<StageTable>,
    /// The text of the file, for later messages.
    pub source: SourceText,
}

/// One scheme as written.
#[derive(Debug, Clone)]
pub struct SchemeEntry {
    /// Its name.
    pub name: At<String>,
    /// The team that wears it; may be empty.
    pub team: String,
    /// The undercoat below the coats.
    pub undercoat: SimulatedUndercoat,
    /// The varnish.
    pub finish: Varnish,
    /// Coats, lowest first.
    pub coats: Vec<CoatEntry>,
    /// The tables `[scheme.stage.NAME]`, for this scheme.
    pub stages: Vec<StageTable>,
}

/// One coat as written.
#[derive(Debug, Clone)]
pub struct CoatEntry {
    /// Where: a region of the figure.
    pub region: At<String>,
    /// Names of paints (or medium) and their parts by volume.
    pub mix: Vec<(At<String>, f64)>,
    /// Thickness; 1 = as thick as the drawdown.
    pub film: f64,
    /// Where on the relief.
    pub place: Where,
    /// 0 even … 1 runs into the recesses.
    pub pooling: f64,
    /// Width of the line along an edge in millimetres; only for edges.
    pub width_mm: f64,
}

/// Reads `schemes.toml`.
///
/// # Errors
/// All problems, warnings included, if any of them is an error.
pub fn read_schemes_file(source: &SourceText) -> Result<Warned<SchemesFile>, Vec<Diagnostic>> {
    read_schemes_file_in_part(source).whole()
}

/// Like [`read_schemes_file`], but returns the file although there are errors, such as an unknown key, so that its names can be looked
/// up as well.
pub fn read_schemes_file_in_part(source: &SourceText) -> InPart<SchemesFile> {
    read_document_in_part(source, &SCHEMES_FILE, |fields| {
        let tables = fields.tables("scheme");
        let schemes: Vec<Option<SchemeEntry>> = tables.iter().map(read_scheme).collect();
        let schemes = schemes.into_iter().collect::<Option<Vec<_>>>()?;
        let mut earlier = HashSet::new();
        for (scheme, table) in schemes.iter().zip(&tables) {
            let name = &scheme.name;
            if !earlier.insert(&name.value) {
                let found = format!("two schemes are called \"{}\"", name.value);
                table.warning(
                    &name.at,
                    found,
                    "a different name for every scheme",
                    "rename one of them",
                );
            }
            if scheme.coats.is_empty() {
                let found = format!("scheme \"{}\" has no coat", name.value);
                table.warning(
                    &name.at,
                    found,
                    "at least one [[scheme.coat]]",
                    "add one, or remove the scheme",
                );
            }
        }
        Some(SchemesFile {
            schemes,
            stages: fields.stage_tables(),
            source: source.clone(),
        })
    })
}

fn read_scheme(fields: &Fields<'_>) -> Option<SchemeEntry> {
    let name = fields.text("name");
    let team = fields.text("team");
    let undercoat = fields.word_or_default("undercoat", &UNDERCOATS);
    let finish = fields.word_or_default("finish", &VARNISHES);
    let coats: Vec<Option<CoatEntry>> = fields.tables("coat").iter().map(read_coat).collect();
    let stages = fields.stage_tables();
    Some(SchemeEntry {
        coats: coats.into_iter().collect::<Option<Vec<_>>>()?,
        name: name?,
        team: team.map_or(String::new(), |team| team.value),
        undercoat,
        finish,
        stages,
    })
}

fn read_coat(fields: &Fields<'_>) -> Option<CoatEntry> {
    let region = fields.text("region");
    let film = fields.number_or_default("film");
    let place = fields.word_or_default("where", &PLACES);
    let pooling = fields.number_or_default("pooling");
    let width_mm = fields.number_or_default("width_mm");
    let mix = fields.named_numbers("mix");
    let parts = |(name, parts): (At<String>, At<f64>)| (name, parts.value);
    if film <= 0.0 && fields.has("film") {
        fields.warning(
            &fields.key_at("film"),
            "a coat with film 0 does nothing",
            "a film above 0; 1 is as thick as the drawdown",
            "give the coat a film, or remove it",
        );
    }
    if fields.has("width_mm") && place != Where::Edges {
        fields.warning(
            &fields.key_at("width_mm"),
            "`width_mm` does nothing here: the coat is not on the edges",
            "`width_mm` in coats with `where = \"edges\"`",
            "add `where = \"edges\"`, or remove `width_mm`",
        );
    }
    Some(CoatEntry {
        region: region?,
        mix: mix?.into_iter().map(parts).collect(),
        film,
        place,
        pooling,
        width_mm,
    })
}

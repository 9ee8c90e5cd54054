//! `schemes.toml`: which mix goes where, and in which order. Only reading; `resolve` looks up the names.

use std::collections::HashSet;

use velatura_document::Diagnostic;
use velatura_document::StageTable;
use velatura_document::{At, Fields, SourceText, read_document};
use velatura_figure::SimulatedUndercoat;
use velatura_optics::coat::Where;

use crate::words::{PLACES, UNDERCOATS, VARNISHES, Varnish};

/// The format line of this file.
pub const FORMAT: &str = "velatura-schemes/1";

pub(crate) const KEYS: &[&str] = &["format", "scheme", "stage"];
pub(crate) const SCHEME_KEYS: &[&str] = &["name", "team", "undercoat", "finish", "coat", "stage"];
pub(crate) const COAT_KEYS: &[&str] = &["region", "mix", "film", "where", "pooling"];

/// Thickest film accepted: twenty drawdowns on top of each other would crack before they dried.
pub const THICKEST_FILM: f64 = 20.0;

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
}

/// Reads `schemes.toml`.
///
/// Returns the file and warnings, or no file and all errors.
#[must_use]
pub fn read_schemes_file(source: &SourceText) -> (Option<SchemesFile>, Vec<Diagnostic>) {
    read_document(source, FORMAT, KEYS, |fields| {
        let tables = fields.tables("scheme", "scheme", SCHEME_KEYS);
        if tables.is_empty() && !fields.has("scheme") {
            fields.problem(
                &(0..0),
                "this file has no scheme",
                "at least one [[scheme]]",
                "add a [[scheme]]",
            );
        }
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
            stages: fields.stage_tables("stage"),
            source: source.clone(),
        })
    })
}

fn read_scheme(fields: &Fields<'_>) -> Option<SchemeEntry> {
    let name = fields.required_text("name", "the scheme's name");
    let team = fields.text("team", "the team's name");
    let undercoat = fields.word("undercoat", &UNDERCOATS);
    let finish = fields.word("finish", &VARNISHES);
    let coats: Vec<Option<CoatEntry>> = fields
        .tables("coat", "coat", COAT_KEYS)
        .iter()
        .map(read_coat)
        .collect();
    Some(SchemeEntry {
        coats: coats.into_iter().collect::<Option<Vec<_>>>()?,
        name: name?,
        team: team.map_or(String::new(), |team| team.value),
        undercoat: undercoat.map_or(SimulatedUndercoat::AsPhotographed, |undercoat| {
            undercoat.value
        }),
        finish: finish.map_or(Varnish::Matte, |finish| finish.value),
        stages: fields.stage_tables("scheme.stage"),
    })
}

fn read_coat(fields: &Fields<'_>) -> Option<CoatEntry> {
    let region = fields.required_text("region", "the name of a region in figure.toml");
    let expected_film = "a thickness of 0 to 20; 1 = as thick as the drawdown";
    let film = fields.number("film", 0.0..=THICKEST_FILM, expected_film);
    let place = fields.word("where", &PLACES);
    let pooling = fields.number(
        "pooling",
        0.0..=1.0,
        "0 (an even film) to 1 (a wash that runs into the recesses)",
    );
    let mix = read_mix(fields);
    Some(CoatEntry {
        region: region?,
        mix: mix?,
        film: film.map_or(1.0, |film| film.value),
        place: place.map_or(Where::All, |place| place.value),
        pooling: pooling.map_or(0.0, |pooling| pooling.value),
    })
}

fn read_mix(fields: &Fields<'_>) -> Option<Vec<(At<String>, f64)>> {
    let expected = "paints with their parts by volume: mix = { \"Oil Amber\" = 3, medium = 7 }";
    if !fields.has("mix") {
        fields.missing("mix", expected);
        return None;
    }
    let mix = fields.named_numbers("mix", expected)?;
    if mix.value.is_empty() {
        fields.problem(&mix.at, "the mix is empty", expected, "");
        return None;
    }
    let mut parts = Vec::new();
    for (name, part) in mix.value {
        if part.value > 0.0 {
            parts.push((name, part.value));
        } else {
            let found = format!("{} parts of \"{}\"", part.value, name.value);
            fields.problem(
                &part.at,
                found,
                "more than 0 parts",
                "remove it from the mix, or use more than 0 parts",
            );
            return None;
        }
    }
    Some(parts)
}

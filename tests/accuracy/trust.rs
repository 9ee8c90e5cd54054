//! How far each basis is to be trusted: mean ΔE on the measured paints, written to `crates/optics/data/trust.csv` for the
//! program and to `trust.md` next to it for the docs.

use std::fmt::Write as _;

use velatura_optics::mixture::Tie;
use velatura_optics::paint::{Basis, Source};

use crate::figures::{Figures, assert_checked_in, assert_no_update};
use crate::glazes;
use crate::mixtures::{Given, Judged, Sums, judged};

const SOURCES: [Source; 3] = [Source::Spectrum, Source::Drawdown, Source::Chip];

/// Mean error by basis and tie, the order of the file.
fn rows() -> Vec<(Basis, Tie, Figures)> {
    let mut rows = Vec::new();
    for source in SOURCES {
        let of = |judged: &[Judged], tie| {
            let kept = judged.iter().filter(|one| one.tie == tie);
            Figures::of(kept.flat_map(Judged::our_errors))
        };
        let alone = glazes::held_out_error(source);
        let tinted = judged(source, Given::OneTint, Sums::Departing);
        let bare = judged(source, Given::NoTint, Sums::Departing);
        rows.extend([
            (source.with_tint(), Tie::Alone, alone),
            (source.with_tint(), Tie::Tinted, of(&tinted, Tie::Tinted)),
            (source.with_tint(), Tie::Linked, of(&tinted, Tie::Linked)),
            (source.without_tint(), Tie::Alone, alone),
            (
                source.without_tint(),
                Tie::Unlinked,
                of(&bare, Tie::Unlinked),
            ),
        ]);
    }
    rows
}

#[test]
fn the_table_of_trust_is_what_the_measured_paints_give() {
    let rows = rows();
    let mut csv = "# source: computed by tests/accuracy/trust.rs from tests/data/measured-paints (Geldof et al. 2018, doi \
                   10.1186/s40494-018-0181-6); licence: CC0; unit: mean CIEDE2000\nbasis,tie,delta_e,count\n"
        .to_owned();
    for (basis, tie, figures) in &rows {
        writeln!(
            csv,
            "{basis},{},{:.2},{}",
            tie.word(),
            figures.mean,
            figures.count
        )
        .unwrap();
    }
    let mut table = "| basis | one paint, pure or thinned | mixture, each two tinted | mixture, linked by tints | mixture, \
                     no tint |\n| --- | --- | --- | --- | --- |\n"
        .to_owned();
    for basis in Basis::ALL {
        let cells: Vec<String> = Tie::ALL
            .iter()
            .map(|tie| {
                let found = rows.iter().find(|row| row.0 == basis && row.1 == *tie);
                found.map_or_else(|| "–".to_owned(), |row| format!("{:.1}", row.2.mean))
            })
            .collect();
        if cells.iter().any(|cell| cell != "–") {
            writeln!(table, "| `{basis}` | {} |", cells.join(" | ")).unwrap();
        }
    }
    println!("{table}");
    assert_checked_in("crates/optics/data/trust.csv", &csv, "trust");
    assert_checked_in("crates/optics/data/trust.md", &table, "trust");
    assert_no_update("trust");
}

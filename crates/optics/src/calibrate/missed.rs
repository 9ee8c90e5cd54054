//! Paints whose given colours no film can have: one warning for each file.

use velatura_document::Diagnostic;

use crate::paint::Paint;
use crate::paints_file::{PaintEntry, PaintsFile};

/// Residual ΔE above which a warning says that the fit is only the closest one.
const WARN_ABOVE: f64 = 0.5;

/// The warnings; `paints` are what was made of the file.
pub(super) fn warnings(file: &PaintsFile, paints: &[Paint]) -> Vec<Diagnostic> {
    let pairs = file.paints.iter().zip(paints);
    let missed: Vec<(&PaintEntry, f64)> = pairs
        .map(|(entry, paint)| (entry, paint.residual))
        .filter(|(_, residual)| *residual > WARN_ABOVE)
        .collect();
    let mut rest = &missed[..];
    let mut warnings = Vec::new();
    // The paints of one file follow each other.
    while let Some((first, residual)) = rest.first() {
        let same = |(entry, _): &&(&PaintEntry, f64)| entry.source.name() == first.source.name();
        let count = rest.iter().take_while(same).count();
        let (of_file, others) = rest.split_at(count);
        rest = others;
        let warning = match of_file {
            [_] => first
                .source
                .error_at(
                    &first.name.at,
                    format!("no film can have these two colours; the closest one is off by ΔE {residual:.1}"),
                )
                .as_warning()
                .within(format!("paint \"{}\"", first.name.value)),
            many => Diagnostic::warning(first.source.name(), joined(many)),
        };
        warnings.push(
            warning
                .expected("the colours of one film over the two cards of [cards]")
                .help("photograph drawdown and bare cards together in even light, and read the colour codes again"),
        );
    }
    warnings
}

fn joined(many: &[(&PaintEntry, f64)]) -> String {
    let named: Vec<String> = many
        .iter()
        .map(|(entry, residual)| {
            let line = entry.source.place(&entry.name.at).line;
            format!("\"{}\" (line {line}, ΔE {residual:.1})", entry.name.value)
        })
        .collect();
    format!(
        "no film can have the two colours of {} paints; the closest films are off: {}",
        many.len(),
        named.join(", ")
    )
}

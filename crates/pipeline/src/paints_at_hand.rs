//! The paints that were calibrated last. Calibrating takes most of the time of reading texts, and the figures of a team share a box, as
//! does a job that is read again after a change of its schemes.

use std::sync::{Mutex, PoisonError};

use velatura_document::{Diagnostic, SourceText, Warned};
use velatura_optics::calibrate::{PaintBox, calibrate};
use velatura_optics::paints_file::read_paints_files;

/// One box of paints, under the texts that it was read from.
#[derive(Debug, Default)]
pub(crate) struct PaintsAtHand(Mutex<Option<Kept>>);

#[derive(Debug)]
struct Kept {
    sources: Vec<SourceText>,
    paints: Warned<PaintBox>,
}

impl PaintsAtHand {
    /// The paints of these texts, with warnings.
    ///
    /// # Errors
    /// What is wrong with the texts.
    pub(crate) fn of(&self, sources: &[SourceText]) -> Result<Warned<PaintBox>, Vec<Diagnostic>> {
        let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(kept) = &*kept
            && same(&kept.sources, sources)
        {
            return Ok(kept.paints.clone());
        }
        let (file, mut warnings) = read_paints_files(sources)?.into_parts();
        let paints = calibrate(&file).into_value(&mut warnings);
        let paints = Warned::new(paints, warnings);
        *kept = Some(Kept {
            sources: sources.to_vec(),
            paints: paints.clone(),
        });
        Ok(paints)
    }
}

/// Warnings name the files, so their names count as well.
fn same(some: &[SourceText], others: &[SourceText]) -> bool {
    let equal = |(one, other): (&SourceText, &SourceText)| {
        one.name() == other.name() && one.text() == other.text()
    };
    some.len() == others.len() && some.iter().zip(others).all(equal)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Paints that no film can have: they cause a warning.
    fn source(name: &str, over_black: &str) -> SourceText {
        let text = format!(
            "format = \"velatura-paints/1\"\n[cards]\nblack = \"#1c1c1c\"\nwhite = \"#f0f0f0\"\n\
             [[paint]]\nname = \"Harbour Dusk\"\nover_black = \"{over_black}\"\nover_white = \"#a0a000\"\n"
        );
        SourceText::new(name, text)
    }

    #[test]
    fn other_texts_give_other_paints_and_the_same_text_the_same() {
        let kept = PaintsAtHand::default();
        let of = |name, over_black| kept.of(&[source(name, over_black)]).unwrap();
        let first = of("a.toml", "#0000a0");
        let other = of("a.toml", "#2000b0");
        assert_ne!(first.value.paints[0].optics, other.value.paints[0].optics);
        let again = of("a.toml", "#0000a0");
        assert_eq!(first.value.paints[0].optics, again.value.paints[0].optics);
        // Warnings name the file.
        let renamed = of("b.toml", "#0000a0");
        assert_eq!([first.warnings.len(), renamed.warnings.len()], [1, 1]);
        assert_eq!(first.warnings[0].file, "a.toml");
        assert_eq!(renamed.warnings[0].file, "b.toml");
        assert!(kept.of(&[SourceText::new("c.toml", "paint = 3")]).is_err());
        assert_eq!(of("b.toml", "#0000a0").value.paints.len(), 1);
    }
}

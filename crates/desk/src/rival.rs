//! The rivals' figure: a project of its own, to compare teams with. It is not part of the project on the desk.

use velatura::{Job, Session};
use velatura_document::{Diagnostic, Error, Warned};

use crate::edit_figure::FigureText;
use crate::open::opened;
use crate::pictures::Pictures;
use crate::project::{Project, hash_of};
use crate::view::RivalView;
use crate::view_schemes::NUMBER_BITS;

/// A rival with everything that a comparison needs.
#[derive(Debug)]
pub(crate) struct Rival {
    number: u64,
    project: Project,
    pictures: Pictures,
}

impl Rival {
    /// Reads the rivals' project. Also gives warnings about its files.
    ///
    /// # Errors
    /// As opening a project; or it is not complete enough for pictures.
    pub(crate) fn read(session: &Session, name: &str, bytes: &[u8]) -> Result<Warned<Self>, Error> {
        let (read, warnings) = opened(name, bytes, session.limits())?.into_parts();
        let mut rival = Self {
            number: hash_of(bytes) & NUMBER_BITS,
            project: read.project,
            pictures: Pictures::default(),
        };
        if let (Some(decoded), Some(photo)) = (read.photo, &rival.project.photo) {
            rival.pictures.put_photo(photo.bytes.hash, decoded);
        }
        let warnings: Vec<Diagnostic> = warnings;
        if rival.job(session)?.schemes.is_empty() {
            let found = "the rivals have no scheme";
            let help = "propose schemes for their figure, and save its project";
            return Err(Error::refused(name, found, "a project with schemes", help));
        }
        Ok(Warned::new(rival, warnings))
    }

    /// The rivals' job.
    ///
    /// # Errors
    /// Something in it is missing or wrong.
    pub(crate) fn job(&mut self, session: &Session) -> Result<&Job, Error> {
        let text = FigureText::read(&self.project.figure)?;
        self.pictures.job(session, &self.project, &text)
    }

    /// For the page.
    pub(crate) fn view(&mut self, session: &Session) -> Option<RivalView> {
        let number = self.number;
        let job = self.job(session).ok()?;
        Some(RivalView {
            number,
            name: job.figure.name.clone(),
            schemes: job
                .schemes
                .iter()
                .map(|scheme| scheme.name.clone())
                .collect(),
        })
    }
}

//! The desk: one project, the commands that change it, and what was computed for it.

use velatura_document::{Diagnostic, Error};
use velatura_pipeline::optics::colour::Encoded;

use crate::change::{Changed, changed};
use crate::command::Command;
use crate::computed::Computed;
use crate::edit_figure::FigureText;
use crate::history::History;
use crate::mask::{Fineness, overlay};
use crate::open::opened;
use crate::pixels::Pixels;
use crate::project::{MaskFrom, Project};
use crate::put::{self, PutKind};
use crate::rival::Rival;
use crate::show::{Rest, shown};
use crate::take::{TakeKind, Taken, card, drawdown_card, project_zip, rendered, two_teams};
use crate::view::View;

/// One project on the desk.
#[derive(Debug)]
pub struct Desk {
    project: Project,
    history: History,
    computed: Computed,
    version: u64,
    said: String,
    /// What was found in the file that was put last.
    of_file: Vec<Diagnostic>,
    rival: Option<Rival>,
}

impl Desk {
    /// An empty desk.
    ///
    /// # Errors
    /// The session lacks a stage, which no program here leaves out.
    pub fn new() -> Result<Self, Error> {
        Ok(Self {
            project: Project::new(),
            history: History::default(),
            computed: Computed::new(velatura::session().build()?),
            version: 0,
            said: String::new(),
            of_file: Vec::new(),
            rival: None,
        })
    }

    /// Does a command. After an error the project is as it was before.
    ///
    /// # Errors
    /// Why it cannot be done.
    pub fn run(&mut self, command: &Command) -> Result<View, Error> {
        self.said.clear();
        match command {
            Command::Look => {}
            Command::Undo => {
                let what = self.history.next_undo();
                self.travel(what, "taken back", History::undo);
            }
            Command::Redo => {
                let what = self.history.next_redo();
                self.travel(what, "made again", History::redo);
            }
            change => {
                let before = self.project.clone();
                match changed(&mut self.project, &mut self.computed, change) {
                    Ok(Changed { what, said }) => self.keep(what, said, before),
                    Err(error) => {
                        self.project = before;
                        return Err(error);
                    }
                }
            }
        }
        self.view()
    }

    fn travel(
        &mut self,
        what: Option<String>,
        done: &str,
        step: fn(&mut History, Project) -> Result<Project, Project>,
    ) {
        match step(&mut self.history, self.project.clone()) {
            Ok(project) => {
                self.project = project;
                self.version += 1;
                self.of_file.clear();
                self.said = format!("{done}: {}", what.unwrap_or_default());
            }
            Err(_) => "nothing to do".clone_into(&mut self.said),
        }
    }

    fn keep(&mut self, what: String, said: String, before: Project) {
        self.of_file.clear();
        self.version += 1;
        self.said = said;
        self.history.changed(what, before);
    }

    /// Takes a file. After an error the project is as it was before.
    ///
    /// # Errors
    /// What is wrong with the file.
    pub fn put(&mut self, kind: PutKind, name: &str, bytes: Vec<u8>) -> Result<View, Error> {
        self.said.clear();
        if kind == PutKind::Rival {
            let read = Rival::read(&self.computed.session, name, &bytes)?;
            self.rival = Some(read.into_value(&mut self.of_file));
            self.said = format!("the rivals' project {name} opened");
            return self.view();
        }
        let before = self.project.clone();
        let limits = *self.computed.session.limits();
        let project = &mut self.project;
        let taken = match kind {
            PutKind::Photo => {
                put::photo(project, &mut self.computed.pictures, name, bytes, &limits)
            }
            PutKind::LightPhoto => put::light_photo(project, name, bytes, &limits),
            PutKind::Mask => put::mask(project, name, &bytes, &limits),
            PutKind::Paints => put::paints(project, name, bytes),
            PutKind::Schemes => put::schemes(project, name, bytes),
            PutKind::Card => put::card(project, name, bytes, &limits),
            PutKind::Project | PutKind::Kept | PutKind::Rival => {
                opened(name, &bytes, &limits).map(|read| {
                    let (read, warnings) = read.into_parts();
                    *project = read.project;
                    if let (Some(decoded), Some(photo)) = (read.photo, &project.photo) {
                        self.computed.pictures.put_photo(photo.bytes.hash, decoded);
                    }
                    let said = match kind {
                        PutKind::Kept => "your project is back".to_owned(),
                        _ => format!("{name} opened"),
                    };
                    (said, warnings)
                })
            }
        };
        match taken {
            Ok((said, warnings)) => {
                self.keep(said.clone(), said, before);
                if kind == PutKind::Kept {
                    self.history = History::default();
                }
                self.of_file = warnings;
                self.view()
            }
            Err(error) => {
                self.project = before;
                Err(error)
            }
        }
    }

    /// The working photo.
    ///
    /// # Errors
    /// There is none.
    pub fn photo(&mut self) -> Result<Pixels, Error> {
        let photo = self
            .computed
            .pictures
            .photo(&self.project, self.computed.session.limits())?;
        let rows = photo.photo.chunks(photo.width as usize);
        Ok(Pixels::opaque(photo.width, photo.height, rows))
    }

    /// The regions as they are now, in the parts' colours and translucent; `None` if there are none yet. The quick ones follow a pen,
    /// the fine ones take a moment. Only the mask of a job has the size of the photo.
    ///
    /// # Errors
    /// The mask cannot be computed.
    pub fn overlay(&mut self, fine: bool) -> Result<Option<Pixels>, Error> {
        let text = FigureText::read(&self.project.figure)?;
        if self.project.mask_from == MaskFrom::File {
            return self.mask_overlay(&text);
        }
        if self.project.photo.is_none() {
            return Ok(None);
        }
        let fineness = if fine {
            Fineness::Fine
        } else {
            Fineness::Quick
        };
        let Computed {
            session, pictures, ..
        } = &mut self.computed;
        let live = pictures.live(session, &self.project, &text, fineness)?;
        Ok(live.map(|(labels, width)| overlay(&labels, width)))
    }

    fn mask_overlay(&mut self, text: &FigureText) -> Result<Option<Pixels>, Error> {
        let labels = self.computed.loaded_regions(&self.project, text)?;
        let photo = self.project.photo.as_ref();
        Ok(labels
            .zip(photo)
            .map(|(labels, photo)| overlay(&labels, photo.size.0)))
    }

    /// One scheme on the figure, cut to the figure.
    ///
    /// # Errors
    /// The project is not complete, or something in it is wrong.
    pub fn tile(&mut self, scheme: usize) -> Result<Pixels, Error> {
        let text = FigureText::read(&self.project.figure)?;
        let numbers = self.computed.tile_numbers(&self.project, &text);
        let number = numbers.get(scheme).copied().flatten();
        self.computed
            .pictures
            .tile(&self.computed.session, &self.project, &text, scheme, number)
    }

    /// The part at a place of a tile, in its pixels.
    ///
    /// # Errors
    /// As [`Desk::tile`].
    pub fn part_at(&mut self, x: u32, y: u32) -> Result<Option<String>, Error> {
        let text = FigureText::read(&self.project.figure)?;
        let region =
            self.computed
                .pictures
                .part_at(&self.computed.session, &self.project, &text, (x, y))?;
        Ok(region.map(|region| text.parts[region].name.clone()))
    }

    /// The usual colour around a place of the working photo, in its pixels.
    ///
    /// # Errors
    /// There is no photo, or the place is outside it.
    pub fn colour_at(&mut self, x: f64, y: f64) -> Result<Encoded, Error> {
        self.computed.colour_at(&self.project, x, y)
    }

    /// Something to take away; `scheme` is for bench cards, and `rival` for two teams.
    ///
    /// # Errors
    /// The project is not complete enough for it.
    pub fn take(&mut self, kind: TakeKind, scheme: usize, rival: usize) -> Result<Taken, Error> {
        let text = FigureText::read(&self.project.figure)?;
        if kind == TakeKind::Draft {
            // A mask of strokes is computed from them again.
            let files = self
                .project
                .files(&text.photo, &text.mask, self.project.mask_file());
            return project_zip(&self.project, &text, &files);
        }
        if kind == TakeKind::Project {
            let files =
                self.computed
                    .pictures
                    .files(&self.computed.session, &self.project, &text)?;
            return project_zip(&self.project, &text, &files);
        }
        if kind == TakeKind::DrawdownCard {
            return Ok(drawdown_card());
        }
        let job = self
            .computed
            .pictures
            .job(&self.computed.session, &self.project, &text)?;
        match kind {
            TakeKind::CardPage | TakeKind::CardPdf => card(job, kind, scheme),
            TakeKind::Pair => match &mut self.rival {
                None => two_teams((job, scheme), (job, rival)),
                Some(rivals) => {
                    let theirs = rivals.job(&self.computed.session)?;
                    two_teams((job, scheme), (theirs, rival))
                }
            },
            _ => rendered(job, kind),
        }
    }

    fn view(&mut self) -> Result<View, Error> {
        let session = &self.computed.session;
        let rival = self.rival.as_mut().and_then(|rival| rival.view(session));
        let rest = Rest {
            rival,
            version: self.version,
            said: &self.said,
            of_file: &self.of_file,
        };
        shown(&self.project, &mut self.computed, &self.history, rest)
    }
}

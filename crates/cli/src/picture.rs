//! `--picture`: the colours of an answer as a picture.

use std::path::PathBuf;

use clap::Args;
use velatura_document::counted;
use velatura_pipeline::Error;
use velatura_sheet::{ChartRow, colour_chart, write_picture};

use crate::outputs::{Existing, Kind, OutputPlace, place, write_whole};

/// More rows than anyone reads, and few enough for any machine's memory.
const MOST_ROWS: usize = 200;

/// The option.
#[derive(Debug, Args)]
pub(crate) struct PictureArg {
    /// Draw the colours to this picture as well (PNG)
    #[arg(long, value_name = "FILE")]
    picture: Option<String>,
}

/// A picture to draw, its place checked.
#[derive(Debug)]
pub(crate) struct Picture {
    place: OutputPlace,
    inputs: Vec<PathBuf>,
    shown: String,
}

impl PictureArg {
    /// The picture that was asked for, if any. Its place is checked before any work.
    ///
    /// # Errors
    /// [`Error::Call`] if the file is one of `inputs`, or exists and is no PNG.
    pub(crate) fn planned(&self, inputs: &[PathBuf]) -> Result<Option<Picture>, Error> {
        let Some(path) = &self.picture else {
            return Ok(None);
        };
        let place = place(path, inputs, Existing::only(Kind::Png, false))?;
        Ok(Some(Picture {
            place,
            inputs: inputs.to_vec(),
            shown: path.clone(),
        }))
    }
}

impl Picture {
    /// Its place, for comparison with other results.
    pub(crate) fn place(&self) -> &OutputPlace {
        &self.place
    }

    /// Draws and writes it, and returns the line for the text output.
    ///
    /// # Errors
    /// [`Error::Machine`] if it cannot be written.
    pub(crate) fn write(self, heading: &str, mut rows: Vec<ChartRow>) -> Result<String, Error> {
        let more = rows.len().saturating_sub(MOST_ROWS);
        rows.truncate(MOST_ROWS);
        if more > 0 {
            rows.push(ChartRow {
                title: format!("and {} more", counted(more, "row")),
                note: String::new(),
                chips: Vec::new(),
            });
        }
        let png = write_picture(Vec::new(), &colour_chart(heading, &rows))?;
        write_whole(&[(self.place, png)], &self.inputs)?;
        Ok(format!("picture   {}\n", self.shown))
    }
}

//! The contact sheet as a stage of the pipeline, and the session that has it with the other built-in stages.

use velatura_document::room_for;
use velatura_pipeline::stage::{AttachPoint, Sheet, Stage, StageInfo};
use velatura_pipeline::{
    AnyStage, Error, SHEET_FILE, Session, SessionBuilder, SheetFile, SheetPicture, SheetRequest,
};

use crate::contact_sheet::contact_sheet;
use crate::layout::{Layout, SheetOptions, layout};
use crate::previews::write_picture;

/// The most memory per pixel that drawing and encoding a sheet take at one time.
const SHEET_BYTES_PER_PIXEL: u64 = 6;

/// Starts a session with every built-in stage, the contact sheet included.
pub fn session() -> SessionBuilder {
    Session::builder()
        .built_in_stages()
        .built_in(AnyStage::Sheet(Box::new(ContactSheet)))
}

/// All schemes side by side, `sheet.png`.
#[derive(Debug, Clone, Copy)]
pub struct ContactSheet;

impl Stage for ContactSheet {
    fn info(&self) -> StageInfo {
        StageInfo::new(
            AttachPoint::Sheet,
            "contact-sheet",
            env!("CARGO_PKG_VERSION"),
        )
        .with_words("a picture per scheme, names, chips", "sheet.png")
        .with_parameters(serde_json::json!({
            "type": "object",
            "properties": {
                "columns": {
                    "type": "integer", "minimum": 1, "maximum": 1000,
                    "description": "columns of the sheet"
                },
                "long_edge": {
                    "type": "integer", "minimum": 64, "maximum": 65535,
                    "description": "longer edge of the sheet in pixels"
                }
            }
        }))
    }
}

impl Sheet for ContactSheet {
    fn picture_size(&self, request: &SheetRequest) -> (u32, u32) {
        layout_of(request).picture_size
    }

    fn files(
        &self,
        request: &SheetRequest,
        pictures: &[SheetPicture],
    ) -> Result<Vec<SheetFile>, Error> {
        let layout = layout_of(request);
        let pixels = u64::from(layout.width) * u64::from(layout.height);
        room_for(SHEET_BYTES_PER_PIXEL * pixels, SHEET_FILE)?;
        let sheet = contact_sheet(request, pictures, &layout);
        let bytes = write_picture(Vec::new(), &sheet).map_err(|error| error.at(SHEET_FILE))?;
        Ok(vec![SheetFile {
            path: SHEET_FILE.to_owned(),
            bytes,
        }])
    }
}

fn layout_of(request: &SheetRequest) -> Layout {
    // What was asked for in the call comes before what is in a file.
    let in_file = |key| {
        request
            .parameters
            .whole(key)
            .and_then(|number| u32::try_from(number).ok())
    };
    let options = SheetOptions {
        columns: request.columns.or_else(|| in_file("columns")),
        long_edge: request.long_edge.or_else(|| in_file("long_edge")),
    };
    let chips = request
        .schemes
        .iter()
        .map(|scheme| scheme.chips.len())
        .max()
        .unwrap_or(0);
    layout(request.schemes.len(), request.crop, &options, chips)
}

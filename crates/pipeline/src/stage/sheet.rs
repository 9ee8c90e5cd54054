//! Sheet: frames → files.

use super::Stage;
use crate::sheet::{SheetFile, SheetPicture, SheetRequest};
use velatura_document::Error;

/// Arranges frames.
///
/// # Example
/// A sheet without pictures: a list of names and teams for the workshop wall:
///
/// ```
/// use velatura_pipeline::stage::{AttachPoint, Sheet, Stage, StageInfo};
/// use velatura_pipeline::{
///     AnyStage, Error, Session, SheetFile, SheetPicture, SheetRequest,
/// };
///
/// struct WallList;
///
/// impl Stage for WallList {
///     fn info(&self) -> StageInfo {
///         StageInfo::new(AttachPoint::Sheet, "wall-list", "1.0.0")
///             .with_words("names of schemes", "wall-list.txt")
///     }
/// }
///
/// impl Sheet for WallList {
///     fn picture_size(&self, _: &SheetRequest) -> (u32, u32) {
///         // The least there is: it uses none.
///         (1, 1)
///     }
///
///     fn files(
///         &self,
///         request: &SheetRequest,
///         _: &[SheetPicture],
///     ) -> Result<Vec<SheetFile>, Error> {
///         let mut text = format!("{}\n", request.heading);
///         for scheme in &request.schemes {
///             text += &format!("{} ({})\n", scheme.name, scheme.team);
///         }
///         Ok(vec![SheetFile { path: "wall-list.txt".to_owned(), bytes: text.into_bytes() }])
///     }
/// }
///
/// let session = Session::builder()
///     .built_in_stages()
///     .stage(AnyStage::Sheet(Box::new(WallList)))
///     .build()?;
///
/// let job = velatura_conformance::small_job(&session)?;
/// let (sheet, parameters) = job.sheet()?;
/// let request = velatura_conformance::small_sheet_request(parameters);
/// let pictures = velatura_conformance::small_sheet_pictures(&request, sheet.picture_size(&request));
/// let files = sheet.files(&request, &pictures)?;
/// assert!(files[0].bytes.starts_with(b"Lamplighter, tiny\nFoglight (Lamplighters)\n"));
///
/// let report = velatura_conformance::check(&AnyStage::Sheet(Box::new(WallList)));
/// assert_eq!(report.breaches(), [], "{report}");
/// # Ok::<(), velatura_pipeline::Error>(())
/// ```
pub trait Sheet: Stage {
    /// The size that each picture must have, width × height.
    fn picture_size(&self, request: &SheetRequest) -> (u32, u32);

    /// The files of the sheet.
    ///
    /// # Errors
    /// Why drawing or encoding failed.
    fn files(
        &self,
        request: &SheetRequest,
        pictures: &[SheetPicture],
    ) -> Result<Vec<SheetFile>, Error>;
}

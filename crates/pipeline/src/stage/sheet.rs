//! Sheet: frames → files.

use super::Stage;
use crate::error::Error;
use crate::sheet::{SheetFile, SheetPicture, SheetRequest};

/// Lays frames out.
pub trait Sheet: Stage {
    /// The size that each picture must have, width × height.
    fn picture_size(&self, request: &SheetRequest) -> (u32, u32);

    /// The files of the sheet.
    ///
    /// # Errors
    /// What stopped the drawing or the encoding.
    fn files(
        &self,
        request: &SheetRequest,
        pictures: &[SheetPicture],
    ) -> Result<Vec<SheetFile>, Error>;
}

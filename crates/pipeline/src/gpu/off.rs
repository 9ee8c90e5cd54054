//! The replacement for a device if the program is built without the feature `gpu`: there never is one.

use velatura_figure::Underpainting;

use super::{AdapterKind, AdapterReport, DeviceScheme};

/// A device. Without the feature `gpu` no value of it exists.
#[derive(Debug)]
pub enum Gpu {}

impl Gpu {
    /// Opens no device.
    ///
    /// # Errors
    /// Always: this program is built without them.
    pub fn open(_wanted: Option<&str>) -> Result<Self, String> {
        Err("this program is built without support for graphics cards".to_owned())
    }

    /// The adapter's name.
    #[must_use]
    pub fn name(&self) -> &str {
        match *self {}
    }

    /// What the adapter is.
    #[must_use]
    pub fn kind(&self) -> AdapterKind {
        match *self {}
    }

    pub(crate) fn binding_bytes(&self) -> u64 {
        match *self {}
    }

    /// What went wrong first, if anything did.
    #[must_use]
    pub fn fault(&self) -> Option<String> {
        match *self {}
    }
}

/// No adapter at all.
#[must_use]
pub fn adapters(_wanted: Option<&str>) -> Vec<AdapterReport> {
    Vec::new()
}

/// A picture's way through a device that does not exist.
pub(crate) enum Stream {}

/// Rows from a device that does not exist.
pub(crate) enum DeviceRows {}

impl DeviceRows {
    pub(crate) fn rows(&self, _scheme: usize) -> &[[u8; 3]] {
        match *self {}
    }
}

impl Stream {
    pub(crate) fn tallest_row_band(gpu: &Gpu, _width: usize, _schemes: usize) -> usize {
        match *gpu {}
    }

    pub(crate) fn new(
        gpu: &Gpu,
        _underpainting: &Underpainting,
        _schemes: &[DeviceScheme<'_>],
        _row_band: usize,
    ) -> Self {
        match *gpu {}
    }

    pub(crate) fn row_band(
        &mut self,
        _index: usize,
        _row_bands: &[std::ops::Range<usize>],
    ) -> Option<DeviceRows> {
        match *self {}
    }
}

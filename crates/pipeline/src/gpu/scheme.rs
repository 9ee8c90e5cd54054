//! A scheme as a device takes it.

use velatura_shaders::apply::TableView;
use velatura_shaders::{Pixel, finish};

/// A scheme in the device's form.
pub(crate) struct DeviceScheme<'a> {
    pub(crate) tables: Vec<Option<TableView<'a>>>,
    pub(crate) finish: finish::Params,
}

impl DeviceScheme<'_> {
    /// Bytes of its tables.
    pub(crate) fn table_bytes(&self) -> u64 {
        let entries: usize = self
            .tables
            .iter()
            .flatten()
            .map(|table| table.entries.len())
            .sum();
        (entries * size_of::<Pixel>()) as u64
    }
}

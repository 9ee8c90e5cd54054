//! A scheme as a device takes it.

use velatura_shaders::apply::TableView;
use velatura_shaders::{Pixel, finish};

/// Device memory for tables: enough for one scheme over a simulated undercoat (8 regions of 513 × 1,025 entries) and a second
/// like it. Together with the row bands this leaves the driver some of 256 MiB.
pub(crate) const TABLE_BUDGET_BYTES: u64 = 144 << 20;

/// A scheme in the device's form.
pub(crate) struct DeviceScheme<'a> {
    pub(crate) tables: Vec<Option<TableView<'a>>>,
    #[cfg_attr(
        not(feature = "gpu"),
        allow(dead_code, reason = "there is no device to read it")
    )]
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

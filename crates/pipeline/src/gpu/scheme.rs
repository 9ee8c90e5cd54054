//! A scheme as a device takes it.

use velatura_shaders::apply::TableView;
use velatura_shaders::{Pixel, finish};

/// Device memory for tables: enough for the coats of ten schemes of eight regions if a fifth of them are washes or edges, which take up to
/// 8 MiB each. Together with the row bands this leaves the driver some of 256 MiB.
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
        let tables = || self.tables.iter().flatten();
        let entries: usize = tables().map(|table| table.entries.len()).sum();
        // All tables of a scheme share one undercoat.
        let undercoats = tables().filter_map(|table| table.undercoat);
        let undercoat = undercoats.map(|one| one.entries.len()).max().unwrap_or(0);
        ((entries + undercoat) * size_of::<Pixel>()) as u64
    }
}

//! Tables over planes: the colour of every pixel of a scheme. See `README.md` in this folder.

#[cfg(feature = "cases")]
pub mod cases;
pub mod twin;

use bytemuck::{Pod, Zeroable};

use crate::kernel::{Binding, Kernel};
use crate::{PLANE_MAX, Pixel};

/// A region's table as the kernel reads it: linear sRGB, relief rows × substrate columns, row-major.
#[derive(Debug, Clone, Copy)]
pub struct TableView<'a> {
    /// Number of substrate columns, at least 2.
    pub substrate_steps: usize,
    /// Number of relief rows, at least 1.
    pub relief_steps: usize,
    /// Entries; the fourth number is not read.
    pub entries: &'a [Pixel],
    /// How much light a white figure throws into its own hollows in addition to the light plane; usually 0.
    pub bounce: f32,
    /// A simulated undercoat: the substrate that the table is over, in place of that of the plane.
    pub undercoat: Option<UndercoatView<'a>>,
}

/// The reflectance under the coats over substrate and relief of the planes, 0…1, relief rows × substrate columns, row-major.
#[derive(Debug, Clone, Copy)]
pub struct UndercoatView<'a> {
    /// Number of substrate columns, at least 2.
    pub substrate_steps: usize,
    /// Number of relief rows, at least 2.
    pub relief_steps: usize,
    /// Entries.
    pub entries: &'a [f32],
}

/// Entries of a table's axis per unit of its plane.
#[must_use]
#[inline]
#[allow(clippy::cast_precision_loss, reason = "axes are short")]
pub fn axis_scale(steps: usize) -> f32 {
    (steps - 1) as f32 / PLANE_MAX
}

/// The position of a region's table among all entries on a device, and how to read its axes.
#[derive(Debug, Clone, Copy, PartialEq, Pod, Zeroable)]
#[repr(C)]
pub struct TableHead {
    /// 0 where there is no coat, 1 for one row without bounced light and without a simulated undercoat, 2 for others without one,
    /// else 3.
    pub kind: u32,
    /// Index of its first entry.
    pub first: u32,
    /// Columns per unit of the substrate plane.
    pub substrate_scale: f32,
    /// The second to last column.
    pub substrate_last: f32,
    /// From row to row; 0 if there is only one.
    pub columns: u32,
    /// Rows per unit of the relief plane.
    pub relief_scale: f32,
    /// The second to last row; 0 if there is only one.
    pub relief_last: f32,
    /// Like [`TableView::bounce`].
    pub bounce: f32,
}

impl TableHead {
    /// A table whose entries begin at `first`.
    fn of(table: &TableView<'_>, first: usize) -> Self {
        let one_row = table.relief_steps == 1;
        let kind = match table.undercoat {
            Some(_) => 3,
            None if one_row && table.bounce == 0.0 => 1,
            None => 2,
        };
        Self {
            kind,
            bounce: table.bounce,
            ..Self::of_axes([table.substrate_steps, table.relief_steps], first)
        }
    }

    /// Where entries begin, and how to read their axes.
    #[allow(clippy::cast_precision_loss, reason = "axes are short")]
    fn of_axes([columns, rows]: [usize; 2], first: usize) -> Self {
        let narrow = |count: usize| u32::try_from(count).expect("tables fit a device");
        Self {
            first: narrow(first),
            substrate_scale: axis_scale(columns),
            substrate_last: (columns - 2) as f32,
            columns: if rows == 1 { 0 } else { narrow(columns) },
            relief_scale: axis_scale(rows),
            relief_last: rows.saturating_sub(2) as f32,
            ..Self::zeroed()
        }
    }
}

/// The tables of many schemes as a device reads them.
#[derive(Debug, Clone, Default)]
pub struct Tables {
    /// All entries, one table after the other. Those of an undercoat have one number, in units of the substrate plane.
    pub entries: Vec<Pixel>,
    /// One for the background and one per region, scheme by scheme. The background has no coat: where a scheme simulates an
    /// undercoat, its head says how to read that.
    pub heads: Vec<TableHead>,
}

impl Tables {
    /// Adds a scheme; `tables` holds one entry per region.
    ///
    /// # Panics
    /// If there are more than 2^32 entries: callers limit their tables to the size that a device can bind; if tables of one scheme are over
    /// different undercoats.
    pub fn push(&mut self, tables: &[Option<TableView<'_>>]) {
        let mut undercoats = tables.iter().flatten().filter_map(|table| table.undercoat);
        let mut background = TableHead::zeroed();
        if let Some(undercoat) = undercoats.next() {
            assert!(
                undercoats.all(|other| std::ptr::eq(other.entries, undercoat.entries)),
                "a scheme has one undercoat"
            );
            let axes = [undercoat.substrate_steps, undercoat.relief_steps];
            background = TableHead::of_axes(axes, self.entries.len());
            let codes = undercoat.entries.iter().map(|one| one * PLANE_MAX);
            self.entries.extend(codes.map(|code| [code, 0.0, 0.0, 0.0]));
        }
        self.heads.push(background);
        for table in tables {
            let first = self.entries.len();
            let head = table.as_ref().map(|table| TableHead::of(table, first));
            self.heads.push(head.unwrap_or(TableHead::zeroed()));
            let entries = table.map_or(&[][..], |table| table.entries);
            self.entries.extend_from_slice(entries);
        }
    }
}

/// Uniforms of the WGSL kernel.
#[derive(Debug, Clone, Copy, PartialEq, Pod, Zeroable)]
#[repr(C)]
pub struct Params {
    /// Pixels of the planes.
    pub pixels: u32,
    /// Schemes.
    pub schemes: u32,
    /// Places of a scheme: one more than there are regions.
    pub heads: u32,
    /// Light per unit of the light plane.
    pub light_unit: f32,
}

/// The kernel alone, with planes widened to 32 bits and whole frames, for parity tests. Pictures use `render`.
pub const KERNEL: Kernel = Kernel {
    name: "apply",
    text: concat!(include_str!("function.wgsl"), include_str!("kernel.wgsl")),
    bindings: &[
        Binding::Uniform(size_of::<Params>()),
        Binding::Read(16),
        Binding::Read(size_of::<Pixel>()),
        Binding::Read(size_of::<TableHead>()),
        Binding::Write(size_of::<Pixel>()),
    ],
    workgroup: 64,
    constants: CONSTANTS,
};

/// Constants of the WGSL text: the number that leaves a float no bit for fractions, 2^23.
pub(crate) const CONSTANTS: &[(&str, f32)] = &[("WHOLE", 8_388_608.0)];

//! Inputs of `apply` that run through twin and device.
//!
//! Not covered: NaN and ∞ in a table. WGSL lets a device assume they never occur, and no table contains any.

use std::sync::Arc;

use super::{TableView, UndercoatView};
use crate::dice::Dice;
use crate::{Pixel, Planes};

/// Largest difference between twin and device, absolute up to 1 and relative above. A device may fuse a multiplication with an
/// addition, so that a place on an axis is rounded once less: 2^-24 of the axis's length times the difference of neighbours,
/// 1.6e-6 in the worst case (4.5 on an axis of 6). A simulated undercoat is read the same way, with a difference of at most 1, and
/// is then a place on another axis, where neighbours make 4 of it: 2e-6 more at worst. Its square root may be off by 2 units in the
/// last place. A code value is 3e-4 of linear light where codes are closest. `README.md` has the error reached.
pub const TOLERANCE: f32 = 4e-6;

/// A piece of the WGSL text, and a change to it that must fail.
pub const MUST_FAIL: (&str, &str) = ("(b - a) * share", "(b - a) * (share * 1.00001)");

/// A table that owns its entries.
#[derive(Debug, Clone)]
pub struct OwnTable {
    substrate_steps: usize,
    relief_steps: usize,
    entries: Vec<Pixel>,
    bounce: f32,
    undercoat: Option<Arc<OwnUndercoat>>,
}

/// An undercoat that owns its entries.
#[derive(Debug, Clone)]
struct OwnUndercoat {
    substrate_steps: usize,
    relief_steps: usize,
    entries: Vec<f32>,
}

impl OwnUndercoat {
    /// Random, between 0 and 1; neighbours differ by at most 1 divided by the axis's length.
    #[allow(clippy::cast_precision_loss, reason = "axes are short")]
    fn random(dice: &mut Dice, substrate_steps: usize, relief_steps: usize) -> Self {
        let mut walk = |steps: usize| -> Vec<f32> {
            let mut at = dice.share() / 2.0;
            let mut next = || {
                at = (at + (dice.share() * 2.0 - 1.0) / steps as f32).clamp(0.0, 0.5);
                at
            };
            (0..steps).map(|_| next()).collect()
        };
        let (across, down) = (walk(substrate_steps), walk(relief_steps));
        let entries = down
            .iter()
            .flat_map(|row| across.iter().map(move |column| row + column));
        Self {
            substrate_steps,
            relief_steps,
            entries: entries.collect(),
        }
    }

    fn view(&self) -> UndercoatView<'_> {
        UndercoatView {
            substrate_steps: self.substrate_steps,
            relief_steps: self.relief_steps,
            entries: &self.entries,
        }
    }
}

impl OwnTable {
    /// Random and smooth like a stack of coats: neighbours differ by at most 4 divided by the axis's length.
    fn random(dice: &mut Dice, substrate_steps: usize, relief_steps: usize, bounce: f32) -> Self {
        let along_columns = walk(dice, substrate_steps);
        let along_rows = walk(dice, relief_steps);
        let entries = along_rows
            .iter()
            .flat_map(|row| {
                let entry = |column: &Pixel| std::array::from_fn(|i| column[i] + row[i] - 0.5);
                along_columns.iter().map(entry)
            })
            .collect();
        Self {
            substrate_steps,
            relief_steps,
            entries,
            bounce,
            undercoat: None,
        }
    }

    /// In the form that the kernel reads.
    #[must_use]
    pub fn view(&self) -> TableView<'_> {
        TableView {
            substrate_steps: self.substrate_steps,
            relief_steps: self.relief_steps,
            entries: &self.entries,
            bounce: self.bounce,
            undercoat: self.undercoat.as_deref().map(OwnUndercoat::view),
        }
    }
}

/// Planes and the tables of some schemes.
#[derive(Debug, Clone)]
pub struct Case {
    /// Its purpose.
    pub name: String,
    /// As in [`Planes`].
    pub substrate: Vec<u16>,
    /// See [`Planes`].
    pub relief: Vec<u16>,
    /// See [`Planes`].
    pub light: Vec<u16>,
    /// See [`Planes`].
    pub region: Vec<u8>,
    /// See [`Planes`].
    pub light_unit: f32,
    /// One per region, scheme by scheme.
    pub schemes: Vec<Vec<Option<OwnTable>>>,
}

impl Case {
    /// The planes.
    #[must_use]
    pub fn planes(&self) -> Planes<'_> {
        Planes {
            substrate: &self.substrate,
            relief: &self.relief,
            light: &self.light,
            region: &self.region,
            light_unit: self.light_unit,
        }
    }

    /// The tables of a scheme.
    #[must_use]
    pub fn views(&self, scheme: usize) -> Vec<Option<TableView<'_>>> {
        let tables = self.schemes[scheme].iter();
        tables
            .map(|table| table.as_ref().map(OwnTable::view))
            .collect()
    }

    fn random(name: &str, pixels: usize, regions: u8, schemes: usize) -> Self {
        let mut dice = Dice::new(pixels as u64 * 1000 + schemes as u64);
        let mut words = || (0..pixels).map(|_| dice.word()).collect::<Vec<_>>();
        let (substrate, relief, light) = (words(), words(), words());
        let region = (0..pixels).map(|_| dice.byte() % (regions + 1)).collect();
        let sizes = [(2, 1), (33, 1), (33, 5), (17, 33), (129, 2)];
        let schemes = (0..schemes)
            .map(|scheme| {
                (0..usize::from(regions))
                    .map(|region| {
                        let (columns, rows) = sizes[(scheme + region) % sizes.len()];
                        let bounce = if region % 3 == 1 { 0.3 } else { 0.0 };
                        // Some regions without a coat.
                        (dice.byte() >= 20)
                            .then(|| OwnTable::random(&mut dice, columns, rows, bounce))
                    })
                    .collect()
            })
            .collect();
        Self {
            name: name.to_owned(),
            substrate,
            relief,
            light,
            region,
            light_unit: 1.0 / 32768.0,
            schemes,
        }
    }
}

/// Numbers around 0…1, each at most 4 / `steps` from the previous one.
#[allow(clippy::cast_precision_loss, reason = "axes are short")]
fn walk(dice: &mut Dice, steps: usize) -> Vec<Pixel> {
    let mut at: Pixel = std::array::from_fn(|_| dice.share());
    let mut walked = Vec::new();
    for _ in 0..steps {
        walked.push(at);
        at = at.map(|value| {
            let next = value + (dice.share() * 8.0 - 4.0) / steps as f32;
            next.clamp(-0.1, 1.2)
        });
    }
    walked
}

/// All cases.
#[must_use]
pub fn cases() -> Vec<Case> {
    let mut cases = vec![
        Case::random("one pixel", 1, 1, 1),
        Case::random("a prime number of pixels", 1009, 5, 3),
        Case::random("one less than a workgroup", 63, 2, 2),
        Case::random("a workgroup", 64, 2, 2),
        Case::random("one more than a workgroup of quads", 257, 2, 2),
        Case::random("40 regions", 5000, 40, 2),
        Case::random("40 schemes", 777, 3, 40),
        Case::random("more workgroups than one", 100_003, 7, 2),
    ];
    let mut unknown = Case::random("regions that no table was made for", 600, 3, 2);
    for (region, value) in unknown.region.iter_mut().zip(0..=255) {
        *region = value;
    }
    cases.push(unknown);
    cases.extend([
        extremes(),
        table_edges(),
        longest_axes(),
        simulated_undercoats(),
        subnormal_entries(),
    ]);
    cases
}

/// Every plane at its ends, in all combinations.
fn extremes() -> Case {
    let ends = [0, 1, 32767, 32768, 65534, 65535];
    let mut case = Case::random("planes at their ends", 0, 2, 2);
    for substrate in ends {
        for relief in ends {
            for light in ends {
                case.substrate.push(substrate);
                case.relief.push(relief);
                case.light.push(light);
                case.region.push(1 + u8::from(light % 2 == 0));
            }
        }
    }
    case
}

/// Places at entries, just before and just after.
fn table_edges() -> Case {
    let mut case = Case::random("at the entries of a table", 0, 1, 5);
    for step in 0..=32_u16 {
        for beside in [-1, 0, 1] {
            let at = (step * 2047).saturating_add_signed(beside);
            case.substrate.push(at);
            case.relief.push(65535 - at);
            case.light.push(32768);
            case.region.push(1);
        }
    }
    case
}

fn longest_axes() -> Case {
    let mut case = Case::random("the longest axes of a table", 4001, 2, 1);
    let mut dice = Dice::new(3);
    case.schemes[0] = vec![
        Some(OwnTable::random(&mut dice, 1025, 1, 0.0)),
        Some(OwnTable::random(&mut dice, 65, 1025, 0.1)),
    ];
    case
}

/// Every second scheme is over an undercoat of its own, which all of its tables share.
fn simulated_undercoats() -> Case {
    let mut case = Case::random("simulated undercoats", 3001, 4, 5);
    let mut dice = Dice::new(9);
    let sizes = [(2, 2), (33, 1025), (1025, 65)];
    for (scheme, (columns, rows)) in case.schemes.iter_mut().step_by(2).zip(sizes) {
        let undercoat = Arc::new(OwnUndercoat::random(&mut dice, columns, rows));
        for table in scheme.iter_mut().flatten() {
            table.undercoat = Some(Arc::clone(&undercoat));
        }
    }
    case
}

/// Numbers that a device may flush to zero, and ones above 1.
fn subnormal_entries() -> Case {
    let mut case = Case::random("entries of 0, −0, subnormal, 1 and above", 999, 1, 1);
    let entries = [0.0, -0.0, f32::MIN_POSITIVE / 4.0, 1.0, 4.0, 1e-20, -0.5];
    case.schemes[0] = vec![Some(OwnTable {
        substrate_steps: 7,
        relief_steps: 1,
        entries: entries.map(|entry| [entry; 4]).to_vec(),
        bounce: 0.2,
        undercoat: None,
    })];
    case
}

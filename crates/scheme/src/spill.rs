//! The painting order, and where a slip of the brush would show.
//!
//! In: a scheme and its ground. Out: regions from light to dark, and for each two neighbours how far the colour
//! changes if the paint of one runs onto the other: film on film, in the order in which they are painted.

use velatura_optics::coat::{Coat, Where};
use velatura_optics::colour::delta_e;

use crate::ground::FigureGround;
use crate::resolve::Scheme;

/// Paint of one region on another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spill {
    /// Index of the region whose paint runs.
    pub from: usize,
    /// Index of the region that it runs onto.
    pub onto: usize,
    /// CIEDE2000 between the intended colour there and the one it becomes.
    pub delta_e: f64,
    /// Length of their common border in pixels of the mask.
    pub border: u64,
}

/// Painted regions from light to dark, by the lightness they dry to. Light first is common practice, no source: a dark paint
/// covers stray light paint, not the other way round.
#[must_use]
pub fn painting_order(scheme: &Scheme, ground: &FigureGround) -> Vec<usize> {
    let mut order: Vec<(usize, f64)> = painted(scheme)
        .map(|region| {
            let coats = &scheme.regions[region].coats;
            (
                region,
                ground.dried(region, scheme.undercoat, coats).lab().0[0],
            )
        })
        .collect();
    order.sort_by(|a, b| b.1.total_cmp(&a.1));
    order.into_iter().map(|(region, _)| region).collect()
}

/// Every slip from a painted region across the border to another, the worst first, if light regions are painted first.
#[must_use]
pub fn spills(scheme: &Scheme, ground: &FigureGround) -> Vec<Spill> {
    spills_in_order(scheme, ground, &painting_order(scheme, ground))
}

/// The same with the painted regions in another order.
#[must_use]
pub fn spills_in_order(scheme: &Scheme, ground: &FigureGround, order: &[usize]) -> Vec<Spill> {
    let turn = |region: usize| order.iter().position(|painted| *painted == region);
    let mut spills = Vec::new();
    for from in painted(scheme) {
        for (onto, border) in ground.summary.borders[from].iter().enumerate() {
            if *border == 0 {
                continue;
            }
            let own = &scheme.regions[onto].coats;
            let meant = ground.dried(onto, scheme.undercoat, own);
            let ran = evenly(&scheme.regions[from].coats);
            // Later paint is on top of stray paint. A region that is never painted only gets the stray paint.
            let stack: Vec<Coat> = if turn(onto) > turn(from) {
                ran.into_iter().chain(own.iter().cloned()).collect()
            } else {
                own.iter().cloned().chain(ran).collect()
            };
            let became = ground.dried(onto, scheme.undercoat, &stack);
            spills.push(Spill {
                from,
                onto,
                delta_e: delta_e(meant.lab(), became.lab()),
                border: *border,
            });
        }
    }
    // Parts with one mix spill alike but for the last bits, which differ between processors: to a millionth they are equal.
    let rounded = |spill: &Spill| (spill.delta_e * 1e6).round();
    spills.sort_by(|a, b| rounded(b).total_cmp(&rounded(a)));
    spills
}

fn painted(scheme: &Scheme) -> impl Iterator<Item = usize> {
    (0..scheme.regions.len()).filter(|region| !scheme.regions[*region].coats.is_empty())
}

/// A brush that slips leaves an even film wherever it goes.
fn evenly(coats: &[Coat]) -> Vec<Coat> {
    coats
        .iter()
        .map(|coat| Coat {
            place: Where::All,
            pooling: 0.0,
            ..coat.clone()
        })
        .collect()
}

//! Smooths opinions where there is no edge between cells.
//!
//! In: an opinion 0…1 per cell with its weight, strengths of edges, cells that are fixed. Out: the opinions that minimise Σ w
//! (xᵢ − xⱼ)² + Σ c (xᵢ − opinionᵢ)² over four neighbours: random walks with priors (Grady 2005, IEEE CVPR; 2006, IEEE Trans.
//! PAMI 28:1768). Solved by successive over-relaxation (Young 1954, Trans. Am. Math. Soc. 76:92), cells in a fixed order.

/// Over-relaxation; 1 would be none.
const RELAXATION: f32 = 1.7;
/// How fast an edge weakens the link of two cells.
const PARTING: f32 = 2.0;

/// The links between cells of a grid.
#[derive(Debug)]
pub(super) struct Links {
    width: usize,
    /// To the right of each cell.
    right: Vec<f32>,
    /// Below each cell.
    below: Vec<f32>,
}

impl Links {
    /// Weak across edges: 1 / (1 + 2 s³) for a mean strength s of two cells.
    pub(super) fn across(strength: &[f32], width: usize) -> Self {
        let link = |a: f32, b: f32| 1.0 / (1.0 + PARTING * (0.5 * (a + b)).powi(3));
        let cells = strength.len();
        let right = (0..cells)
            .map(|at| {
                if at % width + 1 < width {
                    link(strength[at], strength[at + 1])
                } else {
                    0.0
                }
            })
            .collect();
        let below = (0..cells)
            .map(|at| {
                strength
                    .get(at + width)
                    .map_or(0.0, |other| link(strength[at], *other))
            })
            .collect();
        Self {
            width,
            right,
            below,
        }
    }

    /// Smooths `opinion` in place; `sureness` is the weight of each cell's first opinion.
    pub(super) fn smooth(
        &self,
        opinion: &mut [f32],
        sureness: f32,
        rounds: usize,
        fixed: impl Fn(usize) -> bool,
    ) {
        let first = opinion.to_vec();
        // As on a chessboard: each colour's cells have neighbours of the other only.
        let (white, black): (Vec<usize>, Vec<usize>) = (0..opinion.len())
            .filter(|at| !fixed(*at))
            .partition(|at| (at % self.width + at / self.width) % 2 == 0);
        for _ in 0..rounds {
            for &at in white.iter().chain(&black) {
                let better = self.balanced(opinion, first[at], sureness, at);
                opinion[at] += RELAXATION * (better - opinion[at]);
            }
        }
    }

    fn balanced(&self, opinion: &[f32], first: f32, sureness: f32, at: usize) -> f32 {
        let (mut sum, mut weight) = (sureness * first, sureness);
        let mut add = |link: f32, other: usize| {
            if link > 0.0 {
                sum += link * opinion[other];
                weight += link;
            }
        };
        add(self.right[at], at + 1);
        add(self.below[at], at + self.width);
        if at % self.width >= 1 {
            add(self.right[at - 1], at - 1);
        }
        if at >= self.width {
            add(self.below[at - self.width], at - self.width);
        }
        sum / weight
    }
}

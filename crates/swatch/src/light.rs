//! The light on the card: a smooth surface per channel, fitted to bare black and bare white alike.
//!
//! A bare place shows its card's true reflectance times the light there, plus a veil (lens flare, haze) that is the same
//! everywhere: photo = reflectance × light(x, y) + veil. With light a polynomial of second degree that is linear in its
//! seven unknowns, so both cards serve one least-squares fit; cells with stray paint are weighted down (Tukey's biweight,
//! Beaton & Tukey 1974, Technometrics 16:147). The inverse gives reflectance: white balance, exposure and evenness at once.

use nalgebra::{DMatrix, DVector};

use super::samples::median;

/// Terms of the surface: 1, x, y, x², xy, y².
const TERMS: usize = 6;
/// Rounds of reweighting: the weights stop changing well before.
const ROUNDS: usize = 12;
/// Tukey's constant, in standard deviations.
const TUKEY: f64 = 4.685;
/// Expected noise of a cell: a share of its light, and a floor.
const SCATTER: [f64; 2] = [0.01, 0.0015];
/// Least light away from all cells, as a share of the brightest.
const LEAST_LIGHT: f64 = 0.02;

/// One bare place: its position, the light in the photo, and the true reflectance.
#[derive(Debug, Clone, Copy)]
pub(super) struct BareCell {
    /// On the card.
    pub(super) mm: [f64; 2],
    /// Linear light in the photo.
    pub(super) seen: [f64; 3],
    /// The card's reflectance.
    pub(super) card: [f64; 3],
}

/// Light and veil over a card.
#[derive(Debug, Clone)]
pub(super) struct LightField {
    size_mm: [f64; 2],
    channels: [Channel; 3],
}

#[derive(Debug, Clone, Copy)]
struct Channel {
    surface: [f64; TERMS],
    veil: f64,
    most: f64,
}

impl LightField {
    /// Fits light and veil to bare cells; `None` if they are too few or all of one card.
    pub(super) fn fit(cells: &[BareCell], size_mm: [f64; 2]) -> Option<Self> {
        let channel = |i: usize| fit_channel(cells, size_mm, i);
        Some(Self {
            size_mm,
            channels: [channel(0)?, channel(1)?, channel(2)?],
        })
    }

    /// Reflectance from linear light at a place.
    pub(super) fn reflectance(&self, mm: [f64; 2], seen: [f64; 3]) -> [f64; 3] {
        let terms = terms(mm, self.size_mm);
        std::array::from_fn(|i| (seen[i] - self.channels[i].veil) / self.channels[i].light(&terms))
    }

    /// Linear light that a reflectance of 1 shows at a place, without the veil.
    pub(super) fn light(&self, mm: [f64; 2]) -> [f64; 3] {
        let terms = terms(mm, self.size_mm);
        self.channels.map(|channel| channel.light(&terms))
    }

    /// The veil, in linear light of the photo.
    pub(super) fn veil(&self) -> [f64; 3] {
        self.channels.map(|channel| channel.veil)
    }

    /// How far the cells are off the surface, as a share of the card's white: the median over all cells and channels.
    pub(super) fn residual(&self, cells: &[BareCell]) -> f64 {
        median(cells.iter().flat_map(|cell| {
            let found = self.reflectance(cell.mm, cell.seen);
            let white = cell.card[1].max(0.5);
            (0..3).map(move |i| (found[i] - cell.card[i]).abs() / white)
        }))
    }
}

impl Channel {
    fn light(&self, terms: &[f64; TERMS]) -> f64 {
        let light: f64 = terms.iter().zip(self.surface).map(|(t, c)| t * c).sum();
        light.max(self.most * LEAST_LIGHT)
    }
}

fn terms([x, y]: [f64; 2], size_mm: [f64; 2]) -> [f64; TERMS] {
    let (x, y) = (2.0 * x / size_mm[0] - 1.0, 2.0 * y / size_mm[1] - 1.0);
    [1.0, x, y, x * x, x * y, y * y]
}

fn fit_channel(cells: &[BareCell], size_mm: [f64; 2], i: usize) -> Option<Channel> {
    let rows: Vec<([f64; TERMS], f64)> = cells
        .iter()
        .map(|cell| (terms(cell.mm, size_mm), cell.card[i]))
        .collect();
    let model = |unknowns: &DVector<f64>, row: &([f64; TERMS], f64)| {
        let light: f64 = (0..TERMS).map(|t| row.0[t] * unknowns[t]).sum();
        row.1 * light + unknowns[TERMS]
    };
    let base: Vec<f64> = cells
        .iter()
        .map(|cell| 1.0 / (SCATTER[0] * cell.seen[i] + SCATTER[1]))
        .collect();
    let mut weights = base.clone();
    let mut unknowns = DVector::zeros(TERMS + 1);
    for _ in 0..ROUNDS {
        let matrix = DMatrix::from_fn(rows.len(), TERMS + 1, |r, c| {
            let (terms, card) = &rows[r];
            weights[r] * if c == TERMS { 1.0 } else { card * terms[c] }
        });
        let right = DVector::from_fn(rows.len(), |r, _| weights[r] * cells[r].seen[i]);
        let svd = matrix.svd(true, true);
        if svd.rank(1e-9 * svd.singular_values.max()) < TERMS + 1 {
            return None;
        }
        unknowns = svd.solve(&right, 0.0).ok()?;
        let misses: Vec<f64> = rows
            .iter()
            .zip(cells)
            .zip(&base)
            .map(|((row, cell), base)| (cell.seen[i] - model(&unknowns, row)) * base)
            .collect();
        // Not below the noise of a good photo: otherwise a perfect picture would weight its cells by rounding errors.
        let sigma = (1.4826 * median(misses.iter().map(|miss| miss.abs()))).max(0.2);
        for ((weight, base), miss) in weights.iter_mut().zip(&base).zip(&misses) {
            let share = (miss / (TUKEY * sigma)).powi(2);
            // The square root, because the weight multiplies a row that is squared later.
            *weight = base * if share < 1.0 { 1.0 - share } else { 0.0 };
        }
    }
    let surface = std::array::from_fn(|t| unknowns[t]);
    let mut channel = Channel {
        surface,
        veil: unknowns[TERMS],
        most: 0.0,
    };
    let most = rows
        .iter()
        .map(|(terms, _)| channel.light(terms))
        .fold(0.0, f64::max);
    channel.most = most;
    (most > 0.0).then_some(channel)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cells(light: impl Fn(f64, f64) -> f64, veil: f64) -> Vec<BareCell> {
        let mut cells = Vec::new();
        for row in 0..12 {
            for column in 0..9 {
                let mm = [
                    10.0 + 18.0 * f64::from(column),
                    10.0 + 18.0 * f64::from(row),
                ];
                let card = if row % 3 == 1 {
                    [0.0116; 3]
                } else {
                    [0.9, 0.88, 0.85]
                };
                let seen = card.map(|card| card * light(mm[0], mm[1]) + veil);
                cells.push(BareCell { mm, seen, card });
            }
        }
        cells
    }

    #[test]
    fn light_and_veil_come_back_and_stray_paint_on_a_tenth_of_the_cells_does_not_matter() {
        let light = |x: f64, y: f64| 0.7 + 0.001 * x - 2e-6 * y * y;
        let mut cells = cells(light, 0.02);
        for stray in (0..cells.len()).step_by(10) {
            cells[stray].seen = [0.3, 0.1, 0.05];
        }
        let field = LightField::fit(&cells, [170.0, 244.0]).unwrap();
        for mm in [[20.0, 30.0], [150.0, 200.0], [85.0, 120.0]] {
            let truth = [0.4, 0.2, 0.02];
            let seen = truth.map(|r| r * light(mm[0], mm[1]) + 0.02);
            for (found, truth) in field.reflectance(mm, seen).iter().zip(truth) {
                assert!((found - truth).abs() < 1e-3, "{found} {truth}");
            }
        }
        // Must fail: assuming even light.
        let even = light(20.0, 30.0) / light(85.0, 122.0) * 0.4;
        assert!((even - 0.4).abs() > 0.01, "{even}");
    }

    #[test]
    fn one_card_alone_cannot_tell_light_from_veil() {
        let white: Vec<BareCell> = cells(|_, _| 0.8, 0.0)
            .into_iter()
            .filter(|cell| cell.card[0] > 0.5)
            .collect();
        // With one reflectance only, veil and light cannot be separated.
        let same: Vec<BareCell> = white
            .iter()
            .map(|cell| BareCell {
                card: [0.9; 3],
                ..*cell
            })
            .collect();
        assert!(LightField::fit(&same, [170.0, 244.0]).is_none());
    }
}

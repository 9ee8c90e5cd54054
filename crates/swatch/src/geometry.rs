//! The positions of everything on a drawdown card, in mm from the centre of its upper left mark: x to the upper right mark, y down.
//!
//! A card has one or more pairs of strips, black and white; the places for drawdowns cross both, numbered from 1,
//! left to right and then the next pair. Between and around them both strips stay bare. Not here: pixels (`plane.rs`).

/// A rectangle on the card, in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RectMm {
    /// Upper left corner.
    pub from: [f64; 2],
    /// Lower right corner.
    pub to: [f64; 2],
}

impl RectMm {
    /// Width and height.
    #[must_use]
    pub fn size(&self) -> [f64; 2] {
        [self.to[0] - self.from[0], self.to[1] - self.from[1]]
    }

    /// The same rectangle without a share of its width on the left and right, and of its height above and below.
    #[must_use]
    pub fn inset(&self, share: [f64; 2]) -> Self {
        let size = self.size();
        Self {
            from: [
                self.from[0] + share[0] * size[0],
                self.from[1] + share[1] * size[1],
            ],
            to: [
                self.to[0] - share[0] * size[0],
                self.to[1] - share[1] * size[1],
            ],
        }
    }

    /// Its corners, clockwise from the upper left.
    #[must_use]
    pub fn corners(&self) -> [[f64; 2]; 4] {
        let ([left, top], [right, bottom]) = (self.from, self.to);
        [[left, top], [right, top], [right, bottom], [left, bottom]]
    }

    /// Cut into columns × rows equal parts, row by row.
    #[must_use]
    pub fn cells(&self, columns: u32, rows: u32) -> Vec<Self> {
        let size = self.size();
        let at = |column: u32, row: u32| {
            [
                self.from[0] + size[0] * f64::from(column) / f64::from(columns),
                self.from[1] + size[1] * f64::from(row) / f64::from(rows),
            ]
        };
        (0..rows)
            .flat_map(|row| (0..columns).map(move |column| (column, row)))
            .map(|(column, row)| Self {
                from: at(column, row),
                to: at(column + 1, row + 1),
            })
            .collect()
    }
}

/// A black and a white strip, each from its upper to its lower edge (y, in mm).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StripPair {
    /// The black strip.
    pub black_mm: [f64; 2],
    /// The white strip.
    pub white_mm: [f64; 2],
}

/// Which strip of a pair.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Strip {
    /// The black one.
    Black,
    /// The white one.
    White,
}

/// A card.
#[derive(Debug, Clone, PartialEq)]
pub struct CardGeometry {
    /// Between the marks' centres, across and down.
    pub marks_mm: [f64; 2],
    /// Left edge of the first place of every pair.
    pub first_mm: f64,
    /// Width of a place.
    pub field_mm: f64,
    /// From the left edge of one place to the next.
    pub step_mm: f64,
    /// Places across a pair.
    pub across: usize,
    /// The pairs of strips, from the top.
    pub pairs: Vec<StripPair>,
    /// Further areas of bare white.
    pub bare_white: Vec<RectMm>,
}

/// Share of a place's width and height that is not measured at each edge: brush ends, and blur.
const FIELD_INSET: [f64; 2] = [0.2, 0.15];
/// The same for a bare stretch between two places: brushes stray sideways.
const BARE_INSET: [f64; 2] = [0.25, 0.12];

/// The printed card: distance of its pairs, and where strips begin and end below a pair's top.
pub(super) const PAIR_STEP_MM: f64 = 72.0;
pub(super) const FIRST_PAIR_MM: f64 = 17.0;
/// Height of the printed names above a pair.
pub(super) const LABEL_MM: f64 = 10.0;
const BLACK_MM: [f64; 2] = [14.0, 38.0];
const WHITE_MM: [f64; 2] = [38.0, 62.0];
/// Bare paper above the black and below the white strip.
const ABOVE_MM: [f64; 2] = [10.4, 12.2];
const BELOW_MM: [f64; 2] = [63.5, 68.0];

impl CardGeometry {
    /// The card to print: three pairs, 24 places.
    #[must_use]
    pub fn printed() -> Self {
        let tops = [0.0, 1.0, 2.0].map(|pair| FIRST_PAIR_MM + pair * PAIR_STEP_MM);
        let below = |top: f64, [from, to]: [f64; 2]| [top + from, top + to];
        Self {
            marks_mm: [170.0, 244.0],
            first_mm: 16.0,
            field_mm: 12.0,
            step_mm: 18.0,
            across: 8,
            pairs: tops
                .map(|top| StripPair {
                    black_mm: below(top, BLACK_MM),
                    white_mm: below(top, WHITE_MM),
                })
                .to_vec(),
            bare_white: tops
                .iter()
                .flat_map(|top| [below(*top, ABOVE_MM), below(*top, BELOW_MM)])
                .map(|[from, to]| RectMm {
                    from: [10.0, from],
                    to: [160.0, to],
                })
                .collect(),
        }
    }

    /// Places on the card.
    #[must_use]
    pub fn places(&self) -> usize {
        self.across * self.pairs.len()
    }

    /// The rectangle between the marks' centres.
    #[must_use]
    pub fn outline(&self) -> RectMm {
        RectMm {
            from: [0.0; 2],
            to: self.marks_mm,
        }
    }

    /// Bare card between two places.
    #[must_use]
    pub fn gap_mm(&self) -> f64 {
        self.step_mm - self.field_mm
    }

    /// Where a place (from 0) is on one of its strips.
    ///
    /// # Panics
    /// If the card has no such place.
    #[must_use]
    pub fn field(&self, place: usize, strip: Strip) -> RectMm {
        let left = self.column_mm(place % self.across);
        let [top, bottom] = self.pairs[place / self.across].of(strip);
        RectMm {
            from: [left, top],
            to: [left + self.field_mm, bottom],
        }
    }

    /// The part of a place that is measured.
    #[must_use]
    pub fn measured(&self, place: usize, strip: Strip) -> RectMm {
        self.field(place, strip).inset(FIELD_INSET)
    }

    /// The bare stretches of a pair's strip, left of every place and right of the last.
    #[must_use]
    pub fn bare(&self, pair: &StripPair, strip: Strip) -> Vec<RectMm> {
        let [top, bottom] = pair.of(strip);
        (0..=self.across)
            .map(|column| {
                let right = self.column_mm(column);
                RectMm {
                    from: [right - self.gap_mm(), top],
                    to: [right, bottom],
                }
                .inset(BARE_INSET)
            })
            .collect()
    }

    /// The whole strip, bare ends included.
    #[must_use]
    pub fn strip(&self, pair: &StripPair, strip: Strip) -> RectMm {
        let [top, bottom] = pair.of(strip);
        RectMm {
            from: [self.first_mm - self.gap_mm(), top],
            to: [self.column_mm(self.across), bottom],
        }
    }

    #[allow(clippy::cast_precision_loss, reason = "a card has few columns")]
    pub(super) fn column_mm(&self, column: usize) -> f64 {
        self.first_mm + column as f64 * self.step_mm
    }
}

impl StripPair {
    pub(super) fn of(&self, strip: Strip) -> [f64; 2] {
        match strip {
            Strip::Black => self.black_mm,
            Strip::White => self.white_mm,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_fill_a_pair_from_the_left_and_then_the_next() {
        let card = CardGeometry::printed();
        assert_eq!(card.places(), 24);
        let near = |a: [f64; 2], b: [f64; 2]| libm::hypot(a[0] - b[0], a[1] - b[1]) < 1e-9;
        let (first, ninth) = (card.field(0, Strip::Black), card.field(8, Strip::Black));
        assert!(near(first.from, [16.0, 31.0]), "{first:?}");
        assert!(near(ninth.from, [16.0, 31.0 + PAIR_STEP_MM]), "{ninth:?}");
        assert!(near(card.field(7, Strip::White).to, [154.0, 79.0]));
    }

    #[test]
    fn no_bare_stretch_touches_a_place_or_leaves_the_marks() {
        let card = CardGeometry::printed();
        for pair in &card.pairs {
            for bare in card.bare(pair, Strip::White) {
                assert!(bare.from[0] > 0.0 && bare.to[0] < card.marks_mm[0]);
                let apart = (0..card.across).all(|place| {
                    let field = card.field(place, Strip::White);
                    bare.to[0] < field.from[0] || bare.from[0] > field.to[0]
                });
                assert!(apart, "{bare:?}");
            }
        }
    }
}

//! A film as a brush knows it: "two thin coats".

/// The film of one thin coat: a brush lays about half of a drawdown's film (from memory).
const THIN_COAT: f64 = 0.5;

/// A film (1 = as thick as the drawdown) as coats of the brush.
#[must_use]
pub fn brush_coats(film: f64) -> String {
    if film <= 0.0 {
        return "no coat".to_owned();
    }
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "films have a range, and the cast saturates"
    )]
    let count = thin_coats(film).round() as u32;
    match count {
        1 if film < 0.7 * THIN_COAT => "one very thin coat".to_owned(),
        1 => "one thin coat".to_owned(),
        2 => "two thin coats".to_owned(),
        3 => "three thin coats".to_owned(),
        4 => "four thin coats".to_owned(),
        many => format!("{many} thin coats"),
    }
}

/// How many thin coats a film takes, at least one.
#[must_use]
pub fn thin_coats(film: f64) -> f64 {
    (film / THIN_COAT).round().max(1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn films_are_counted_in_thin_coats() {
        for (film, words) in [
            (0.0, "no coat"),
            (0.2, "one very thin coat"),
            (0.5, "one thin coat"),
            (1.0, "two thin coats"),
            (1.5, "three thin coats"),
            (2.0, "four thin coats"),
            (3.0, "6 thin coats"),
        ] {
            assert_eq!(brush_coats(film), words, "{film}");
        }
        assert!((thin_coats(0.1) - 1.0).abs() < f64::EPSILON);
    }
}

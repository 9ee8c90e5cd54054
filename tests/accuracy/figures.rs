//! Statistics of many errors, and the tables of them in the docs.

use velatura_tests::root;

/// Mean, median, 95th percentile, largest.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Figures {
    pub(crate) mean: f64,
    pub(crate) median: f64,
    pub(crate) p95: f64,
    pub(crate) max: f64,
    pub(crate) count: usize,
}

impl Figures {
    #[allow(clippy::cast_precision_loss, reason = "a few hundred figures")]
    pub(crate) fn of(errors: impl IntoIterator<Item = f64>) -> Self {
        let mut all: Vec<f64> = errors.into_iter().collect();
        assert!(!all.is_empty(), "nothing was judged");
        all.sort_by(f64::total_cmp);
        let count = all.len();
        Self {
            mean: all.iter().sum::<f64>() / count as f64,
            median: f64::midpoint(all[(count - 1) / 2], all[count / 2]),
            p95: all[count * 95 / 100],
            max: all[count - 1],
            count,
        }
    }
}

/// How far a number in a checked-in table may be from the computed one: two decimals are written, and mathematical
/// functions differ in the last place between machines.
const TABLE_TOLERANCE: f64 = 0.011;

/// Compares a computed text with the checked-in file: words must be the same, numbers close. If `VELATURA_UPDATE` has this
/// name, writes the file and fails.
pub(crate) fn assert_checked_in(path: &str, computed: &str, update: &str) {
    let file = root().join(path);
    if std::env::var("VELATURA_UPDATE").is_ok_and(|what| what == update) {
        std::fs::write(&file, computed).unwrap();
        println!("wrote {path}");
        return;
    }
    let kept = std::fs::read_to_string(&file).unwrap_or_default();
    assert!(
        same(&kept, computed),
        "{path} is out of date; write it with VELATURA_UPDATE={update} cargo test -p velatura-tests --test accuracy\n{computed}"
    );
}

/// Call it after all files of an update are written.
pub(crate) fn assert_no_update(update: &str) {
    assert!(
        !std::env::var("VELATURA_UPDATE").is_ok_and(|what| what == update),
        "the tables were rewritten: look at the change, then run without VELATURA_UPDATE"
    );
}

fn same(kept: &str, computed: &str) -> bool {
    let tokens = |text: &str| -> Vec<String> {
        let ends = |c: char| c.is_whitespace() || c == ',' || c == '|';
        text.split(ends)
            .filter(|token| !token.is_empty())
            .map(str::to_owned)
            .collect()
    };
    let (kept, computed) = (tokens(kept), tokens(computed));
    kept.len() == computed.len()
        && kept
            .iter()
            .zip(&computed)
            .all(|(a, b)| match (a.parse::<f64>(), b.parse::<f64>()) {
                (Ok(a), Ok(b)) => (a - b).abs() <= TABLE_TOLERANCE,
                _ => a == b,
            })
}

#[test]
fn tables_are_separated_by_a_word_or_a_figure() {
    assert!(same("| a | 1.00 |\n", "| a | 1.01 |\n"));
    assert!(!same("| a | 1.00 |\n", "| a | 1.03 |\n"), "a figure moved");
    assert!(!same("| a | 1.00 |\n", "| b | 1.00 |\n"), "a word moved");
    assert!(!same("| a | 1.00 |\n", ""), "nothing is there");
}

//! The axes of tables: evenly spaced over 0…1, read with linear interpolation, and as long as a bound on the error asks for.

/// Makes tables of more and more columns and rows until the error half-way between entries is below `bound` on both axes, or
/// an axis has `longest` entries. `make` returns a table with its errors between columns and between rows.
pub(crate) fn grown<T>(
    (mut columns, mut rows): (usize, usize),
    (bound, longest): (f64, usize),
    mut make: impl FnMut(usize, usize) -> (T, [f64; 2]),
) -> (T, f64) {
    loop {
        let (table, [across, along]) = make(columns, rows);
        if along > bound && rows < longest {
            rows = longer(rows.max(5), along, (bound, longest));
        } else if across > bound && columns < longest {
            columns = longer(columns, across, (bound, longest));
        } else {
            return (table, across.max(along));
        }
    }
}

/// An axis long enough for the bound, if the error of linear interpolation falls with the square of the step as it does on
/// smooth curves: one leap instead of a table for every doubling.
fn longer(steps: usize, error: f64, (bound, longest): (f64, usize)) -> usize {
    let (mut steps, mut error) = (steps, error);
    while error > bound && steps < longest {
        steps = steps * 2 - 1;
        error /= 4.0;
    }
    steps
}

/// The position of entry `index` of `steps` on 0…1.
pub(crate) fn place(index: usize, steps: usize) -> f64 {
    #[allow(clippy::cast_precision_loss, reason = "axes are short")]
    let place = if steps > 1 {
        index as f64 / (steps - 1) as f64
    } else {
        0.5
    };
    place
}

/// The position half-way between entry `index` and the next.
pub(crate) fn half_way(index: usize, steps: usize) -> f64 {
    (place(index, steps) + place(index + 1, steps)) / 2.0
}

/// The four entries around a place, of a table of `rows × columns`, mixed along both axes. An axis of one entry has no width.
pub(crate) fn between(
    [columns, rows]: [usize; 2],
    [across, down]: [f64; 2],
    entry: impl Fn(usize) -> f64,
) -> f64 {
    let (column, across) = cell(across, columns);
    let (row, along) = cell(down, rows);
    let at =
        |row: usize, column: usize| entry(row.min(rows - 1) * columns + column.min(columns - 1));
    let along_row = |row: usize| {
        let from = at(row, column);
        from + (at(row, column + 1) - from) * across
    };
    let upper = along_row(row);
    upper + (along_row(row + 1) - upper) * along
}

/// The entry to the left of a position on 0…1, and how far beyond it the position is, in steps.
fn cell(at: f64, steps: usize) -> (usize, f64) {
    #[allow(clippy::cast_precision_loss, reason = "axes are short")]
    let scaled = at.clamp(0.0, 1.0) * (steps - 1) as f64;
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "between 0 and steps"
    )]
    let index = (scaled.floor() as usize).min(steps.saturating_sub(2));
    #[allow(clippy::cast_precision_loss, reason = "axes are short")]
    let beyond = scaled - index as f64;
    (index, beyond)
}

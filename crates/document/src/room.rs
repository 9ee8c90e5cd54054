//! Memory for large work, asked for before the work begins.
//!
//! In: how many bytes, and the file that the work is for. Out: nothing, or a message that names the file. A program that runs
//! out of memory in the middle of its work is ended by its runtime, so the work asks first for all that it needs at once.

use std::collections::TryReserveError;
use std::hint::black_box;

use crate::diagnostic::Diagnostic;

/// Checks that the machine gives this much memory at once. Nothing is kept: what is reserved is given back, untouched.
///
/// A system that promises more memory than it has (Linux does by default) finds a shortage only later, unless the amount is
/// more than it has in all, or a limit is set for the process.
///
/// # Errors
/// A [`Diagnostic::is_shortage`] about `file`.
pub fn room_for(bytes: u64, file: &str) -> Result<(), Diagnostic> {
    let amount = usize::try_from(bytes).unwrap_or(usize::MAX);
    reserved::<u8>(amount, file).map(|room| {
        // Without this the compiler leaves the reservation out.
        black_box(room.as_ptr());
    })
}

/// An empty list with room for `length` values.
///
/// # Errors
/// As [`room_for`].
pub fn reserved<T>(length: usize, file: &str) -> Result<Vec<T>, Diagnostic> {
    let mut room = Vec::new();
    match room.try_reserve_exact(length) {
        Ok(()) => Ok(room),
        Err(source) => {
            let bytes = length.saturating_mul(size_of::<T>());
            Err(shortage(bytes, file, source))
        }
    }
}

/// A list of `length` values, all of them `value`.
///
/// # Errors
/// As [`room_for`].
pub fn filled<T: Clone>(value: T, length: usize, file: &str) -> Result<Vec<T>, Diagnostic> {
    let mut list = reserved(length, file)?;
    list.resize(length, value);
    Ok(list)
}

fn shortage(bytes: usize, file: &str, source: TryReserveError) -> Diagnostic {
    let megabytes = bytes.div_ceil(1_000_000).max(1);
    Diagnostic::error(file, "there is not enough memory for this work")
        .expected(format!("{megabytes} MB more memory"))
        .help("close other programs, raise the limit on memory (`ulimit -v`), or use smaller pictures")
        .caused_by(source)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_no_machine_has_is_refused_by_name() {
        let problem = room_for(u64::MAX / 4, "photo.png").unwrap_err();
        assert!(problem.is_shortage());
        let text = problem.to_string();
        assert!(
            text.starts_with(
                "error: photo.png: there is not enough memory for this work\n  expected: "
            ),
            "{text}"
        );
        assert!(text.contains("ulimit -v"), "{text}");
        assert!(reserved::<u64>(usize::MAX / 4, "a").is_err());
        assert!(room_for(1 << 20, "photo.png").is_ok());
        assert_eq!(filled(7, 3, "a"), Ok(vec![7; 3]));
    }
}

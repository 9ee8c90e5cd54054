//! What host and component agree on, beyond the types of `stage.wit`.

/// Its version.
pub(crate) const VERSION: &str = "0.1.0";

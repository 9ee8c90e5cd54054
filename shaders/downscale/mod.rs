//! A smaller picture, averaged in linear light. See `README.md` in this folder.

pub mod twin;

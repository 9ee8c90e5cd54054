//! The whole job as a library.

mod index_page;
mod previews;
mod sessions;

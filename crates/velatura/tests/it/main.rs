//! The whole job as a library.

mod index_page;
mod pictures;
mod previews;
mod sessions;

//! The whole job as a library.

mod index_page;
mod metallic;
mod pictures;
mod previews;
mod sessions;

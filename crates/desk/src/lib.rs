//! The whole job for a page in a browser: a project of files, commands that change it, and pictures of it.
//!
//! A [`Desk`] holds one project. Its state is the files that the command `velatura render` takes: `figure.toml`, `paints.toml`,
//! `schemes.toml` and pictures. A [`Command`] edits these texts and keeps everything in them that it does not know, comments
//! included; the project before it stays for undo. So there is nothing to convert when a project is saved or opened.
//!
//! Nothing here knows a browser, files or a clock, so `cargo test` drives the same code that a page does. `bind.rs` gives it to
//! JavaScript, and `page/` is the page.

mod change;
mod colours_of_parts;
mod command;
mod computed;
mod desk;
mod edit_figure;
mod edit_paints;
mod edit_schemes;
mod file_names;
#[cfg(not(target_arch = "wasm32"))]
mod folder;
mod history;
mod mask;
mod open;
mod pictures;
mod pixels;
mod project;
mod propose;
mod put;
mod rival;
mod show;
mod strokes;
mod take;
mod text;
mod view;
mod view_schemes;
mod working_photo;

#[cfg(target_arch = "wasm32")]
mod bind;

#[cfg(target_arch = "wasm32")]
pub use bind::{PageDesk, PagePixels, PageTaken};
pub use command::{Command, TonePoint};
pub use desk::Desk;
#[cfg(not(target_arch = "wasm32"))]
pub use folder::FigureFolder;
pub use pixels::Pixels;
pub use put::PutKind;
pub use take::{TakeKind, Taken};
pub use view::{
    CardView, ChipView, CoatView, PaintView, PartView, PartsView, PhotoView, RivalView, SchemeView,
    Size, TintView, UndercoatView, View,
};
pub use working_photo::WORKING_EDGE;

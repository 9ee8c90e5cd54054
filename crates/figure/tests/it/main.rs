//! figure.toml, masks, planes, and checks of photos.

mod edges;
mod figure_file;
mod ground;
mod masks;
mod parts;
mod photo_alone;
mod photo_checks;
mod registration;

//! Paint optics: spectra, colour, Kubelka–Munk films, `paints.toml` and its calibration. Knows nothing of pictures.

mod axis;
pub mod calibrate;
pub mod coat;
pub mod colour;
pub mod film;
pub mod hiding;
pub mod import;
pub mod mixture;
pub mod paint;
mod paint_box;
pub mod paint_report;
pub mod paints_file;
pub mod relief;
mod seen_stack;
pub mod spectrum;
pub mod spectrum_file;
pub mod surface;
pub mod table;
pub mod trust;
pub mod undercoat_table;
pub mod vision;

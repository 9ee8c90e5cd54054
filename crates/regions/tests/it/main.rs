//! Masks from strokes, on made-up pictures and on real photos.

mod markup;
mod real_photos;
mod regions;
mod regions_strokes;

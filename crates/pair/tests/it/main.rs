//! Two teams: numbers, verdict, picture, page.

mod pair;
mod pair_page;

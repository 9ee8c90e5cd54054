//! Schemes as numbers: writing and reading, painting order, and where a slip would show. Paints and figure are invented.

mod chips;
mod distinct;
mod exploring;
mod metallic;
mod opposing;
mod order_and_spill;
mod second_coats;
mod stage;
mod written;

//! Matching, opposing, exploring, painting order.

mod apart;
mod matching;
mod matching_thinned;
mod teams;

//! Matching, opposing, exploring, painting order.

mod matching;
mod matching_thinned;
mod teams;

//! Matching, opposing, exploring, painting order.

mod matching;
mod teams;

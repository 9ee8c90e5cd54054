//! Bench cards of small figures whose amounts and colours are known in advance.

mod forms;
mod numbers;

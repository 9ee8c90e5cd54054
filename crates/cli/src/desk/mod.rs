//! The page of the desk, for the browser of this machine.

mod answers;
mod server;

pub(crate) use answers::Answers;
pub(crate) use server::{Server, token};

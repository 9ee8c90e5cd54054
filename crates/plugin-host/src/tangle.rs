//! An estimate, before compiling, of how hard a function is to compile. In: a function body. Out: its tangle, or an error if it
//! is too large.
//!
//! Cranelift's time grows with the variables alive at every branch, and even faster with loops: 500 levels of nested loops over
//! 500 variables, in a file of 10 KB, keep it busy for more than eight minutes, and nothing can stop it. So a file is checked
//! first. Tangle = branches × variables. Measured: a component in Rust of 117 KB has 7,000 in its largest function and 49,000
//! in all, a program in C++ of 6 MB 500,000 and 5,400,000.

use wasmparser::{BinaryReaderError, FunctionBody, Operator};

use crate::fault::Fault;
use crate::limits::Limits;

/// Loops of one function. 1,000 of them over 100 variables take half a second, 10,000 of them 24 (measured, two busy cores).
const LOOPS: usize = 1_000;
/// Variables of one function, without its parameters.
const VARIABLES: usize = 2_000;
/// Levels of nested loops. 16 of them over 2,000 variables take two seconds.
const LOOPS_WITHIN: usize = 32;

/// Branches × variables of a function with at most `parameters` parameters.
///
/// # Errors
/// If it is too much for one function, or malformed.
pub(crate) fn tangle(
    body: &FunctionBody<'_>,
    parameters: usize,
    limits: &Limits,
) -> Result<usize, Fault> {
    let shape = shape(body).map_err(Fault::malformed)?;
    let most = |what: &'static str, count: usize, limit: usize| {
        if count > limit {
            Err(Fault::Tangled { what, count, limit })
        } else {
            Ok(())
        }
    };
    most("variables", shape.variables, VARIABLES)?;
    most("loops", shape.loops, LOOPS)?;
    most("levels of nested loops", shape.loops_within, LOOPS_WITHIN)?;
    let tangle = shape
        .branches
        .saturating_mul(shape.variables.saturating_add(parameters));
    most("branches × variables", tangle, limits.function_tangle)?;
    Ok(tangle)
}

#[derive(Debug, Default)]
struct Shape {
    variables: usize,
    branches: usize,
    loops: usize,
    loops_within: usize,
}

fn shape(body: &FunctionBody<'_>) -> Result<Shape, BinaryReaderError> {
    let mut shape = Shape::default();
    for locals in body.get_locals_reader()? {
        let (count, _) = locals?;
        shape.variables = shape.variables.saturating_add(count as usize);
    }
    // Whether each open block is a loop.
    let mut open = Vec::new();
    let mut loops_open = 0;
    for operator in body.get_operators_reader()? {
        match operator? {
            Operator::Loop { .. } => {
                open.push(true);
                loops_open += 1;
                shape.loops += 1;
                shape.branches += 1;
                shape.loops_within = shape.loops_within.max(loops_open);
            }
            Operator::Block { .. } => open.push(false),
            Operator::If { .. } => {
                open.push(false);
                shape.branches += 1;
            }
            Operator::End => loops_open -= usize::from(open.pop() == Some(true)),
            Operator::Else | Operator::Br { .. } | Operator::BrIf { .. } => shape.branches += 1,
            Operator::BrTable { targets } => shape.branches += targets.len() as usize + 1,
            _ => {}
        }
    }
    Ok(shape)
}

//! Components of very many small parts: refused before anything is compiled, at one more than is allowed.

use wasmparser::{Parser, Payload};

use super::cores::{Core, SAME_PIXELS};
use super::{attached, refusal};
use crate::component::Component;
use crate::fault::grouped;
use crate::limits::Limits;

/// A component with one core module of these parts, which attaches nowhere.
fn module(parts: &str) -> Vec<u8> {
    wat::parse_str(format!("(component (core module {parts}))")).unwrap()
}

fn reported(found: &str, limit: &str) -> String {
    format!(
        "error: stages/dust.wasm: the component has {found}\n  expected: at most {limit}\n  help: remove the plugin, or ask its author to fix it"
    )
}

#[test]
fn twenty_thousand_functions_are_allowed_and_not_one_more() {
    let functions = |count: usize| module(&"(func)".repeat(count));
    assert!(refusal(&functions(20_000)).contains("no Velatura attach point"));
    assert_eq!(
        refusal(&functions(20_001)),
        reported("20,001 functions", "20,000")
    );
    // In two modules they are as many.
    let half = format!("(core module {})", "(func)".repeat(10_001));
    let two = wat::parse_str(format!("(component {half} {half})")).unwrap();
    assert_eq!(refusal(&two), reported("20,002 functions", "20,000"));
    // Those that are allowed are compiled, and the component works.
    let core = Core {
        extra: "(func)".repeat(19_900),
        ..Core::finish(SAME_PIXELS)
    };
    assert!(attached(&core.bytes()).is_ok());
}

#[test]
fn so_many_parts_of_each_kind_are_allowed_and_not_one_more() {
    let numbered = |part: &str, count: usize| -> String {
        (0..count)
            .map(|number| part.replace("NUMBER", &number.to_string()))
            .collect()
    };
    for (kind, part, other) in [
        ("types", "(type (func (param i32)))", ""),
        ("imports", "(import \"a\" \"bNUMBER\" (global i32))", ""),
        ("exports", "(export \"eNUMBER\" (func 0))", "(func)"),
        ("globals", "(global i32 (i32.const 0))", ""),
        ("tables", "(table 0 funcref)", ""),
        ("memories", "(memory 0)", ""),
        ("data segments", "(data \"\")", ""),
        ("element segments", "(elem func)", ""),
    ] {
        let parts = |count: usize| module(&(other.to_owned() + &numbered(part, count)));
        let most = Limits::default().parts;
        assert!(
            refusal(&parts(most)).contains("no Velatura attach point"),
            "{most} {kind} are allowed"
        );
        assert_eq!(
            refusal(&parts(most + 1)),
            reported(&format!("20,001 {kind}"), "20,000")
        );
    }
}

#[test]
fn components_of_many_parts_are_refused_like_modules() {
    // One of each, for the parts that need something to refer to.
    const REFERRED: &str = r#"(core module $m (func (export "f"))) (core instance $i (instantiate $m))
        (func $f (canon lift (core func $i "f")))"#;
    // The second number is how many of its kind the component has besides.
    for (kind, part, besides) in [
        ("types", "(type (func))", 2),
        ("types", "(core type (func))", 2),
        ("aliases", "(alias core export $i \"f\" (core func))", 1),
        (
            "canonical functions",
            "(core func (canon lower (func $f)))",
            1,
        ),
        ("instances", "(instance)", 1),
        ("instances", "(core instance)", 1),
    ] {
        let of = |count: usize| {
            let parts = part.repeat(count - besides);
            refusal(&wat::parse_str(format!("(component {REFERRED} {parts})")).unwrap())
        };
        let most = Limits::default().parts;
        assert!(
            of(most).contains("no Velatura attach point"),
            "{most} {kind}: {}",
            of(most)
        );
        assert_eq!(of(most + 1), reported(&format!("20,001 {kind}"), "20,000"));
    }
}

#[test]
fn code_ends_at_its_last_byte_and_not_one_later() {
    let bytes = Core::finish(SAME_PIXELS).bytes();
    let code: usize = Parser::new(0)
        .parse_all(&bytes)
        .filter_map(|section| match section.unwrap() {
            Payload::CodeSectionStart { size, .. } => Some(size as usize),
            _ => None,
        })
        .sum();
    let at_most = |code_bytes| {
        let limits = Limits {
            code_bytes,
            ..Limits::default()
        };
        Component::attach(&bytes, "stages/dust.wasm", &limits).map(|_| ())
    };
    assert_eq!(at_most(code), Ok(()));
    let problem = at_most(code - 1).unwrap_err().to_string();
    let (code, most) = (grouped(code as u64), grouped(code as u64 - 1));
    assert_eq!(problem, reported(&format!("{code} bytes of code"), &most));
}

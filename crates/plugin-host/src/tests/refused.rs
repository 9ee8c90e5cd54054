//! Files that are not attached at all: each with its whole message.

use super::cores::{Core, SAME_PIXELS, WIT};
use super::{attached, refusal};
use crate::component::Component;
use crate::limits::Limits;

fn reported(found: &str, rest: &str) -> String {
    format!("error: stages/dust.wasm: {found}\n{rest}")
}

const NO_COMPONENT: &str =
    "  expected: a WebAssembly component (its first eight bytes: 00 61 73 6d 0d 00 01 00)\n";

#[test]
fn a_file_of_another_kind() {
    for bytes in [&b""[..], b"\0as", b"\x89PNG\r\n\x1a\n", b"(component)"] {
        assert_eq!(
            refusal(bytes),
            reported(
                "this is not a WebAssembly file",
                &format!("{NO_COMPONENT}  help: use the .wasm file of a stage")
            )
        );
    }
}

#[test]
fn a_core_module() {
    assert_eq!(
        refusal(&wat::parse_str("(module)").unwrap()),
        reported(
            "this is a core WebAssembly module, not a component",
            &format!(
                "{NO_COMPONENT}  help: turn it into a component with `wasm-tools component new`, or ask its author for one"
            )
        )
    );
}

#[test]
fn an_import_is_named() {
    let help = "  expected: no imports: a stage has no access to files, clock, randomness or network\n  help: build it for a target without an operating system (Rust: wasm32-unknown-unknown), or ask its author to";
    let bytes = wat::parse_str(
        r#"(component (import "wasi:cli/environment@0.2.0" (instance (export "arguments" (func)))))"#,
    )
    .unwrap();
    assert_eq!(
        refusal(&bytes),
        reported("the component imports \"wasi:cli/environment@0.2.0\"", help)
    );
    // The name comes from the file, but it stays on its line.
    let with_import = WIT.replace(
        "world finish-stage {",
        "interface clock { now: func() -> u64; } world finish-stage { import clock;",
    );
    let core = Core {
        extra: "(func (export \"unused\") (drop (call $now)))".to_owned(),
        ..Core::finish(SAME_PIXELS)
    };
    let text = core.bytes_of(&with_import, |text| {
        text.replace(
            "(module",
            "(module (import \"velatura:stage/clock@0.1.0\" \"now\" (func $now (result i64)))",
        )
    });
    assert_eq!(
        refusal(&text),
        reported("the component imports \"velatura:stage/clock@0.1.0\"", help)
    );
}

#[test]
fn another_version_of_the_wit_package_is_named() {
    let later = WIT.replace("velatura:stage@0.1.0", "velatura:stage@0.2.0");
    assert_eq!(
        refusal(
            &Core::finish(SAME_PIXELS).bytes_of(&later, |text| text.replace("@0.1.0", "@0.2.0"))
        ),
        reported(
            "the component was made for velatura:stage 0.2.0",
            "  expected: velatura:stage 0.1.0\n  help: use a version made for this velatura"
        )
    );
}

#[test]
fn no_attach_point() {
    let help = "  help: build it against stage.wit of this velatura, or ask its author to";
    let found = "the component has no Velatura attach point";
    let expected = "  expected: an export of one of velatura:stage/finish, ground, scheme-source, scheme-transform, sheet-text (@0.1.0)\n";
    let empty = wat::parse_str("(component)").unwrap();
    assert_eq!(
        refusal(&empty),
        reported(found, &format!("{expected}{help}"))
    );
    let elsewhere = wat::parse_str(
        r#"(component (instance $i) (export "example:stage/finish@0.1.0" (instance $i)))"#,
    )
    .unwrap();
    assert_eq!(
        refusal(&elsewhere),
        reported(found, &format!("{expected}{help}"))
    );
    let silent = wat::parse_str(
        r#"(component (instance $i) (export "velatura:stage/finish@0.1.0" (instance $i)))"#,
    )
    .unwrap();
    assert_eq!(
        refusal(&silent),
        reported(
            "the component does not describe itself",
            &format!("  expected: an export of velatura:stage/describe@0.1.0\n{help}")
        )
    );
}

#[test]
fn two_attach_points() {
    let both = WIT.replace("export ground;", "export ground; export finish;");
    let mut core = Core::finish(SAME_PIXELS);
    core.functions += &Core::ground("(unreachable)").functions;
    core.world = "ground-stage";
    assert_eq!(
        refusal(&core.bytes_of(&both, |text| text)),
        reported(
            "the component is both a ground and a finish",
            "  expected: one attach point per file\n  help: split it into one file for each"
        )
    );
}

#[test]
fn functions_of_other_types() {
    let reported = |what: &str, within: &str| {
        format!(
            "error: stages/dust.wasm: the component's functions have the wrong types: {what}\n  in: {within}\n  expected: the types of velatura:stage 0.1.0\n  help: build it against stage.wit of this velatura, or ask its author to"
        )
    };
    let other = |from: &str, to: &str| {
        assert!(WIT.contains(from), "{from}");
        refusal(&Core::finish(SAME_PIXELS).bytes_of(&WIT.replace(from, to), |text| text))
    };
    assert_eq!(
        other("reach-px: option<u32>", "reach-px: option<s32>"),
        reported("expected `u32` found `s32`", "its `describe`")
    );
    assert_eq!(
        other("first-row: u32", "first-row: s32"),
        reported("expected `u32` found `s32`", "finish \"dust\" 1.0.0")
    );
    let missing = wat::parse_str(
        r#"(component (instance $i) (export "velatura:stage/finish@0.1.0" (instance $i))
            (export "velatura:stage/describe@0.1.0" (instance $i)))"#,
    )
    .unwrap();
    assert_eq!(
        refusal(&missing),
        reported(
            "instance export `velatura:stage/describe@0.1.0` does not have export `describe`",
            "its `describe`"
        )
    );
}

#[test]
fn a_component_of_components() {
    let composed = wat::parse_str("(component (component (core module)))").unwrap();
    assert_eq!(
        refusal(&composed),
        reported(
            "the component contains other components",
            "  expected: core modules only, in one component\n  help: build it as one component, or ask its author to"
        )
    );
}

#[test]
fn components_that_multiply_are_not_compiled() {
    // Each level contains two of the level below: 2^n at the bottom.
    let nested = |levels: usize| {
        let doubled = (0..levels).fold("(component $c)".to_owned(), |inner, _| {
            format!(
                "(component $c {inner} (instance (instantiate $c)) (instance (instantiate $c)))"
            )
        });
        wat::parse_str(doubled.replacen("(component $c", "(component", 1)).unwrap()
    };
    assert_eq!(
        refusal(&nested(15)),
        reported(
            "the component has 3 levels of inner components",
            "  expected: at most 2\n  help: remove the plugin, or ask its author to fix it"
        )
    );
    assert!(
        refusal(&nested(2)).contains("no Velatura attach point"),
        "two levels are allowed"
    );
}

#[test]
fn many_core_instances() {
    let many = |count: usize| {
        wat::parse_str(format!(
            "(component (core module $m) {})",
            "(core instance (instantiate $m))".repeat(count)
        ))
        .unwrap()
    };
    assert_eq!(
        refusal(&many(17)),
        reported(
            "the component has 17 core instances",
            "  expected: at most 16\n  help: remove the plugin, or ask its author to fix it"
        )
    );
    assert!(
        refusal(&many(16)).contains("no Velatura attach point"),
        "16 are allowed"
    );
}

#[test]
fn a_file_ends_at_its_last_byte_and_not_one_later() {
    let bytes = Core::finish(SAME_PIXELS).bytes();
    let at_most = |file_bytes| {
        let limits = Limits {
            file_bytes,
            ..Limits::default()
        };
        Component::attach(&bytes, "stages/dust.wasm", &limits).map(|_| ())
    };
    assert_eq!(at_most(bytes.len()), Ok(()));
    let problem = at_most(bytes.len() - 1).unwrap_err().to_string();
    assert!(
        problem.starts_with("error: stages/dust.wasm: the file has "),
        "{problem}"
    );
}

#[test]
fn a_long_function() {
    let core = Core {
        extra: format!("(func {})", "(drop (i32.const 0))".repeat(200_000)),
        ..Core::finish(SAME_PIXELS)
    };
    assert_eq!(
        refusal(&core.bytes()),
        reported(
            "one of its functions has 600,002 bytes",
            "  expected: at most 512 KiB\n  help: remove the plugin, or ask its author to fix it"
        )
    );
}

/// A function of consecutive or nested loops, each of which increments one of the variables.
fn looping(loops: usize, variables: usize, within: Within) -> Core {
    let one = |k: usize| {
        let (own, other) = (k % variables, (k * 7919) % variables);
        format!(
            "(local.set {own} (i32.add (local.get {own}) (local.get {other}))) (br_if 0 (local.get {other}))"
        )
    };
    let body: String = match within {
        Within::EachOther => (0..loops).rev().fold(String::new(), |inner, k| {
            format!("(loop {inner} {})", one(k))
        }),
        Within::Nothing => (0..loops).map(|k| format!("(loop {})", one(k))).collect(),
    };
    Core {
        extra: format!("(func (local {}) {body})", "i32 ".repeat(variables)),
        ..Core::finish(SAME_PIXELS)
    }
}

enum Within {
    EachOther,
    Nothing,
}

#[test]
fn functions_that_would_compile_for_minutes_are_not_compiled() {
    let reported = |what: &str, limit: &str| {
        format!(
            "error: stages/dust.wasm: {what}\n  expected: at most {limit}\n  help: remove the plugin, or ask its author to fix it"
        )
    };
    let of = |core: Core| refusal(&core.bytes());
    assert_eq!(
        of(looping(33, 10, Within::EachOther)),
        reported(
            "it would take too long to compile: 33 levels of nested loops in one function",
            "32"
        )
    );
    assert_eq!(
        of(looping(1001, 10, Within::Nothing)),
        reported(
            "it would take too long to compile: 1,001 loops in one function",
            "1,000"
        )
    );
    assert_eq!(
        of(looping(1, 2001, Within::Nothing)),
        reported(
            "it would take too long to compile: 2,001 variables in one function",
            "2,000"
        )
    );
    // A loop and its `br_if` are two branches; `cabi_realloc` has the most parameters: 4.
    assert_eq!(
        of(looping(500, 997, Within::Nothing)),
        reported(
            "it would take too long to compile: 1,001,000 branches × variables in one function",
            "1,000,000"
        )
    );
    assert!(
        attached(&looping(32, 10, Within::EachOther).bytes()).is_ok(),
        "32 nested loops are allowed"
    );
}

#[test]
fn many_tangled_functions_are_not_compiled() {
    let one = looping(100, 996, Within::Nothing).extra;
    let core = Core {
        extra: one.repeat(41),
        ..Core::finish(SAME_PIXELS)
    };
    let message = refusal(&core.bytes());
    assert!(
        message.starts_with("error: stages/dust.wasm: the component has 8,000,0"),
        "{message}"
    );
}

#[test]
fn a_file_cut_at_any_length_is_refused_or_does_what_the_whole_does() {
    let whole = Core::finish(SAME_PIXELS).bytes();
    let mut refused = 0;
    for length in 0..whole.len() {
        match attached(&whole[..length]) {
            Err(problem) => {
                refused += 1;
                assert!(problem.is_error() && problem.help.is_some(), "{problem}");
            }
            // Only the notes after the last export can be cut off.
            Ok(component) => assert_eq!(component.description.name, "dust"),
        }
    }
    assert!(refused > whole.len() / 2, "{refused} of {}", whole.len());
}

#[test]
fn a_file_with_any_byte_flipped_does_no_harm() {
    let whole = Core::finish(SAME_PIXELS).bytes();
    let limits = Limits {
        work_base: 1_000_000,
        ..Limits::default()
    };
    let painted = super::Painted::new();
    let mut refused = 0;
    for at in 0..whole.len() {
        for bit in [0x01, 0x80] {
            let mut flipped = whole.clone();
            flipped[at] ^= bit;
            match Component::attach(&flipped, "stages/dust.wasm", &limits) {
                Err(_) => refused += 1,
                // Its result does not matter, but it must return.
                Ok(component) => drop(super::applied(&component, &painted)),
            }
        }
    }
    assert!(
        refused > whole.len() / 2,
        "{refused} of {}",
        2 * whole.len()
    );
}

#[test]
fn a_world_with_a_type_of_its_own_is_one_of_ours() {
    // Compilers export what the world names; further exports do no harm.
    let more = WIT.replace(
        "export finish;\n}",
        "export finish; export more: func() -> u32;\n}",
    );
    let core = Core {
        extra: "(func (export \"more\") (result i32) (i32.const 1))".to_owned(),
        ..Core::finish(SAME_PIXELS)
    };
    assert!(attached(&core.bytes_of(&more, |text| text)).is_ok());
}

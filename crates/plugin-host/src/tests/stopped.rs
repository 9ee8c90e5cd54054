//! Hostile finishes are stopped, each with its message, and a good one works after it.

use super::cores::{Core, SAME_PIXELS};
use super::{Painted, applied, attached, message};
use crate::component::Component;
use crate::fault::bytes_words;
use crate::limits::Limits;

const ENDLESS: &str = "(loop (br 0))";

fn of_dust(found: &str) -> String {
    format!(
        "error: stages/dust.wasm: {found}\n  in: finish \"dust\" 1.0.0\n  help: remove the plugin, or ask its author to fix it"
    )
}

fn of_describe(found: &str) -> String {
    of_dust(found).replace("finish \"dust\" 1.0.0", "its `describe`")
}

#[test]
fn an_endless_loop_runs_out_of_work() {
    assert_eq!(
        message(&Core::finish(&format!("{ENDLESS} (unreachable)"))),
        of_dust("it took too long: more than 1,000,016,000 units of work for 8 pixels")
    );
}

#[test]
fn a_describe_that_loops_runs_out_of_work() {
    let core = Core {
        describe: ENDLESS.to_owned(),
        ..Core::finish(SAME_PIXELS)
    };
    assert_eq!(
        message(&core),
        of_describe("it took too long: more than 1,000,000,000 units of work")
    );
}

#[test]
fn a_start_function_that_loops_runs_out_of_work() {
    let core = Core {
        extra: format!("(func $start {ENDLESS}) (start $start)"),
        ..Core::finish(SAME_PIXELS)
    };
    assert_eq!(
        message(&core),
        of_describe("it took too long: more than 1,000,000,000 units of work")
    );
}

// Wasmtime itself counts an instruction that fills 60 MiB as one unit: uncounted, this loop would run for weeks.
#[test]
fn a_loop_of_long_fills_runs_out_of_work() {
    let core = Core {
        pages: 1000,
        ..Core::finish(
            "(loop (memory.fill (i32.const 65536) (i32.const 1) (i32.const 60000000)) (br 0)) (unreachable)",
        )
    };
    assert_eq!(
        message(&core),
        of_dust("it took too long: more than 1,000,016,000 units of work for 8 pixels")
    );
}

#[test]
fn a_loop_of_long_table_fills_runs_out_of_work() {
    let core = Core {
        extra: "(table $t 90000 funcref)".to_owned(),
        ..Core::finish(
            "(loop (table.fill $t (i32.const 0) (ref.null func) (i32.const 90000)) (br 0)) (unreachable)",
        )
    };
    assert_eq!(
        message(&core),
        of_dust("it took too long: more than 1,000,016,000 units of work for 8 pixels")
    );
}

// Growing memory by 0 pages takes 50 times as long as an addition.
#[test]
fn a_loop_of_growth_by_nothing_runs_out_of_work() {
    assert_eq!(
        message(&Core::finish(
            "(loop (drop (memory.grow (i32.const 0))) (br 0)) (unreachable)"
        )),
        of_dust("it took too long: more than 1,000,016,000 units of work for 8 pixels")
    );
}

#[test]
fn a_grab_of_memory_is_stopped() {
    let grab = "(loop (drop (memory.grow (i32.const 16))) (br 0)) (unreachable)";
    assert_eq!(
        message(&Core::finish(grab)),
        of_dust("it needed more than 67,110,336 bytes of memory")
    );
}

#[test]
fn memory_ends_at_its_last_byte_and_not_one_page_later() {
    // 64 MiB and 8 × (8 pixels of 23 bytes): 1,024 whole pages; it already has one of them.
    let painted = Painted::new();
    let grown = |pages: u32| {
        let core = Core::finish(&format!(
            "(if (i32.eq (memory.grow (i32.const {pages})) (i32.const -1)) (then (unreachable))) {SAME_PIXELS}"
        ));
        applied(&attached(&core.bytes()).unwrap(), &painted)
    };
    assert_eq!(grown(1023), Ok(painted.pixels.clone()));
    assert_eq!(
        grown(1024),
        Err(of_dust("it needed more than 67,110,336 bytes of memory"))
    );
}

#[test]
fn memory_wanted_from_the_start_is_stopped_at_describe() {
    let core = |pages| Core {
        pages,
        ..Core::finish(SAME_PIXELS)
    };
    assert!(attached(&core(1024).bytes()).is_ok(), "64 MiB");
    assert_eq!(
        message(&core(1025)),
        of_describe("it needed more than 64 MiB of memory")
    );
}

#[test]
fn memories_count_together() {
    let core = Core {
        extra: "(memory $second 1024)".to_owned(),
        ..Core::finish(SAME_PIXELS)
    };
    assert_eq!(
        message(&core),
        of_describe("it needed more than 64 MiB of memory")
    );
}

#[test]
fn a_table_ends_at_its_last_element_and_not_one_later() {
    let core = |elements: u32| Core {
        extra: format!("(table {elements} funcref)"),
        ..Core::finish(SAME_PIXELS)
    };
    assert!(attached(&core(100_000).bytes()).is_ok(), "100,000");
    assert_eq!(
        message(&core(100_001)),
        of_describe("it needed more than 100,000 table elements")
    );
}

#[test]
fn endless_recursion_is_stopped() {
    let core = Core {
        extra: "(func $deeper (param i64) (result i64)
            (i64.add (call $deeper (i64.add (local.get 0) (i64.const 1))) (local.get 0)))"
            .to_owned(),
        ..Core::finish("(drop (call $deeper (i64.const 0))) (unreachable)")
    };
    assert_eq!(
        message(&core),
        of_dust("its calls were nested too deeply: more than 512 KiB of stack")
    );
}

#[test]
fn traps_are_reported_by_kind() {
    for (body, what) in [
        (
            "(unreachable)",
            "it reached an instruction that should never run (`unreachable`)",
        ),
        (
            "(i32.load (i32.const -16))",
            "it accessed memory outside its own",
        ),
        (
            "(i32.div_u (i32.const 1) (i32.const 0))",
            "a division by zero",
        ),
        (
            "(i32.trunc_f32_u (f32.const nan))",
            "a number too large for its type",
        ),
        (
            "(call_indirect $t (result i32) (i32.const 0))",
            "it called a missing function",
        ),
        (
            "(call_indirect $t (result i32) (i32.const 7))",
            "it accessed an entry outside a table",
        ),
    ] {
        let core = Core {
            extra: "(table $t 1 funcref)".to_owned(),
            ..Core::finish(body)
        };
        assert_eq!(
            message(&core),
            of_dust(&format!("it stopped itself: {what}"))
        );
    }
}

#[test]
fn memory_handed_out_outside_of_memory_is_seen() {
    let core = Core {
        realloc: "(i32.const -64)".to_owned(),
        ..Core::finish(SAME_PIXELS)
    };
    assert_eq!(
        message(&core),
        of_dust("it passed a value that cannot be read: realloc return: beyond end of memory")
    );
}

#[test]
fn an_answer_longer_than_memory_is_seen() {
    let core = Core::finish(
        "(i32.store8 (i32.const 96) (i32.const 0))
        (i32.store (i32.const 100) (i32.const 0))
        (i32.store (i32.const 104) (i32.const 1073741823))
        (i32.const 96)",
    );
    assert_eq!(
        message(&core),
        of_dust(
            "it passed a value that cannot be read: list pointer/length out of bounds of memory"
        )
    );
}

#[test]
fn an_answer_outside_of_memory_is_seen() {
    assert_eq!(
        message(&Core::finish("(i32.const -4)")),
        of_dust("it passed a value that cannot be read: pointer out of bounds of memory")
    );
}

#[test]
fn words_that_are_no_text_are_seen() {
    let core = Core::finish(
        "(i32.store8 (i32.const 96) (i32.const 1))
        (i32.store8 (i32.const 200) (i32.const 255))
        (i32.store (i32.const 100) (i32.const 200))
        (i32.store (i32.const 104) (i32.const 1))
        (i32.const 96)",
    );
    assert_eq!(
        message(&core),
        of_dust(
            "it passed a value that cannot be read: invalid utf-8 sequence of 1 bytes from index 0"
        )
    );
}

#[test]
fn work_grows_with_what_is_handed_over_and_ends_there() {
    // Seven units a turn.
    let spend = |turns: u64| {
        Core::finish(&format!(
            "(local.set $i (i32.const {turns}))
            (loop (local.set $i (i32.sub (local.get $i) (i32.const 1))) (br_if 0 (local.get $i)))
            {SAME_PIXELS}"
        ))
    };
    let limits = Limits {
        work_base: 10_000,
        work_per_pixel: 1_000,
        ..Limits::default()
    };
    let painted = Painted::new();
    let run = |turns| {
        let component =
            Component::attach(&spend(turns).bytes(), "stages/dust.wasm", &limits).unwrap();
        applied(&component, &painted)
    };
    assert_eq!(run(2_000), Ok(painted.pixels.clone()));
    assert_eq!(
        run(4_000),
        Err(of_dust(
            "it took too long: more than 18,000 units of work for 8 pixels"
        ))
    );
}

#[test]
fn sizes_are_reported_in_the_largest_whole_unit() {
    assert_eq!(bytes_words(64 << 20), "64 MiB");
    assert_eq!(bytes_words(1536), "1,536 bytes");
    assert_eq!(bytes_words(0), "0 bytes");
}

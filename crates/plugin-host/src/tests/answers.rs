//! Unusable answers of the right type for each attach point, and usable ones.

use super::cores::{Core, SAME_PIXELS};
use super::{Painted, applied, attached, message, reported};
use crate::calls::ground::{Figure, PlanesParam};
use crate::calls::{scheme_source, scheme_transform, sheet_text::Ending};
use crate::component::{Calls, Component};
use crate::limits::Limits;

const MEND: &str = "  help: remove the plugin, or ask its author to fix it";

fn of_dust(found: &str, expected: &str) -> String {
    format!(
        "error: stages/dust.wasm: {found}\n  in: finish \"dust\" 1.0.0\n  expected: {expected}\n{MEND}"
    )
}

/// Stores a number in its input pixels, then returns them.
fn with_number(index: usize, number: &str) -> Core {
    Core::finish(&format!(
        "(f32.store offset={} (i32.load offset=80 (local.get $in)) (f32.const {number})) {SAME_PIXELS}",
        4 * index
    ))
}

#[test]
fn too_few_numbers() {
    let one_less = SAME_PIXELS.replace(
        "(i32.load offset=84 (local.get $in))",
        "(i32.sub (i32.load offset=84 (local.get $in)) (i32.const 1))",
    );
    assert_eq!(
        message(&Core::finish(&one_less)),
        of_dust(
            "it returned 31 numbers",
            "32: four for each of the 4 × 2 pixels"
        )
    );
}

#[test]
fn numbers_out_of_range_are_reported_with_their_pixel() {
    for (number, shown) in [
        ("nan", "NaN"),
        ("nan:0x200000", "NaN"),
        ("inf", "inf"),
        ("-inf", "-inf"),
        ("1000.1", "1000.1"),
        ("-1.0001", "-1.0001"),
    ] {
        assert_eq!(
            message(&with_number(21, number)),
            of_dust(
                &format!("it returned {shown} at pixel 1, 2 of the picture"),
                "numbers from -1 to 1000"
            )
        );
    }
}

#[test]
fn the_ends_of_the_range_are_allowed() {
    for number in ["1000", "-1", "-0", "0x1p-149"] {
        let component = attached(&with_number(21, number).bytes()).unwrap();
        assert!(applied(&component, &Painted::new()).is_ok(), "{number}");
    }
}

#[test]
fn bare_pixels_stay_bare() {
    assert_eq!(
        message(&with_number(31, "0.5")),
        of_dust(
            "it painted where there is no coat, at pixel 3, 2 of the picture",
            "a fourth number that stays 0 where it was 0"
        )
    );
    let taken_off = attached(&with_number(27, "0").bytes()).unwrap();
    assert!(
        applied(&taken_off, &Painted::new()).is_ok(),
        "a coat may be taken off"
    );
}

/// Returns the words at 512 as its own error.
fn refuses_with(words: &str) -> Core {
    Core {
        extra: format!("(data (i32.const 60000) \"{words}\")"),
        ..Core::finish(&format!(
            "(i32.store8 (i32.const 96) (i32.const 1))
            (i32.store (i32.const 100) (i32.const 60000))
            (i32.store (i32.const 104) (i32.const {}))
            (i32.const 96)",
            words.replace("\\1b", "?").len()
        ))
    }
}

#[test]
fn its_own_error_is_shown_without_its_escapes() {
    let message_of = |says: &str| {
        format!(
            "error: stages/dust.wasm: it reported: {says}\n  in: finish \"dust\" 1.0.0\n  help: fix what it reports, or remove the plugin"
        )
    };
    assert_eq!(
        message(&refuses_with("\\1b[31mthe picture has no\\1b[0m floor")),
        message_of("[31mthe picture has no[0m floor")
    );
    assert_eq!(message(&refuses_with("\\1b")), message_of("(no reason)"));
    assert_eq!(
        message(&refuses_with(&"x".repeat(400))),
        message_of(&format!("{}…", "x".repeat(299)))
    );
}

fn figure(painted: &Painted) -> Figure<'_> {
    Figure {
        width: 4,
        rows: 2,
        px_per_mm: 20.0,
        undercoat: "black-to-white",
        black: 0.02,
        white: 0.8,
        light_share: 0.4,
        regions: &["coat", "hood"],
        region: &painted.region,
        planes: PlanesParam {
            substrate: &painted.plane,
            light: &painted.plane,
            light_unit: 0.5,
            relief: &painted.plane,
        },
    }
}

/// Returns the planes unchanged, with one 32-bit word of the answer replaced.
fn ground(at: usize, word: &str) -> Core {
    Core::ground(&format!(
        "(memory.copy (i32.const 100) (i32.add (local.get $in) (i32.const 48)) (i32.const 28))
        (i32.store8 (i32.const 96) (i32.const 0))
        (i32.store (i32.const {at}) {word})
        (i32.const 96)"
    ))
}

fn grounded(core: &Core) -> Result<(Vec<u16>, f32), String> {
    let component = attached(&core.bytes()).unwrap();
    let Calls::Ground(calls) = &component.calls else {
        panic!("no ground");
    };
    calls
        .underpainting(figure(&Painted::new()), "{}")
        .map(|planes| (planes.relief, planes.light_unit))
        .map_err(|fault| reported(&component, &fault))
}

#[test]
fn planes_keep_their_size_and_the_light_its_unit() {
    let of_lamp = |found: &str, expected: &str| {
        Err(format!(
            "error: stages/dust.wasm: {found}\n  in: ground \"lamp\" 1.0.0\n  expected: {expected}\n{MEND}"
        ))
    };
    assert_eq!(
        grounded(&ground(92, "(i32.const 0)")),
        Ok((Painted::new().plane, 0.5)),
        "as it came"
    );
    for (at, plane) in [(104, "substrate"), (112, "light"), (124, "relief")] {
        assert_eq!(
            grounded(&ground(at, "(i32.const 7)")),
            of_lamp(&format!("its plane `{plane}` has 7 pixels"), "8: 4 × 2")
        );
    }
    for (unit, shown) in [
        ("0", "0"),
        ("-0.5", "-0.5"),
        ("1.001", "1.001"),
        ("nan", "NaN"),
    ] {
        assert_eq!(
            grounded(&ground(
                116,
                &format!("(i32.reinterpret_f32 (f32.const {unit}))")
            )),
            of_lamp(
                &format!("its `light-unit` is {shown}"),
                "more than 0, at most 1"
            )
        );
    }
    assert!(grounded(&ground(116, "(i32.reinterpret_f32 (f32.const 1))")).is_ok());
}

#[test]
fn a_nan_made_by_arithmetic_has_one_pattern() {
    // 0x7fc00000, the canonical one (WebAssembly core specification, 2.2.3): its upper ten bits are 511 of 1022.
    let bits = "(i32.shr_u (i32.reinterpret_f32 (f32.sub (f32.const inf) (f32.const inf))) (i32.const 22))";
    let unit =
        format!("(i32.reinterpret_f32 (f32.div (f32.convert_i32_u {bits}) (f32.const 1022)))");
    assert_eq!(
        grounded(&ground(116, &unit)),
        Ok((Painted::new().plane, 0.5))
    );
}

/// The text that a component of any text world gives.
fn text(core: &Core, limits: &Limits) -> Result<String, String> {
    let component = Component::attach(&core.bytes(), "stages/dust.wasm", limits).unwrap();
    let regions = ["coat", "hood"];
    match &component.calls {
        Calls::SchemeSource(calls) => calls.schemes(
            scheme_source::Request {
                figure_name: "figure.toml",
                regions: &regions,
                paints: &[scheme_source::Paint {
                    name: "Oil Amber",
                    owned: true,
                    over_black: (1, 2, 3),
                    over_white: (4, 5, 6),
                }],
            },
            "{}",
        ),
        Calls::SchemeTransform(calls) => calls.transform(
            "name = \"Foglight\"",
            scheme_transform::Request {
                figure_name: "figure.toml",
                regions: &regions,
                paints: &[],
            },
            "{}",
        ),
        Calls::SheetText(calls) => calls.text("{\"report\": 1}", "{}"),
        Calls::Finish(_) | Calls::Ground(_) => panic!("no text"),
    }
    .map_err(|fault| reported(&component, &fault))
}

#[test]
fn texts_come_through_whole() {
    let limits = Limits::default();
    let said = "[[scheme]]\n\tname = \"Fög\"\r\n";
    assert_eq!(
        text(&Core::scheme_source(said), &limits),
        Ok(said.to_owned())
    );
    assert_eq!(
        text(&Core::scheme_transform(), &limits),
        Ok("name = \"Foglight\"".to_owned())
    );
    assert_eq!(
        text(&Core::sheet_text(3, said), &limits),
        Ok(said.to_owned())
    );
    assert_eq!(
        text(&Core::sheet_text(2, "{\"a\": [1]}"), &limits),
        Ok("{\"a\": [1]}".to_owned())
    );
}

#[test]
fn a_text_ends_at_its_last_byte_and_not_one_later() {
    let limits = Limits {
        text_bytes: 100,
        ..Limits::default()
    };
    let of = |bytes| text(&Core::scheme_source(&"x".repeat(bytes)), &limits);
    assert_eq!(of(100), Ok("x".repeat(100)));
    assert_eq!(
        of(101),
        Err(format!(
            "error: stages/dust.wasm: its text has 101 bytes\n  in: scheme source \"tides\" 1.0.0\n  expected: at most 100 bytes\n{MEND}"
        ))
    );
}

#[test]
fn a_text_with_escapes_is_refused() {
    assert_eq!(
        text(
            &Core::sheet_text(0, "a list\n\u{1b}[2J"),
            &Limits::default()
        ),
        Err(format!(
            "error: stages/dust.wasm: line 2 of its text has the control character U+001B\n  in: sheet text \"list\" 1.0.0\n  expected: text, line breaks and tabs\n{MEND}"
        ))
    );
}

#[test]
fn what_is_to_be_json_is_json() {
    assert_eq!(
        text(&Core::sheet_text(2, "{"), &Limits::default()),
        Err(format!(
            "error: stages/dust.wasm: its text is not JSON: EOF while parsing an object at line 1 column 1\n  in: sheet text \"list\" 1.0.0\n  expected: JSON, because its file ends in `json`\n{MEND}"
        ))
    );
}

#[test]
fn endings_are_those_of_the_wit_package() {
    for (number, ending) in [
        (0, Ending::Txt),
        (1, Ending::Csv),
        (2, Ending::Json),
        (3, Ending::Md),
    ] {
        let component = attached(&Core::sheet_text(number, "{}").bytes()).unwrap();
        let Calls::SheetText(calls) = &component.calls else {
            panic!("no sheet text");
        };
        assert_eq!(calls.ending(), ending);
    }
    assert_eq!(
        message(&Core::sheet_text(4, "{}")),
        "error: stages/dust.wasm: it passed a value that cannot be read: unexpected discriminant: 4\n  in: sheet text \"list\" 1.0.0\n  help: remove the plugin, or ask its author to fix it"
    );
}

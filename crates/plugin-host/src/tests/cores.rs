//! Components for tests, good and hostile, written as core WebAssembly text. In: bodies of functions. Out: the bytes of a
//! component, made by the same encoder that compilers use.
//!
//! Memory: the description starts at 16, answers are built at 96, words start at 256, input values follow.

use wit_component::{ComponentEncoder, StringEncoding, embed_component_metadata};
use wit_parser::Resolve;

pub(super) const WIT: &str = include_str!("../../wit/stage.wit");

/// Returns the pixels unchanged.
pub(super) const SAME_PIXELS: &str = "
    (i32.store8 (i32.const 96) (i32.const 0))
    (i32.store (i32.const 100) (i32.load offset=80 (local.get $in)))
    (i32.store (i32.const 104) (i32.load offset=84 (local.get $in)))
    (i32.const 96)";

/// Allocates memory after the used part, and grows it.
const REALLOC: &str = "
    (local $at i32) (local $missing i32)
    (local.set $at (i32.and (i32.add (global.get $free) (i32.const 15)) (i32.const -16)))
    (global.set $free (i32.add (local.get $at) (local.get $size)))
    (local.set $missing
      (i32.sub (i32.add (i32.shr_u (global.get $free) (i32.const 16)) (i32.const 1)) (memory.size)))
    (if (i32.gt_s (local.get $missing) (i32.const 0))
      (then (drop (memory.grow (local.get $missing)))))
    (local.get $at)";

/// A component in parts; each test changes one of them.
#[derive(Debug, Clone)]
pub(super) struct Core {
    pub(super) world: &'static str,
    pub(super) name: String,
    pub(super) version: String,
    pub(super) takes: String,
    pub(super) parameters: String,
    pub(super) reach_px: Option<u32>,
    /// Inserted before `describe` returns its record.
    pub(super) describe: String,
    /// Exported functions of the attach point.
    pub(super) functions: String,
    pub(super) realloc: String,
    /// Further parts of the module.
    pub(super) extra: String,
    /// Pages of 64 KiB at the start.
    pub(super) pages: u32,
}

impl Core {
    fn new(world: &'static str, name: &str, functions: String) -> Self {
        Self {
            world,
            name: name.to_owned(),
            version: "1.0.0".to_owned(),
            takes: "a frame".to_owned(),
            parameters: String::new(),
            reach_px: Some(0),
            describe: String::new(),
            functions,
            realloc: REALLOC.to_owned(),
            extra: String::new(),
            pages: 1,
        }
    }

    /// A finish; `apply` receives `$in`, the address of its parameters, and returns the address of its answer.
    pub(super) fn finish(apply: &str) -> Self {
        Self::new(
            "finish-stage",
            "dust",
            format!(
                r#"(func (export "velatura:stage/finish@0.1.0#apply") (param $in i32) (result i32)
                    (local $i i32) (local $j i32) {apply})"#
            ),
        )
    }

    /// A ground, in the same way.
    pub(super) fn ground(underpainting: &str) -> Self {
        Self::new(
            "ground-stage",
            "lamp",
            format!(
                r#"(func (export "velatura:stage/ground@0.1.0#underpainting") (param $in i32) (result i32)
                    {underpainting})"#
            ),
        )
    }

    /// A scheme source that returns the text `said`, without copying it.
    pub(super) fn scheme_source(said: &str) -> Self {
        let (data, gives) = text_answer(said);
        Self {
            extra: data,
            ..Self::new(
                "scheme-source-stage",
                "tides",
                format!(
                    r#"(func (export "velatura:stage/scheme-source@0.1.0#schemes")
                        (param i32 i32 i32 i32 i32 i32 i32 i32) (result i32) {gives})"#
                ),
            )
        }
    }

    /// A scheme transform that returns its input text.
    pub(super) fn scheme_transform() -> Self {
        Self::new(
            "scheme-transform-stage",
            "thinner",
            r#"(func (export "velatura:stage/scheme-transform@0.1.0#transform")
                (param $text i32) (param $length i32) (param i32 i32 i32 i32 i32 i32 i32 i32) (result i32)
                (i32.store8 (i32.const 96) (i32.const 0))
                (i32.store (i32.const 100) (local.get $text))
                (i32.store (i32.const 104) (local.get $length))
                (i32.const 96))"#
                .to_owned(),
        )
    }

    /// A scheme transform that always returns the text `said`.
    pub(super) fn scheme_transform_saying(said: &str) -> Self {
        let (data, gives) = text_answer(said);
        Self {
            extra: data,
            functions: format!(
                r#"(func (export "velatura:stage/scheme-transform@0.1.0#transform")
                    (param i32 i32 i32 i32 i32 i32 i32 i32 i32 i32) (result i32) {gives})"#
            ),
            ..Self::scheme_transform()
        }
    }

    /// A sheet text of the ending with this number (txt, csv, json, md) that returns the text `said`.
    pub(super) fn sheet_text(ending: u32, said: &str) -> Self {
        let (data, gives) = text_answer(said);
        Self {
            extra: data,
            ..Self::new(
                "sheet-text-stage",
                "list",
                format!(
                    r#"(func (export "velatura:stage/sheet-text@0.1.0#written-as") (result i32) (i32.const {ending}))
                    (func (export "velatura:stage/sheet-text@0.1.0#text") (param i32 i32 i32 i32) (result i32) {gives})"#
                ),
            )
        }
    }

    /// The core module as text.
    fn text(&self) -> String {
        let mut words = Vec::new();
        let mut record = Vec::new();
        for word in [
            &self.name,
            &self.version,
            &self.takes,
            &"a frame".to_owned(),
            &self.parameters,
        ] {
            for number in [256 + words.len(), word.len()] {
                record.extend(u32::try_from(number).unwrap().to_le_bytes());
            }
            words.extend(word.as_bytes());
        }
        record.extend(
            [
                u32::from(self.reach_px.is_some()),
                self.reach_px.unwrap_or(0),
            ]
            .map(u32::to_le_bytes)
            .concat(),
        );
        let free = 256 + words.len();
        format!(
            r#"(module
              (memory (export "memory") {pages})
              (global $free (mut i32) (i32.const {free}))
              (func $realloc (export "cabi_realloc") (param $old i32) (param i32) (param i32) (param $size i32) (result i32)
                {realloc})
              (data (i32.const 16) "{record}")
              (data (i32.const 256) "{words}")
              (func (export "velatura:stage/describe@0.1.0#describe") (result i32) {describe} (i32.const 16))
              {functions}
              {extra})"#,
            pages = self.pages.max(u32::try_from(free / 65536).unwrap() + 1),
            realloc = self.realloc,
            record = escaped(&record),
            words = escaped(&words),
            describe = self.describe,
            functions = self.functions,
            extra = self.extra,
        )
    }

    /// The component.
    pub(super) fn bytes(&self) -> Vec<u8> {
        component(self.world, WIT, &self.text())
    }

    /// The component as made for another text of the WIT package, with its own text changed to match.
    pub(super) fn bytes_of(&self, wit: &str, change: impl Fn(String) -> String) -> Vec<u8> {
        component(self.world, wit, &change(self.text()))
    }
}

/// A component of one world of a WIT text, from a core module.
fn component(world: &str, wit: &str, core: &str) -> Vec<u8> {
    let mut resolve = Resolve::default();
    let package = resolve.push_str("stage.wit", wit).unwrap();
    let world = resolve.select_world(package, Some(world)).unwrap();
    let mut module = wat::parse_str(core).unwrap_or_else(|error| panic!("{error}\n{core}"));
    embed_component_metadata(&mut module, &resolve, world, StringEncoding::UTF8).unwrap();
    ComponentEncoder::default()
        .module(&module)
        .unwrap()
        .validate(true)
        .encode()
        .unwrap()
}

/// The data of a text (a passive segment) and the body that returns it.
fn text_answer(said: &str) -> (String, String) {
    let length = said.len();
    let data = format!(r#"(data $said "{}")"#, escaped(said.as_bytes()));
    let gives = format!(
        "(local $at i32)
        (local.set $at (call $realloc (i32.const 0) (i32.const 0) (i32.const 1) (i32.const {length})))
        (memory.init $said (local.get $at) (i32.const 0) (i32.const {length}))
        (i32.store8 (i32.const 96) (i32.const 0))
        (i32.store (i32.const 100) (local.get $at))
        (i32.store (i32.const 104) (i32.const {length}))
        (i32.const 96)"
    );
    (data, gives)
}

fn escaped(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("\\{byte:02x}")).collect()
}

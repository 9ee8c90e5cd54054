//! Sheets and sheet texts with one thing wrong.

use velatura_conformance::Check;
use velatura_document::Diagnostic;
use velatura_pipeline::stage::{AttachPoint, Sheet, SheetText, Stage, StageInfo, TextKind};
use velatura_pipeline::{AnyStage, Error, Parameters, SheetFile, SheetPicture, SheetRequest};

use crate::broken::{Broken, another, info};

/// A size, and paths with bytes.
struct Files<F>((u32, u32), F);

impl<F: Send + Sync> Stage for Files<F> {
    fn info(&self) -> StageInfo {
        info(AttachPoint::Sheet)
    }
}

impl<F: Fn() -> Vec<(&'static str, Vec<u8>)> + Send + Sync> Sheet for Files<F> {
    fn picture_size(&self, _: &SheetRequest) -> (u32, u32) {
        self.0
    }

    fn files(&self, _: &SheetRequest, _: &[SheetPicture]) -> Result<Vec<SheetFile>, Error> {
        let files = (self.1)().into_iter().map(|(path, bytes)| SheetFile {
            path: path.to_owned(),
            bytes,
        });
        Ok(files.collect())
    }
}

/// A kind and a text.
struct Text<F>(TextKind, F);

impl<F: Send + Sync> Stage for Text<F> {
    fn info(&self) -> StageInfo {
        info(AttachPoint::SheetText)
    }
}

impl<F: Fn() -> String + Send + Sync> SheetText for Text<F> {
    fn kind(&self) -> TextKind {
        self.0
    }

    fn text(&self, _: &str, _: &Parameters) -> Result<String, Diagnostic> {
        Ok((self.1)())
    }
}

fn sheet(size: (u32, u32), paths: &'static [&'static str]) -> AnyStage {
    let files = move || paths.iter().map(|path| (*path, b"oil".to_vec())).collect();
    AnyStage::Sheet(Box::new(Files(size, files)))
}

fn text(kind: TextKind, text: impl Fn() -> String + Send + Sync + 'static) -> AnyStage {
    AnyStage::SheetText(Box::new(Text(kind, text)))
}

pub(crate) fn sound() -> Vec<(&'static str, AnyStage)> {
    vec![
        (
            "a file in a folder",
            sheet((4, 3), &["lists/oil.txt", "oil.txt"]),
        ),
        (
            "a text of 4 MiB",
            text(TextKind::Txt, || "o".repeat(4 << 20)),
        ),
        (
            "JSON",
            text(TextKind::Json, || "{\"oil\": 3}\r\n\t".to_owned()),
        ),
    ]
}

pub(crate) fn cases() -> Vec<Broken> {
    let empty = Files((1, 1), || vec![("oil.txt", Vec::new())]);
    let other = Files((1, 1), || {
        vec![("oil.txt", another().to_le_bytes().to_vec())]
    });
    let bad_path = |what, paths| Broken::new(what, Check::Paths, sheet((1, 1), paths));
    vec![
        Broken::new("no width", Check::PictureSize, sheet((0, 3), &["oil.txt"])),
        Broken::new(
            "too wide",
            Check::PictureSize,
            sheet((65_536, 1), &["oil.txt"]),
        ),
        Broken::new("no file", Check::Works, sheet((1, 1), &[])),
        bad_path("out of the folder", &["../oil.txt"]),
        bad_path("from the root", &["/oil.txt"]),
        bad_path("a drive", &["c:oil.txt"]),
        bad_path("back slashes", &["..\\oil.txt"]),
        bad_path("one path twice", &["oil.txt", "oil.txt"]),
        Broken::new(
            "nothing in it",
            Check::SomeBytes,
            AnyStage::Sheet(Box::new(empty)),
        ),
        Broken::new(
            "other bytes",
            Check::SameAgain,
            AnyStage::Sheet(Box::new(other)),
        ),
        Broken::new(
            "a byte too many",
            Check::TextLength,
            text(TextKind::Txt, || "o".repeat((4 << 20) + 1)),
        ),
        Broken::new(
            "an escape",
            Check::PlainText,
            text(TextKind::Md, || "\u{1b}[2Joil".to_owned()),
        ),
        Broken::new(
            "text turned around",
            Check::PlainText,
            text(TextKind::Csv, || "oil,\u{202e}3".to_owned()),
        ),
        Broken::new(
            "no JSON",
            Check::ValidJson,
            text(TextKind::Json, || "oil: 3".to_owned()),
        ),
        Broken::new(
            "other text",
            Check::SameAgain,
            text(TextKind::Txt, || another().to_string()),
        ),
    ]
}

//! The desk as a page drives it, natively: the whole job, undo, files that painters put, and what they take away.

mod edits;
mod files;
mod folder;
mod whole_job;

use std::io::Cursor;
use std::path::PathBuf;
use std::sync::OnceLock;

use image::ImageFormat;
use image::imageops::FilterType;
use velatura_desk::{Command, Desk, PutKind, View};

/// A file of the demo figure, the Lamplighter (invented).
fn demo(name: &str) -> Vec<u8> {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../demo_images");
    std::fs::read(folder.join(name)).unwrap()
}

/// A command as a page sends it.
fn command(json: serde_json::Value) -> Command {
    serde_json::from_value(json).unwrap()
}

/// Does a command that must work.
fn run(desk: &mut Desk, json: serde_json::Value) -> View {
    let shown = json.to_string();
    desk.run(&command(json))
        .unwrap_or_else(|error| panic!("{shown}: {:?}", error.diagnostics()))
}

/// What is wrong with a command that must not work.
fn refused(desk: &mut Desk, json: serde_json::Value) -> String {
    let error = desk.run(&command(json)).unwrap_err();
    let problem = &error.diagnostics()[0];
    format!("{} {}", problem.file, problem.found)
}

/// Zips files as another program does: compressed, and within a folder.
fn zipped(files: &[(&str, Vec<u8>)]) -> Vec<u8> {
    use std::io::Write as _;
    let mut bytes = Cursor::new(Vec::new());
    let mut zip = zip::ZipWriter::new(&mut bytes);
    let options = zip::write::SimpleFileOptions::default()
        .compression_method(zip::CompressionMethod::Deflated);
    for (name, content) in files {
        zip.start_file(*name, options).unwrap();
        zip.write_all(content).unwrap();
    }
    zip.finish().unwrap();
    bytes.into_inner()
}

/// The files in an archive.
fn unzipped(bytes: &[u8]) -> Vec<(String, Vec<u8>)> {
    use std::io::Read as _;
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).unwrap();
    (0..archive.len())
        .map(|index| {
            let mut file = archive.by_index(index).unwrap();
            let mut content = Vec::new();
            file.read_to_end(&mut content).unwrap();
            (file.name().to_owned(), content)
        })
        .collect()
}

/// The demo figure as a zip of its folder, with pictures of 533 × 800 pixels, so that a test takes a moment.
fn demo_zip() -> Vec<u8> {
    let files: Vec<(String, Vec<u8>)> = small_demo()
        .iter()
        .map(|(name, bytes)| (format!("lamplighter/{name}"), bytes.clone()))
        .collect();
    let borrowed: Vec<(&str, Vec<u8>)> = files
        .iter()
        .map(|(name, bytes)| (&**name, bytes.clone()))
        .collect();
    zipped(&borrowed)
}

/// The files of the demo figure, pictures reduced.
fn small_demo() -> &'static [(&'static str, Vec<u8>)] {
    static FILES: OnceLock<Vec<(&str, Vec<u8>)>> = OnceLock::new();
    FILES.get_or_init(|| {
        let text = |name: &'static str| (name, demo(&format!("lamplighter/{name}")));
        let picture = |name: &'static str, format, filter| {
            let large = image::load_from_memory(&demo(&format!("lamplighter/{name}"))).unwrap();
            let mut bytes = Cursor::new(Vec::new());
            let small = large.resize_exact(533, 800, filter).to_rgb8();
            small.write_to(&mut bytes, format).unwrap();
            (name, bytes.into_inner())
        };
        vec![
            text("figure.toml"),
            text("paints.toml"),
            text("schemes.toml"),
            picture("lamplighter.jpg", ImageFormat::Jpeg, FilterType::Triangle),
            picture(
                "lamplighter-mask.png",
                ImageFormat::Png,
                FilterType::Nearest,
            ),
            picture("primed.jpg", ImageFormat::Jpeg, FilterType::Triangle),
        ]
    })
}

/// One of them.
fn small(name: &str) -> Vec<u8> {
    let mut files = small_demo().iter();
    files.find(|(file, _)| *file == name).unwrap().1.clone()
}

/// A desk with the demo figure on it.
fn demo_desk() -> Desk {
    let mut desk = Desk::new().unwrap();
    desk.put(PutKind::Project, "lamplighter.zip", demo_zip())
        .unwrap();
    desk
}

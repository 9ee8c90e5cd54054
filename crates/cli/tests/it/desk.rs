//! A painter's desk: a temporary folder with the files of a small job, and the command run in it.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use image::{GrayImage, Luma, Rgb, RgbImage};

/// All values are invented.
const FIGURE: &str = r##"format = "velatura-figure/1"
name = "Test figure"
photo = "photo.png"
mask = "mask.png"

[undercoat]
kind = "black-to-white"

[[region]]
name = "coat"
mask_colour = "#e6194b"

[[region]]
name = "hood"
mask_colour = "#4363d8"
"##;

pub(crate) const PAINTS: &str = r##"format = "velatura-paints/1"

[cards]
black = "#1c1c1c"
white = "#f0f0f0"

[[paint]]
name = "Oil Amber"
over_black = "#4d3718"
over_white = "#f4a520"
"##;

const SCHEMES: &str = r#"format = "velatura-schemes/1"

[[scheme]]
name = "Foglight"

[[scheme.coat]]
region = "coat"
mix = { "Oil Amber" = 3, medium = 7 }
film = 1.0
"#;

pub(crate) struct Desk {
    folder: tempfile::TempDir,
}

impl Desk {
    pub(crate) fn empty() -> Self {
        Self {
            folder: tempfile::tempdir().unwrap(),
        }
    }

    /// A figure of two parts, one paint, one scheme.
    pub(crate) fn with_job() -> Self {
        let desk = Self::empty();
        desk.write("figure.toml", FIGURE);
        desk.write("paints.toml", PAINTS);
        desk.write("schemes.toml", SCHEMES);
        // A ramp, left half coat, right half hood.
        let photo = GrayImage::from_fn(40, 30, |x, y| {
            Luma([40 + u8::try_from(3 * x + 2 * y).unwrap()])
        });
        photo.save(desk.path("photo.png")).unwrap();
        desk.mask(40, 30, |x, _| {
            if x < 20 {
                [0xe6, 0x19, 0x4b]
            } else {
                [0x43, 0x63, 0xd8]
            }
        });
        desk
    }

    pub(crate) fn folder(&self) -> &Path {
        self.folder.path()
    }

    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.folder().join(name)
    }

    pub(crate) fn write(&self, name: &str, text: &str) {
        std::fs::write(self.path(name), text).unwrap();
    }

    /// Changes all places of a file that read `old`; there must be one.
    pub(crate) fn replace(&self, name: &str, old: &str, new: &str) {
        let text = std::fs::read_to_string(self.path(name)).unwrap();
        assert!(text.contains(old), "{old} is not in {name}");
        self.write(name, &text.replace(old, new));
    }

    pub(crate) fn mask(&self, width: u32, height: u32, colour: impl Fn(u32, u32) -> [u8; 3]) {
        let mask = RgbImage::from_fn(width, height, |x, y| Rgb(colour(x, y)));
        mask.save(self.path("mask.png")).unwrap();
    }

    /// A call in this folder. What it remembers stays here too.
    pub(crate) fn command(&self, arguments: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_velatura"));
        command
            .args(arguments)
            .current_dir(self.folder())
            .env("XDG_DATA_HOME", self.path("home"))
            .env("XDG_STATE_HOME", self.path("home"));
        command
    }

    pub(crate) fn run(&self, arguments: &[&str]) -> Output {
        self.command(arguments).output().unwrap()
    }

    /// The names in the folder, sorted.
    pub(crate) fn listing(&self) -> Vec<String> {
        let mut names: Vec<String> = std::fs::read_dir(self.folder())
            .unwrap()
            .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
            .collect();
        names.sort();
        names
    }

    /// A call that must stop with this status and this standard error, without a result and without new files.
    pub(crate) fn stops(&self, arguments: &[&str], status: i32, expected: &str) {
        let before = self.listing();
        let output = self.run(arguments);
        let reported = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(status), "{reported}");
        assert_eq!(
            reported.trim_end(),
            expected.trim_end(),
            "expected:\n{expected}\nfound:\n{reported}"
        );
        assert!(output.stdout.is_empty(), "a result in spite of an error");
        assert_eq!(self.listing(), before, "something was left behind");
    }
}

//! A painter's desk in a temporary folder: a small figure, two schemes, the example plugins, and a home folder for saved state.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// Invented, like all values here.
const FIGURE: &str = "format = \"velatura-figure/1\"
name = \"Lamplighter, small\"
photo = \"photo.png\"
mask = \"mask.png\"

[undercoat]
kind = \"black-to-white\"
black = \"#1c1c1c\"
white = \"#e9e9e9\"
light_share = 0.2

[[region]]
name = \"coat\"
mask_colour = \"#e6194b\"
";

const PAINTS: &str = "format = \"velatura-paints/1\"

[cards]
black = \"#1c1c1c\"
white = \"#f0f0f0\"

[[paint]]
name = \"Oil Amber\"
over_black = \"#3a2207\"
over_white = \"#c98318\"
owned = true

[[paint]]
name = \"Deep Eel\"
over_black = \"#14212b\"
over_white = \"#2f6f8c\"
owned = true

[[paint]]
name = \"Marsh Violet\"
over_black = \"#241a30\"
over_white = \"#7d4fa0\"
owned = true
";

const SCHEMES: &str = "format = \"velatura-schemes/1\"

[[scheme]]
name = \"Foglight\"
[[scheme.coat]]
region = \"coat\"
mix = { \"Oil Amber\" = 3, medium = 7 }

[[scheme]]
name = \"Low Tide\"
[[scheme.coat]]
region = \"coat\"
mix = { \"Deep Eel\" = 1, medium = 4 }
";

/// The folder.
pub(crate) struct Desk(tempfile::TempDir);

impl Desk {
    /// A desk with all files.
    pub(crate) fn new() -> Self {
        let desk = Self(tempfile::tempdir().unwrap());
        // A dome with rings, light to dark, to get raised parts and recesses.
        let inside = |x: u32, y: u32| (f64::from(x) - 80.0).hypot(f64::from(y) - 80.0);
        let photo = image::GrayImage::from_fn(160, 160, |x, y| {
            let far = inside(x, y);
            #[allow(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "within 0 to 255"
            )]
            let tone = (130.0 + 80.0 * (far * 0.4).sin() - far * 0.5) as u8;
            image::Luma([if far < 60.0 { tone } else { 120 }])
        });
        photo.save(desk.path("photo.png")).unwrap();
        let mask = image::RgbImage::from_fn(160, 160, |x, y| {
            image::Rgb(if inside(x, y) < 60.0 {
                [0xe6, 0x19, 0x4b]
            } else {
                [0; 3]
            })
        });
        mask.save(desk.path("mask.png")).unwrap();
        let texts = [
            ("figure.toml", FIGURE),
            ("bare-figure.toml", FIGURE),
            ("paints.toml", PAINTS),
            ("schemes.toml", SCHEMES),
            ("bare.toml", SCHEMES),
        ];
        for (name, text) in texts {
            std::fs::write(desk.path(name), text).unwrap();
        }
        let examples = Path::new(env!("CARGO_MANIFEST_DIR")).join("../plugin-host/example-plugins");
        for name in ["dust", "triads"] {
            let file = format!("{name}.wasm");
            std::fs::copy(examples.join(name).join(&file), desk.path(&file)).unwrap();
        }
        desk
    }

    /// A path on the desk.
    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    /// Whether something is there.
    pub(crate) fn exists(&self, name: &str) -> bool {
        self.path(name).exists()
    }

    /// A file's bytes.
    pub(crate) fn read(&self, name: &str) -> Vec<u8> {
        std::fs::read(self.path(name)).unwrap()
    }

    /// The report of a render into `out`.
    pub(crate) fn report(&self, out: &str) -> serde_json::Value {
        serde_json::from_slice(&self.read(&format!("{out}/report.json"))).unwrap()
    }

    /// Adds lines to the end of a file.
    pub(crate) fn append(&self, name: &str, more: &str) {
        let whole = text(&self.read(name)) + more;
        std::fs::write(self.path(name), whole).unwrap();
    }

    /// Adds a line above the figure's tables.
    pub(crate) fn prepend_to_figure(&self, line: &str) {
        let whole = text(&self.read("figure.toml"));
        let at = whole.find("\n[undercoat]").unwrap();
        std::fs::write(
            self.path("figure.toml"),
            format!("{}{line}{}", &whole[..at], &whole[at..]),
        )
        .unwrap();
    }

    /// Runs `velatura` here, with its own home folder (XDG base directories).
    pub(crate) fn run(&self, arguments: &[&str]) -> Output {
        Command::new(env!("CARGO_BIN_EXE_velatura"))
            .args(arguments)
            .current_dir(self.0.path())
            .env("XDG_DATA_HOME", self.path("data"))
            .env("XDG_STATE_HOME", self.path("state"))
            .output()
            .unwrap()
    }
}

/// As text.
pub(crate) fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

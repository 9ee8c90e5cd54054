//! `velatura new`: the first files of a figure, from its photo and a few strokes.

use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::{Args, ValueEnum};
use serde_json::json;
use velatura::{EXAMPLE_PAINTS, NewFigure, NewPart, colour_word, part_names};
use velatura_document::{Diagnostic, SourceText, counted};
use velatura_output::FolderSet;
use velatura_photo::flat::distance;
use velatura_pipeline::Error;
use velatura_pipeline::optics::calibrate::{PaintBox, calibrate};
use velatura_pipeline::optics::colour::Encoded;
use velatura_pipeline::optics::paints_file::read_paints_file;
use velatura_regions::{Marked, mask_png};

use crate::format::Format;
use crate::marked_photo::MarkedPhoto;
use crate::messages::{json as as_json, out};
use crate::paints::read_paints;

/// Codes by which a colour in a call may differ from that of the strokes (invented).
const SAME_COLOUR: u8 = 24;

/// Start a figure: write its first files from a photo with strokes
///
/// Draw one or two quick strokes on each part, every part in its own flat colour, and some black ones on the background. Draw them on
/// a transparent layer and save this layer alone as PNG, or draw with an opaque pen on a copy of the photo, as a phone does.
/// The files are figure.toml, mask.png, a first schemes.toml, and legend.png, which shows the parts and their names. Existing files are never overwritten.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  velatura new demo_images/lamplighter/lamplighter.jpg --strokes demo_images/lamplighter/strokes.png --part red=coat --example-paints --out my-figure"
)]
pub(crate) struct New {
    /// Photo of the underpainted figure: JPEG, PNG, TIFF or WebP
    #[arg(value_name = "PHOTO")]
    photo: String,
    /// Strokes on a transparent picture (PNG), or on a copy of the photo
    #[arg(long, value_name = "FILE")]
    strokes: String,
    /// Write the files to this folder; create it if needed [default: the photo's folder]
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// Name of the figure [default: the photo's file name]
    #[arg(long, value_name = "NAME")]
    name: Option<String>,
    /// Name the part whose strokes have this colour: a word such as red, or a code such as #e6194b
    #[arg(long = "part", value_name = "COLOUR=NAME", value_parser = named_part)]
    parts: Vec<(String, String)>,
    /// How the figure was prepared
    #[arg(long, value_enum, default_value_t = Prepared::BlackToWhite)]
    undercoat: Prepared,
    /// Use these paints in the first scheme (repeatable: the files join) [default: paints.toml in the folder, if there is one]
    #[arg(long, value_name = "FILE", conflicts_with = "example_paints")]
    paints: Vec<PathBuf>,
    /// Write a paints.toml with invented paints too, to try everything before you have made a card of your own
    #[arg(long)]
    example_paints: bool,
    /// Output format
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub(super) format: Format,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Prepared {
    /// Dark primer, drybrushed towards white
    BlackToWhite,
    /// White primer, with a dark wash in the recesses
    WhiteWithWash,
    /// A single flat primer
    Plain,
}

fn named_part(text: &str) -> Result<(String, String), String> {
    match text.split_once('=') {
        Some((colour, name)) if !colour.trim().is_empty() && !name.trim().is_empty() => {
            Ok((colour.trim().to_lowercase(), name.trim().to_owned()))
        }
        _ => Err("expected a colour and a name, such as red=coat".to_owned()),
    }
}

impl New {
    pub(super) fn run(self) -> Result<ExitCode, Error> {
        let photo_path = Path::new(&self.photo);
        let folder = match &self.out {
            Some(folder) => folder.clone(),
            // A file name alone has an empty path as its folder.
            None => Path::new(".").join(photo_path.parent().unwrap_or(Path::new(""))),
        };
        let mut names = vec!["figure.toml", "schemes.toml", "mask.png", "legend.png"];
        if self.example_paints {
            names.push("paints.toml");
        }
        never_over(&folder, &names)?;
        let paints = self.first_paints(&folder)?;

        let marked = MarkedPhoto::read(&self.photo, &self.strokes, Marked::Strokes)?;
        let parts = self.named(&marked.marks.colours)?;
        let (made, _) = velatura::session()
            .build()?
            .regions(&marked.photo, &marked.marks)?;
        marked.warn(self.format);
        let figure = NewFigure {
            name: self.figure_name(photo_path),
            photo: relative(photo_path, &folder),
            mask: "mask.png".to_owned(),
            undercoat: self.undercoat.written().to_owned(),
            parts,
        };
        let part_names = figure.parts.iter().map(|part| part.name.clone());
        let legend = marked.overlay(&made, part_names.collect())?;
        let mut contents = vec![
            figure.figure_text().into_bytes(),
            figure.schemes_text(paints.as_ref()).into_bytes(),
            mask_png(&made, marked.photo.width),
            legend,
        ];
        if self.example_paints {
            contents.push(EXAMPLE_PAINTS.as_bytes().to_vec());
        }
        let inputs = [&self.photo, &self.strokes].map(PathBuf::from);
        let files = FolderSet::open(&folder, &names, &inputs)?;
        for (name, bytes) in names.iter().zip(&contents) {
            let mut file = files.begin(name)?;
            file.write_all(bytes)
                .map_err(|error| Error::io(shown(&folder, name), "writing a file", error))?;
            file.finish()?;
        }
        files.commit()?;
        self.print(&figure, &folder, &names, paints.is_some())?;
        Ok(ExitCode::SUCCESS)
    }

    fn figure_name(&self, photo: &Path) -> String {
        let stem = photo
            .file_stem()
            .map(|stem| stem.to_string_lossy().into_owned());
        self.name
            .clone()
            .or(stem)
            .unwrap_or_else(|| "figure".to_owned())
    }

    /// The paints for the first scheme.
    fn first_paints(&self, folder: &Path) -> Result<Option<PaintBox>, Error> {
        if self.example_paints {
            let source = SourceText::from_bytes("paints.toml", EXAMPLE_PAINTS.as_bytes().to_vec())?;
            let file = read_paints_file(&source).map_err(Error::inputs)?.value;
            return Ok(Some(calibrate(&file).value));
        }
        let usual = [folder.join("paints.toml")];
        let files = match &*self.paints {
            [] if usual[0].exists() => &usual,
            [] => return Ok(None),
            files => files,
        };
        read_paints(files, self.format).map(|(paints, _)| Some(paints))
    }

    /// A name for every colour of strokes.
    fn named(&self, colours: &[Encoded]) -> Result<Vec<NewPart>, Error> {
        let mut names = part_names(colours);
        for (wanted, name) in &self.parts {
            let is_meant = |colour: &Encoded| match wanted.parse::<Encoded>() {
                // A photo's encoder changes a colour a little.
                Ok(code) => distance(code, *colour) <= SAME_COLOUR,
                Err(_) => colour_word(*colour) == wanted,
            };
            let found: Vec<usize> = (0..colours.len())
                .filter(|at| is_meant(&colours[*at]))
                .collect();
            let [at] = found[..] else {
                let known = colours
                    .iter()
                    .map(|colour| format!("{} ({colour})", colour_word(*colour)))
                    .collect::<Vec<_>>()
                    .join(", ");
                let count = match found.len() {
                    0 => "no strokes".to_owned(),
                    count => format!("{count} colours of strokes"),
                };
                let found = format!("\"{wanted}\" is the colour of {count}");
                return Err(Error::call(
                    Diagnostic::error("", found)
                        .within("--part")
                        .expected(format!("one of the colours of {}: {known}", self.strokes))
                        .help("write the code of the colour where a word is not enough"),
                ));
            };
            names[at].clone_from(name);
        }
        let mut sorted = names.clone();
        sorted.sort();
        if let Some(twice) = sorted.windows(2).find(|pair| pair[0] == pair[1]) {
            let found = format!("two parts are called \"{}\"", twice[0]);
            return Err(Error::call(
                Diagnostic::error("", found)
                    .within("--part")
                    .expected("a different name for every part")
                    .help("draw the strokes of one part in one colour"),
            ));
        }
        let parts = names.into_iter().zip(colours);
        Ok(parts
            .map(|(name, colour)| NewPart {
                name,
                colour: *colour,
            })
            .collect())
    }

    fn print(
        &self,
        figure: &NewFigure,
        folder: &Path,
        names: &[&str],
        has_paints: bool,
    ) -> Result<(), Error> {
        if self.format == Format::Json {
            let parts: Vec<_> = figure
                .parts
                .iter()
                .map(|part| json!({ "name": part.name, "mask_colour": part.colour.to_string() }))
                .collect();
            let files: Vec<_> = names.iter().map(|name| shown(folder, name)).collect();
            return out(&as_json(&json!({
                "format": "velatura-new/1",
                "figure": figure.name,
                "parts": parts,
                "files": files,
            }))?);
        }
        let mut text = format!(
            "{} of \"{}\"\n",
            counted(figure.parts.len(), "part"),
            figure.name
        );
        for part in &figure.parts {
            text += &format!("  {}  {}\n", part.colour, part.name);
        }
        for name in names {
            let stem = name.split('.').next().unwrap_or(name);
            text += &format!("{stem:<9} {}\n", shown(folder, name));
        }
        text += "\nLook at the legend. Where a part is wrong, add a stroke and make the mask again with `velatura regions`.\n";
        if !has_paints && !folder.join("paints.toml").exists() {
            text += "Put a paints.toml into the folder: `velatura swatch` reads it from a photo of your drawdowns.\n";
        }
        text += &format!(
            "Then: velatura render {} --out {}\n",
            shown(folder, "figure.toml"),
            shown(folder, "out")
        );
        out(&text)
    }
}

impl Prepared {
    /// As a figure file spells it.
    fn written(self) -> &'static str {
        match self {
            Self::BlackToWhite => "black-to-white",
            Self::WhiteWithWash => "white-with-wash",
            Self::Plain => "plain",
        }
    }
}

fn shown(folder: &Path, name: &str) -> String {
    let folder = folder.strip_prefix(".").unwrap_or(folder);
    folder.join(name).display().to_string()
}

/// Refuses names that exist already, all of them at once.
fn never_over(folder: &Path, names: &[&str]) -> Result<(), Error> {
    let problems: Vec<Diagnostic> = names
        .iter()
        .filter(|name| folder.join(name).symlink_metadata().is_ok())
        .map(|name| {
            Diagnostic::error(shown(folder, name), "this file exists already")
                .expected("a folder without a figure")
                .help("choose another folder with --out")
        })
        .collect();
    if problems.is_empty() {
        Ok(())
    } else {
        Err(Error::Call(problems))
    }
}

/// The path of a file as seen from a folder. Both may be relative to the current folder.
fn relative(file: &Path, folder: &Path) -> String {
    let whole = |path: &Path| std::path::absolute(path).unwrap_or_else(|_| path.to_path_buf());
    let path = pathdiff::diff_paths(whole(file), whole(folder));
    path.unwrap_or_else(|| whole(file)).display().to_string()
}

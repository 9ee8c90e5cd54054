//! `velatura swatch`: a paints file from a photo of drawdowns, and the card to print for them.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::{Args, ValueEnum};
use serde_json::{Value, json};
use velatura_document::{Diagnostic, counted, for_terminal};
use velatura_photo::{DecodeLimits, Photo, decode_photo};
use velatura_pipeline::Error;
use velatura_pipeline::optics::colour::Encoded;
use velatura_pipeline::optics::paints_file::{DrawnPaint, Pair, drawdowns_text};
use velatura_sheet::{ChartRow, number_places, with_legend, write_picture};
use velatura_swatch::{
    CardGeometry, CardReading, FieldReading, LayoutFile, Overlay, Paper, card_pdf, card_svg,
    overlay, read_card, read_layout_file,
};

use super::swatch_names::listed_layout;
use crate::chips::Chips;
use crate::files::{read_picture, read_text};
use crate::format::Format;
use crate::hints::all_with_options;
use crate::messages::{after_warnings, json as as_json, json_value, out, out_with_colours, warn};
use crate::outputs::{Existing, Kind, OutputPlace, place, two_files, write_whole};
use crate::picture::PictureArg;

const EXAMPLES: &str = "\
Examples:
  velatura swatch --template card.pdf --names \"Oil Amber, Deep Eel, Gull White\" --tints \"Gull White 1:4\"
  velatura swatch photo.jpg --layout card.toml --out paints.toml --overlay look.png
  velatura swatch --template card.pdf --paper a4 --layout layout.toml
  velatura swatch demo_images/card/card.jpg --layout demo_images/card/layout.toml --out paints.toml --overlay look.png

A layout lists the drawdowns in their order on the card:
  format = \"velatura-layout/1\"

  [[field]]
  name = \"Oil Amber\"

  [[field]]                 # a tint: this paint and another, parts by volume
  name = \"Oil Amber\"
  with = \"Gull White\"
  parts = [1, 9]

--names makes such a layout: each paint, followed by its tints, from the upper left place on. With --template it is written next to
the card, with PHOTO it is used at once, and alone it is the result.

Without --out the paints file, or the layout, goes to standard output.";

/// Make a paints file from a photo of drawdowns on a card, or print such a card
///
/// The black and white of the card set white balance, exposure and light falloff. Its corner marks show where every field is.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct Swatch {
    /// Photo of the card
    #[arg(
        value_name = "PHOTO",
        required_unless_present_any = ["template", "names"],
        conflicts_with = "template"
    )]
    photo: Option<String>,
    /// Layout file: what is where on the card; with --template, the names to print
    #[arg(long, value_name = "FILE", required_unless_present_any = ["template", "names"])]
    layout: Option<String>,
    /// Paints in their order on the card, with commas between them, in place of a layout file (repeatable)
    #[arg(long, value_name = "NAME, …", conflicts_with = "layout")]
    names: Vec<String>,
    /// Also a mix of each of these paints with another of them, parts by volume, that paint last: "Gull White 1:4" (repeatable)
    #[arg(long, value_name = "NAME A:B, …", requires = "names")]
    tints: Vec<String>,
    /// Write the paints file here, or without a photo the layout of --names [default: standard output]
    #[arg(long, value_name = "FILE", conflicts_with = "template")]
    out: Option<String>,
    /// Write a preview here: the photo with the fields that were found (PNG)
    #[arg(long, value_name = "FILE", requires = "photo")]
    overlay: Option<String>,
    #[command(flatten)]
    picture: PictureArg,
    /// Write the card to print here, as .svg or .pdf; with --names also its layout, as .toml
    #[arg(long, value_name = "FILE", conflicts_with = "picture")]
    template: Option<String>,
    /// Paper size of the card to print
    #[arg(long, value_enum, default_value_t = PaperWord::A4, conflicts_with = "photo")]
    paper: PaperWord,
    /// Overwrite existing files
    #[arg(long)]
    force: bool,
    /// Output format
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub(super) format: Format,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum PaperWord {
    /// 210 × 297 mm
    A4,
    /// 8.5 × 11 inch
    Letter,
}

impl Swatch {
    pub(super) fn run(self) -> Result<ExitCode, Error> {
        match (&self.template, &self.photo) {
            (Some(template), _) => self.print(template)?,
            (None, Some(photo)) => self.read(photo)?,
            // clap requires one of the three.
            (None, None) => self.list()?,
        }
        Ok(ExitCode::SUCCESS)
    }

    fn inputs(&self) -> Vec<PathBuf> {
        self.photo
            .iter()
            .chain(&self.layout)
            .map(PathBuf::from)
            .collect()
    }

    fn layout(&self) -> Result<Option<LayoutFile>, Error> {
        let source = match &self.layout {
            Some(name) => read_text(name)?,
            None if self.names.is_empty() => return Ok(None),
            None => listed_layout(&self.names, &self.tints)?,
        };
        let layout = read_layout_file(&source).map_err(Error::inputs)?;
        Ok(Some(after_warnings(layout, self.format)))
    }

    /// The layout of --names as the result.
    fn list(&self) -> Result<(), Error> {
        let place = self
            .out
            .as_ref()
            .map(|path| place(path, &[], Existing::unless(self.force)))
            .transpose()?;
        let layout = listed_layout(&self.names, &self.tints)?;
        let text = layout.text();
        let (Some(place), Some(name)) = (place, &self.out) else {
            return match self.format {
                Format::Json => out(&as_json(&layout_json(None, text))?),
                Format::Text => out(text),
            };
        };
        write_whole(&[(place, text.as_bytes().to_vec())], &[])?;
        match self.format {
            Format::Json => out(&as_json(&layout_json(Some(name), text))?),
            Format::Text => out(&format!("layout    {name}\n")),
        }
    }

    fn print(&self, template: &str) -> Result<(), Error> {
        let inputs = self.inputs();
        let kind = template
            .rsplit_once('.')
            .map(|(_, kind)| kind.to_ascii_lowercase());
        let existing = match kind.as_deref() {
            Some("svg") => Existing::only(Kind::Svg, self.force),
            Some("pdf") => Existing::only(Kind::Pdf, self.force),
            _ => Existing::unless(self.force),
        };
        let card_place = place(template, &inputs, existing)?;
        let layout = self.layout()?;
        // The photo must be read with the layout that was printed, so it has a file of its own.
        let layout_name = (!self.names.is_empty()).then(|| {
            Path::new(template)
                .with_extension("toml")
                .display()
                .to_string()
        });
        let layout_place = layout_name
            .as_ref()
            .map(|name| place(name, &inputs, Existing::unless(self.force)))
            .transpose()?;
        if let Some(own) = layout
            .as_ref()
            .filter(|layout| layout.geometry != CardGeometry::printed())
        {
            let problem =
                Diagnostic::error(own.source.name(), "this layout describes your own card")
                    .within("[card]")
                    .expected("a layout for the printed card, without [card]")
                    .help("remove [card], or print the card without --layout");
            return Err(Error::Input(vec![problem]));
        }
        let paper = match self.paper {
            PaperWord::A4 => Paper::A4,
            PaperWord::Letter => Paper::Letter,
        };
        let bytes = match kind.as_deref() {
            Some("svg") => card_svg(paper, layout.as_ref()).into_bytes(),
            Some("pdf") => card_pdf(paper, layout.as_ref()),
            _ => {
                return Err(Error::call(
                    Diagnostic::error(template, "cannot tell the file type from the name")
                        .within("--template")
                        .expected("a name that ends in .svg or .pdf"),
                ));
            }
        };
        let mut files = vec![(card_place, bytes)];
        if let (Some(place), Some(layout)) = (layout_place, &layout) {
            files.push((place, layout.source.text().as_bytes().to_vec()));
        }
        write_whole(&files, &inputs)?;
        match (self.format, layout_name) {
            (Format::Json, layout) => out(&as_json(
                &json!({ "format": "velatura-swatch-card/1", "card": template, "layout": layout, "places": CardGeometry::printed().places() }),
            )?),
            (Format::Text, layout) => {
                let mut text = format!("card      {template}\n");
                if let Some(name) = &layout {
                    text += &format!("layout    {name}\n");
                }
                text += "print     at 100 %, on plain white matte paper; the line at the bottom must measure 100 mm\nthen      cover the dark strips with matte black card or paint: printer black is not black enough\n";
                if let Some(name) = &layout {
                    text += &format!(
                        "later     velatura swatch PHOTO --layout {name} --out paints.toml\n"
                    );
                }
                out(&text)
            }
        }
    }

    fn read(&self, photo_name: &str) -> Result<(), Error> {
        let inputs = self.inputs();
        // A paints.toml may have been edited by hand; pictures are made again each time.
        let existing = if self.force {
            Existing::Replace
        } else {
            Existing::Keep
        };
        let judged = |path: &Option<String>, existing| -> Result<Option<OutputPlace>, Error> {
            path.as_ref()
                .map(|path| place(path, &inputs, existing))
                .transpose()
        };
        let out_place = judged(&self.out, existing)?;
        let overlay_place = judged(&self.overlay, Existing::only(Kind::Png, self.force))?;
        let picture = self.picture.planned(&inputs)?;
        if let (Some(out), Some(overlay)) = (&out_place, &overlay_place) {
            two_files(out, overlay, "--overlay")?;
        }
        if let Some(picture) = &picture {
            for other in out_place.iter().chain(&overlay_place) {
                two_files(other, picture.place(), "--picture")?;
            }
        }
        let Some(layout) = self.layout()? else {
            let found = "--layout is missing";
            return Err(Error::refused("", found, "--layout FILE", ""));
        };
        let photo = decode_photo(
            photo_name,
            &read_picture(photo_name)?,
            &DecodeLimits::default(),
        )?;
        let photo = after_warnings(photo, self.format);
        let (reading, warnings) = read_card(photo_name, &photo, &layout)
            .map_err(Error::inputs)?
            .into_parts();
        warnings
            .iter()
            .for_each(|problem| warn(problem, self.format));
        let paints = drawn(&reading);
        let cards = [layout.cards.black, layout.cards.white];
        let text = drawdowns_text(photo_name, cards, layout.cards.specular, &paints);

        let mut files = Vec::new();
        if let Some(place) = out_place {
            files.push((place, text.clone().into_bytes()));
        }
        if let Some(place) = overlay_place {
            files.push((place, labelled(&photo, &layout, &reading)?));
        }
        write_whole(&files, &inputs)?;
        let picture = match picture {
            Some(picture) => picture.write("Drawdowns as read", chart_rows(&reading))?,
            None => String::new(),
        };
        match (self.format, &self.out) {
            (Format::Json, _) => out(&as_json(&report(photo_name, &reading, &warnings)?)?),
            (Format::Text, Some(out_name)) => self.summary(out_name, &reading, &paints, &picture),
            (Format::Text, None) => out(&text),
        }
    }

    fn summary(
        &self,
        out_name: &str,
        reading: &CardReading,
        paints: &[DrawnPaint],
        picture: &str,
    ) -> Result<(), Error> {
        let chips = Chips::of_standard_output();
        let mut text = String::new();
        for field in &reading.fields {
            let [black, white] = [field.over_black.srgb, field.over_white.srgb];
            text += &format!(
                "{}  over black {}{black}  over white {}{white}\n",
                for_terminal(&field.entry.title()),
                chips.chip(black),
                chips.chip(white)
            );
        }
        out_with_colours(&text)?;
        let mut text = String::new();
        if let Some(chart) = &reading.chart {
            text += &format!(
                "chart     mean ΔE {:.1} with white balance alone, {:.1} with the matrix (worst {:.1})\n",
                chart.mean_before, chart.mean_after, chart.worst_after
            );
        }
        let tints: usize = paints.iter().map(|paint| paint.tints.len()).sum();
        text += &format!(
            "{}, {}\nwritten   {out_name}\n",
            counted(paints.len(), "paint"),
            counted(tints, "tint")
        );
        if let Some(overlay) = &self.overlay {
            text += &format!("overlay   {overlay}\n");
        }
        text += picture;
        text += &format!("next      velatura check {out_name}\n");
        out(&text)
    }
}

fn layout_json(file: Option<&str>, text: &str) -> Value {
    json!({ "format": "velatura-swatch-layout/1", "file": file, "layout_toml": text })
}

/// Rows of a chart: each drawdown over black and over white.
fn chart_rows(reading: &CardReading) -> Vec<ChartRow> {
    reading
        .fields
        .iter()
        .map(|field| ChartRow {
            title: field.entry.title(),
            note: String::new(),
            chips: [
                ("black", field.over_black.srgb),
                ("white", field.over_white.srgb),
            ]
            .map(|(card, colour)| (colour, format!("over {card} {colour}")))
            .to_vec(),
        })
        .collect()
}

/// The overlay as PNG, its fields numbered, with a legend of their names.
fn labelled(photo: &Photo, layout: &LayoutFile, reading: &CardReading) -> Result<Vec<u8>, Error> {
    let Overlay {
        mut picture,
        below_fields,
    } = overlay(photo, layout, reading);
    number_places(&mut picture, &below_fields);
    let names: Vec<(Encoded, String)> = (1..)
        .zip(&reading.fields)
        .map(|(number, field)| {
            let name = format!("{number}  {}", field.entry.title());
            (field.over_white.srgb, name)
        })
        .collect();
    let (pixels, _) = picture.as_raw().as_chunks::<3>();
    write_picture(Vec::new(), &with_legend(pixels, picture.width(), &names))
}

/// Paints with their tints, in the order of the layout.
fn drawn(reading: &CardReading) -> Vec<DrawnPaint> {
    let pair = |field: &FieldReading| Pair {
        over_black: field.over_black.srgb,
        over_white: field.over_white.srgb,
    };
    reading
        .fields
        .iter()
        .filter(|field| field.entry.tint.is_none())
        .map(|field| DrawnPaint {
            name: field.entry.name.value.clone(),
            owned: field.entry.owned,
            pair: pair(field),
            tints: reading
                .fields
                .iter()
                .filter(|tint| tint.entry.name.value == field.entry.name.value)
                .filter_map(|tint| {
                    let mixed = tint.entry.tint.as_ref()?;
                    Some((mixed.with.value.clone(), mixed.parts, pair(tint)))
                })
                .collect(),
        })
        .collect()
}

fn report(photo: &str, reading: &CardReading, warnings: &[Diagnostic]) -> Result<Value, Error> {
    let fields: Vec<Value> = reading
        .fields
        .iter()
        .map(|field| {
            let tint = field.entry.tint.as_ref();
            Ok(json!({
                "name": field.entry.name.value,
                "with": tint.map(|tint| &tint.with.value),
                "parts": json_value(&tint.map(|tint| tint.parts))?,
                "place": field.entry.place + 1,
                "owned": field.entry.owned,
                "over_black": json_value(&field.over_black)?,
                "over_white": json_value(&field.over_white)?,
            }))
        })
        .collect::<Result<_, Error>>()?;
    Ok(json!({
        "format": "velatura-swatch/1",
        "photo": photo,
        "marks": json_value(&reading.marks)?,
        "corners_px": json_value(&reading.corners_px)?,
        "light": json_value(&reading.light)?,
        "chart": json_value(&reading.chart)?,
        "fields": fields,
        "warnings": all_with_options(warnings),
    }))
}

//! `velatura regions`: a mask from a few rough strokes, or from a rough mask.

use std::path::PathBuf;
use std::process::ExitCode;

use clap::{ArgGroup, Args};
use serde_json::json;
use velatura::colour_word;
use velatura_document::counted;
use velatura_pipeline::Error;
use velatura_regions::{Fate, Labels, MOST_REFINE_PX, Marked, mask_png, refined};

use crate::format::Format;
use crate::marked_photo::MarkedPhoto;
use crate::messages::{json as as_json, out};
use crate::outputs::{Existing, Kind, place, two_files, write_whole};

/// Make a mask of the figure's parts from a few rough strokes on its photo
///
/// Draw one or two quick strokes on each part, every part in its own flat colour, and some black ones on the background. Draw them on
/// a transparent layer and save this layer alone as PNG, or draw with an opaque pen on a copy of the photo itself, as a phone does.
/// On a copy, white marks the background too. The mask uses the same colours. Look at the overlay, add a stroke where it went
/// wrong, and run the command again. With --refine, a rough mask that you made by hand is fitted to the
/// edges in the photo instead.
#[derive(Debug, Args)]
#[command(
    group = ArgGroup::new("from").required(true),
    after_help = "Examples:\n  velatura regions demo_images/lamplighter/lamplighter.jpg --strokes demo_images/lamplighter/strokes.png --out mask.png --overlay look.png\n  velatura regions photo.jpg --refine rough-mask.png --refine-px 8 --out mask.png"
)]
pub(crate) struct Regions {
    /// Photo of the figure: JPEG, PNG, TIFF or WebP
    #[arg(value_name = "PHOTO")]
    photo: String,
    /// Strokes on a transparent picture (PNG), or on a copy of the photo; black marks the background
    #[arg(long, value_name = "FILE", group = "from")]
    strokes: Option<String>,
    /// Fit this rough mask to the edges in the photo
    #[arg(long, value_name = "MASK", group = "from")]
    refine: Option<String>,
    /// Let --refine move a border by at most N pixels (a diagonal step counts as one)
    #[arg(long, value_name = "N", default_value_t = 6, value_parser = clap::value_parser!(u8).range(1..=i64::from(MOST_REFINE_PX)))]
    refine_px: u8,
    /// Write the mask here (PNG)
    #[arg(long, value_name = "FILE")]
    out: String,
    /// Write a preview here: the photo tinted by region, with a legend (PNG)
    #[arg(long, value_name = "FILE")]
    overlay: Option<String>,
    /// Overwrite existing files, even if they are not PNG files
    #[arg(long)]
    force: bool,
    /// Output format
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub(super) format: Format,
}

impl Regions {
    pub(super) fn run(self) -> Result<ExitCode, Error> {
        let (marks_path, marked) = match (&self.strokes, &self.refine) {
            (Some(path), _) => (path, Marked::Strokes),
            (None, Some(path)) => (path, Marked::RoughMask),
            (None, None) => {
                let found = "--strokes and --refine are both missing";
                return Err(Error::refused("", found, "one of the two", ""));
            }
        };
        let inputs = [&self.photo, marks_path].map(PathBuf::from);
        // Users repeat this until the mask is right, so an older mask is replaced.
        let existing = Existing::only(Kind::Png, self.force);
        let judged = |path: &str| place(path, &inputs, existing);
        let mask_place = judged(&self.out)?;
        let overlay_place = self.overlay.as_deref().map(judged).transpose()?;
        if let Some(overlay) = &overlay_place {
            two_files(&mask_place, overlay, "--overlay")?;
        }
        let on_photo = MarkedPhoto::read(&self.photo, marks_path, marked)?;
        let MarkedPhoto { photo, marks, .. } = &on_photo;
        let made = match marked {
            Marked::Strokes => velatura::session().build()?.regions(photo, marks)?.0,
            Marked::RoughMask => refined(photo, marks, self.refine_px),
        };
        on_photo.warn(self.format);
        let mut files = vec![(mask_place, mask_png(&made, photo.width))];
        if let Some(place) = overlay_place {
            files.push((place, on_photo.overlay(&made, legend(&made))?));
        }
        write_whole(&files, &inputs)?;
        self.print(&made)?;
        Ok(ExitCode::SUCCESS)
    }

    fn print(&self, made: &Labels) -> Result<(), Error> {
        let palette = made.palette();
        let pixels = made.pixels();
        let became = |fate: Fate| match fate {
            Fate::Kept => None,
            Fate::GivenTo(label) => Some(palette[usize::from(label)]),
        };
        if self.format == Format::Json {
            let regions: Vec<_> = made
                .colours
                .iter()
                .zip(&pixels[1..])
                .map(|(colour, pixels)| json!({ "mask_colour": colour.to_string(), "pixels": pixels }))
                .collect();
            let islands: Vec<_> = made
                .islands
                .iter()
                .map(|island| {
                    json!({
                        "mask_colour": palette[usize::from(island.label)].to_string(),
                        "pixels": island.pixels,
                        "at": [island.at.0, island.at.1],
                        "given_to": became(island.fate).map(|colour| colour.to_string()),
                    })
                })
                .collect();
            return out(&as_json(&json!({
                "format": "velatura-regions/1",
                "mask": self.out,
                "overlay": self.overlay,
                "background_pixels": pixels[0],
                "regions": regions,
                "islands": islands,
            }))?);
        }
        let whole = pixels.iter().sum::<usize>().max(1);
        let mut text = counted(made.colours.len(), "region") + "\n";
        for (colour, pixels) in palette.iter().zip(&pixels) {
            let what = if *colour == palette[0] {
                "  background"
            } else {
                ""
            };
            text += &format!(
                "  {colour}  {:>3} %{what}\n",
                (100 * pixels + whole / 2) / whole
            );
        }
        for island in &made.islands {
            let (x, y) = island.at;
            let fate = match became(island.fate) {
                None => "kept; add a stroke there if it is wrong".to_owned(),
                Some(colour) => format!("given to {colour}"),
            };
            text += &format!(
                "  {} of {} at ({x}, {y}) without a stroke: {fate}\n",
                counted(island.pixels, "pixel"),
                palette[usize::from(island.label)]
            );
        }
        text += &format!("mask      {}\n", self.out);
        if let Some(path) = &self.overlay {
            text += &format!("overlay   {}\n", path);
        }
        out(&text)
    }
}

/// What the legend says of each region: its colour in the mask and its share of the picture.
fn legend(made: &Labels) -> Vec<String> {
    let pixels = made.pixels();
    let whole = pixels.iter().sum::<usize>().max(1);
    let regions = made.colours.iter().zip(&pixels[1..]);
    regions
        .map(|(colour, pixels)| {
            let percent = (100 * pixels + whole / 2) / whole;
            format!("{} {colour}, {percent} %", colour_word(*colour))
        })
        .collect()
}

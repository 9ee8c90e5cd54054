//! `velatura card`: a scheme as a page to paint from.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::{Args, ValueEnum};
use serde_json::json;
use velatura::{DiskFiles, Error, Job};
use velatura_bench_card::{
    BENCH_CARD_FORMAT, Bench, BenchCard, PaintingOrder, bench_cards, html_pages, pdf_pages,
    text_pages,
};
use velatura_document::Range;

use super::scheme_named::index_of;
use crate::attached::{PluginArgs, Purpose, job_files, session};
use crate::format::Format;
use crate::messages::{done, json as as_json, out, warn};
use crate::number::number;
use crate::outputs::{Existing, Kind, OutputPlace, place, write_whole};
use crate::signals;

/// Make a bench card: one scheme on one page, to paint from
///
/// The card shows the figure with numbered parts, the undercoat, every coat in painting order with its mix in drops and the
/// colours that it dries to, slips to avoid, amounts for all figures, and minutes. Amounts and minutes are estimates; change
/// what they are based on with the options below. The ending of --out chooses the form: .html (prints on one page, fits a phone),
/// .pdf, .txt or .json. Without --out the card is printed as text.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  velatura card demo_images/lamplighter/figure.toml --scheme Foglight --out card.pdf"
)]
pub(crate) struct Card {
    /// Figure file: names the photo, mask, undercoat and regions
    #[arg(value_name = "FIGURE.toml")]
    figure: PathBuf,
    /// Scheme to paint; repeat it for several pages [default: the only one]
    #[arg(long, value_name = "NAME", conflicts_with = "all")]
    scheme: Vec<String>,
    /// Make a page for every scheme
    #[arg(long)]
    all: bool,
    /// Order of the parts
    #[arg(long, value_enum, default_value_t = Order::LightFirst)]
    order: Order,
    /// Read paints from FILE (repeatable: the files join) [default: paints.toml in the figure's folder]
    #[arg(long, value_name = "FILE")]
    paints: Vec<PathBuf>,
    /// Read schemes from FILE [default: schemes.toml in the figure's folder]
    #[arg(long, value_name = "FILE")]
    schemes: Option<PathBuf>,
    /// Write the card here [default: standard output, as text]
    #[arg(long, value_name = "FILE")]
    out: Option<String>,
    /// Overwrite an existing file of another kind
    #[arg(long, requires = "out")]
    force: bool,
    /// Thickness of wet paint at film 1
    #[arg(long, value_name = "MM", default_value_t = Bench::default().wet_film_mm, value_parser = wet_film)]
    wet_film_mm: f64,
    /// Volume of a drop from your bottle
    #[arg(long, value_name = "ML", default_value_t = Bench::default().drop_ml, value_parser = drop_size)]
    drop_ml: f64,
    /// Share of the paint that stays on palette and brush, per paint that reaches the figure
    #[arg(long, value_name = "SHARE", default_value_t = Bench::default().loss, value_parser = loss)]
    loss: f64,
    /// Minutes for one thin coat on one part
    #[arg(long, value_name = "MIN", default_value_t = Bench::default().minutes_per_coat, value_parser = minutes)]
    minutes_per_coat: f64,
    #[command(flatten)]
    plugins: PluginArgs,
    /// Output format
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub(super) format: Format,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Order {
    /// As the figure file lists them
    File,
    /// From light to dark
    LightFirst,
    /// From the deepest part to the most raised one
    InsideOut,
}

impl From<Order> for PaintingOrder {
    fn from(order: Order) -> Self {
        match order {
            Order::File => Self::File,
            Order::LightFirst => Self::LightFirst,
            Order::InsideOut => Self::InsideOut,
        }
    }
}

fn wet_film(text: &str) -> Result<f64, String> {
    number(text, Range::new(0.001, 5.0).unit("mm"))
}

fn drop_size(text: &str) -> Result<f64, String> {
    number(text, Range::new(0.001, 5.0).unit("ml"))
}

fn loss(text: &str) -> Result<f64, String> {
    number(text, Range::new(0.0, 20.0))
}

fn minutes(text: &str) -> Result<f64, String> {
    number(text, Range::new(0.0, 1000.0).unit("min"))
}

/// The form of a card, by the ending of its file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Form {
    Html,
    Pdf,
    Text,
    Json,
}

impl Form {
    fn of(path: &str) -> Result<Self, Error> {
        let ending = Path::new(path)
            .extension()
            .and_then(|ending| ending.to_str());
        match ending.map(str::to_ascii_lowercase).as_deref() {
            Some("html" | "htm") => Ok(Self::Html),
            Some("pdf") => Ok(Self::Pdf),
            Some("txt") => Ok(Self::Text),
            Some("json") => Ok(Self::Json),
            _ => Err(Error::refused(
                path,
                "the name does not say what form the card should have",
                "a name that ends in .html, .pdf, .txt or .json",
                "add one of these endings, for example card.pdf",
            )),
        }
    }

    fn existing(self, force: bool) -> Existing {
        match self {
            Self::Html => Existing::only(Kind::Html, force),
            Self::Pdf => Existing::only(Kind::Pdf, force),
            Self::Text | Self::Json => Existing::unless(force),
        }
    }
}

impl Card {
    pub(super) fn run(self) -> Result<ExitCode, Error> {
        let cancel = signals::cancel();
        let session =
            session(&self.plugins, &[&self.figure], self.format, Purpose::Work)?.build()?;
        let files = job_files(&session, &self.figure, &self.paints, self.schemes.as_ref());
        let form = self.out.as_deref().map(Form::of).transpose()?;
        let job = session.load_files(&DiskFiles, &files)?;
        let inputs = job.inputs();
        let target = match (&self.out, form) {
            (Some(path), Some(form)) => {
                Some((place(path, &inputs, form.existing(self.force))?, form))
            }
            _ => None,
        };
        for warning in &job.warnings {
            warn(warning, self.format);
        }
        let bench = self.bench();
        let cards = bench_cards(
            &job,
            &self.chosen(&job)?,
            self.order.into(),
            &bench,
            &cancel,
        );
        match cards {
            Ok(cards) => {
                self.write(&cards, target, &inputs)?;
                Ok(done(&job.left_out(), self.format))
            }
            Err(Error::Cancelled) => Ok(signals::exit_code(&cancel)),
            Err(error) => Err(error),
        }
    }

    fn bench(&self) -> Bench {
        let mut bench = Bench::default();
        bench.wet_film_mm = self.wet_film_mm;
        bench.drop_ml = self.drop_ml;
        bench.loss = self.loss;
        bench.minutes_per_coat = self.minutes_per_coat;
        bench
    }

    fn chosen(&self, job: &Job) -> Result<Vec<usize>, Error> {
        if self.all {
            return Ok((0..job.schemes.len()).collect());
        }
        match self.scheme.as_slice() {
            [] => Ok(vec![index_of(job, "--scheme", None)?]),
            names => names
                .iter()
                .map(|name| index_of(job, "--scheme", Some(name)))
                .collect(),
        }
    }

    fn write(
        &self,
        cards: &[BenchCard],
        target: Option<(OutputPlace, Form)>,
        inputs: &[PathBuf],
    ) -> Result<(), Error> {
        let data = || as_json(&json!({ "format": BENCH_CARD_FORMAT, "cards": cards }));
        if let Some((target, form)) = target {
            let bytes = match form {
                Form::Html => html_pages(cards).into_bytes(),
                Form::Pdf => pdf_pages(cards),
                Form::Text => text_pages(cards).into_bytes(),
                Form::Json => data()?.into_bytes(),
            };
            write_whole(&[(target, bytes)], inputs)?;
        }
        match (self.format, &self.out) {
            (Format::Json, _) => out(&data()?),
            (Format::Text, None) => out(&text_pages(cards)),
            (Format::Text, Some(name)) => {
                let names: Vec<&str> = cards.iter().map(|card| &*card.scheme).collect();
                out(&format!("{name}: {}\n", names.join(", ")))
            }
        }
    }
}

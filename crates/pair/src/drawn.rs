//! Draws `pair.png`: the verdict, both teams close up, with other colour vision, across the table, in numbers, and how it was made.
//!
//! In: the report and its pictures. Out: 8-bit sRGB, meant to be viewed without scaling. Each part is below the previous one,
//! so the page is as tall as its content.

use image::{Rgb, RgbImage, imageops};

use super::figures::Sight;
use super::pictures::{EYES_PX, Pictures, Standing};
use super::report::{EyeReport, PairReport, TeamReport, ViewReport};
use super::words;
use velatura_sheet::drawing::{CHIP_EDGE, GROUND, INK, SMALL_INK, draw_line, fill};
use velatura_sheet::text::{Face, fitted_line, wrapped_lines};
use velatura_sheet::{Rect, SMALLEST_CAP_PX, line_height};

/// Width of the page in pixels: a common screen's (choice).
const WIDTH: u32 = 1920;
const MARGIN: u32 = 40;
const GAP: u32 = 20;
const CONTENT: u32 = WIDTH - 2 * MARGIN;
/// Width of the two close-ups with the gap between them; the rest is for other colour vision.
const LEFT: u32 = 1040;
/// Width of the two close-ups alone, in pixels.
pub(crate) const CLOSE_UP_WIDE: f64 = (LEFT - GAP) as f64;
/// Lines of the table with the numbers of the pair.
const RULE: [u8; 3] = [0x80; 3];

const HEADING: u32 = 20;
const LEAD: u32 = 14;
const SECTION: u32 = 14;
const SMALL: u32 = SMALLEST_CAP_PX;

/// The page.
pub(crate) fn page(report: &PairReport, pictures: &Pictures) -> RgbImage {
    let mut page = Page::new();
    page.heading(report);
    let top = page.y;
    let left = close_ups(&mut page, report, pictures, top);
    let right = other_eyes(&mut page, report, pictures, top);
    page.y = left.max(right) + 2 * GAP;
    table(&mut page, report, pictures);
    figures(&mut page, report);
    for note in words::notes(report) {
        page.paragraph(&note, Face::Regular, SMALL, SMALL_INK);
        page.y += SMALL / 2;
    }
    page.finished()
}

/// A canvas that grows downwards.
struct Page {
    picture: RgbImage,
    /// The first free row.
    y: u32,
}

impl Page {
    fn new() -> Self {
        Self {
            picture: RgbImage::from_pixel(WIDTH, 1, Rgb(GROUND)),
            y: MARGIN,
        }
    }

    /// Adds rows down to `bottom` if needed.
    fn grow(&mut self, bottom: u32) {
        if bottom > self.picture.height() {
            let mut taller = RgbImage::from_pixel(WIDTH, bottom + 256, Rgb(GROUND));
            imageops::replace(&mut taller, &self.picture, 0, 0);
            self.picture = taller;
        }
    }

    fn finished(mut self) -> RgbImage {
        self.grow(self.y + MARGIN);
        imageops::crop_imm(&self.picture, 0, 0, WIDTH, self.y + MARGIN).to_image()
    }

    fn heading(&mut self, report: &PairReport) {
        let title = words::title(report);
        self.line(&title, Face::Bold, HEADING, MARGIN, CONTENT);
        self.y += line_height(HEADING);
        self.paragraph(&words::verdict_sentence(report), Face::Regular, LEAD, INK);
        self.y += GAP;
    }

    /// A line at `x` on the free row, without moving on.
    fn line(&mut self, text: &str, face: Face, cap_px: u32, x: u32, width: u32) {
        let ink = if face == Face::Bold { INK } else { SMALL_INK };
        self.text(text, face, cap_px, ink, (x, self.y), width);
    }

    fn text(
        &mut self,
        text: &str,
        face: Face,
        cap_px: u32,
        ink: [u8; 3],
        (x, y): (u32, u32),
        width: u32,
    ) {
        self.grow(y + line_height(cap_px));
        let line = fitted_line(text, face, cap_px, SMALL.min(cap_px), width);
        let place = Rect {
            x,
            y,
            width,
            height: line_height(cap_px),
        };
        draw_line(&mut self.picture, &line, place, cap_px, ink);
    }

    /// Lines over the whole width.
    fn paragraph(&mut self, text: &str, face: Face, cap_px: u32, ink: [u8; 3]) {
        for line in wrapped_lines(text, face, cap_px, CONTENT) {
            self.grow(self.y + line_height(cap_px));
            let place = Rect {
                x: MARGIN,
                y: self.y,
                width: CONTENT,
                height: line_height(cap_px),
            };
            draw_line(&mut self.picture, &line, place, cap_px, ink);
            self.y += line_height(cap_px);
        }
    }

    fn section(&mut self, text: &str, x: u32, width: u32) {
        self.line(text, Face::Bold, SECTION, x, width);
        self.y += line_height(SECTION) + SMALL / 2;
    }

    fn place(&mut self, picture: &RgbImage, x: u32, y: u32) {
        self.grow(y + picture.height());
        imageops::replace(&mut self.picture, picture, i64::from(x), i64::from(y));
    }

    /// Two pictures side by side from `x`, feet on one line, in columns of these widths.
    fn standing(&mut self, pair: &[Standing; 2], x: u32, y: u32, gap: u32) -> u32 {
        let above = |one: &Standing| one.picture.height() - one.below;
        let feet = y + above(&pair[0]).max(above(&pair[1]));
        self.place(&pair[0].picture, x, feet - above(&pair[0]));
        let second = x + pair[0].picture.width() + gap;
        self.place(&pair[1].picture, second, feet - above(&pair[1]));
        feet + pair[0].below.max(pair[1].below)
    }

    fn chip(&mut self, colour: [u8; 3], x: u32, y: u32, cap_px: u32) -> u32 {
        let (width, height) = (cap_px * 2, cap_px * 3 / 2);
        let top = y + (line_height(cap_px) - height) / 2;
        self.grow(top + height);
        fill(
            &mut self.picture,
            Rect {
                x,
                y: top,
                width,
                height,
            },
            CHIP_EDGE,
        );
        let inside = Rect {
            x: x + 1,
            y: top + 1,
            width: width - 2,
            height: height - 2,
        };
        fill(&mut self.picture, inside, colour);
        width + cap_px / 2
    }
}

/// Both teams at one scale with their names; returns the first free row below.
fn close_ups(page: &mut Page, report: &PairReport, pictures: &Pictures, top: u32) -> u32 {
    page.y = top;
    page.section("Close up, at one scale", MARGIN, LEFT);
    let bottom = page.standing(&pictures.close_up, MARGIN, page.y, GAP);
    let first = pictures.close_up[0].picture.width();
    let second = (LEFT - GAP).saturating_sub(first);
    let xs = [MARGIN, MARGIN + first + GAP];
    let mut lowest = bottom;
    for ((team, x), width) in report.teams.iter().zip(xs).zip([first, second]) {
        page.y = bottom + SMALL / 2;
        caption(page, team, x, width);
        lowest = lowest.max(page.y);
    }
    lowest
}

fn caption(page: &mut Page, team: &TeamReport, x: u32, width: u32) {
    page.line(&team.scheme, Face::Bold, LEAD, x, width);
    page.y += line_height(LEAD);
    for text in words::team_lines(team) {
        for line in wrapped_lines(&text, Face::Regular, SMALL, width) {
            page.line(&line.text, Face::Regular, SMALL, x, width);
            page.y += line_height(SMALL);
        }
    }
    let indent = page.chip(team.dominant.srgb.0, x, page.y, SMALL);
    let text = words::dominant(team);
    let room = width.saturating_sub(indent);
    for line in wrapped_lines(&text, Face::Regular, SMALL, room) {
        page.line(&line.text, Face::Regular, SMALL, x + indent, room);
        page.y += line_height(SMALL);
    }
}

/// Both teams in each kind of colour vision, two side by side; returns the first free row below.
fn other_eyes(page: &mut Page, report: &PairReport, pictures: &Pictures, top: u32) -> u32 {
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a constant"
    )]
    let width = EYES_PX.0 as u32;
    let left = MARGIN + LEFT + 2 * GAP;
    page.y = top;
    page.section("With other colour vision", left, CONTENT - LEFT - 2 * GAP);
    for row in pictures.eyes.chunks(2) {
        let y = page.y;
        let mut lowest = y;
        for (column, (sight, pair)) in (0_u32..).zip(row) {
            let x = left + column * (width + GAP);
            let eye = close_up_eye(report, *sight);
            page.text(
                &words::eye_title(*sight, report),
                Face::Bold,
                SMALL,
                INK,
                (x, y),
                width,
            );
            let y = y + line_height(SMALL);
            page.text(
                &words::eye_line(eye),
                Face::Regular,
                SMALL,
                SMALL_INK,
                (x, y),
                width,
            );
            let y = y + line_height(SMALL) + SMALL / 2;
            lowest = lowest.max(page.standing(pair, x, y, 2));
        }
        page.y = lowest + GAP;
    }
    page.y - GAP
}

fn close_up_eye(report: &PairReport, sight: Sight) -> &EyeReport {
    let mut eyes = report.views[0].eyes.iter();
    eyes.find(|eye| eye.sight == sight)
        .expect("every view is compared for every eye")
}

/// Rows of figures at about their true visual size: the strips flow from left to right.
fn table(page: &mut Page, report: &PairReport, pictures: &Pictures) {
    page.section("From across the table", MARGIN, CONTENT);
    let (mut x, mut lowest) = (MARGIN, page.y);
    let views = report
        .views
        .iter()
        .filter(|view| view.distance_mm.is_some());
    for (view, pair) in views.zip(&pictures.table) {
        let rows = [0, 1].map(|index: usize| {
            let wide = pair[index].width();
            (wide, report.teams[index].count.min(CONTENT / wide).max(1))
        });
        let labels = words::strip_labels(view, report, rows.map(|(_, shown)| shown));
        let text = labels
            .iter()
            .map(|label| fitted_line(label, Face::Regular, SMALL, SMALL, CONTENT).width());
        let rows_wide = rows.iter().map(|(wide, shown)| wide * shown);
        let width = rows_wide.chain(text).max().unwrap_or(0).min(CONTENT);
        if x > MARGIN && x + width > MARGIN + CONTENT {
            (x, page.y) = (MARGIN, lowest + GAP);
        }
        let mut y = page.y;
        page.text(&labels[0], Face::Bold, SMALL, INK, (x, y), width);
        y += line_height(SMALL);
        page.text(&labels[1], Face::Regular, SMALL, SMALL_INK, (x, y), width);
        y += line_height(SMALL) + SMALL / 2;
        for (picture, (wide, shown)) in pair.iter().zip(rows) {
            for number in 0..shown {
                page.place(picture, x + number * wide, y);
            }
            y += picture.height() + 3;
        }
        lowest = lowest.max(y);
        x += width + 2 * GAP;
    }
    page.y = lowest + GAP;
}

/// One line per kind of colour vision, one group of columns per view.
fn figures(page: &mut Page, report: &PairReport) {
    page.section("In numbers", MARGIN, CONTENT);
    let views = u32::try_from(report.views.len()).unwrap_or(1).max(1);
    let eye_column = 150;
    let group = (CONTENT - eye_column) / views;
    let columns = [("distance", 72), ("ΔL*", 50), ("contrast", 72)];
    let numbers: u32 = columns.iter().map(|(_, width)| width).sum();
    let y = page.y;
    page.text(
        "vision",
        Face::Bold,
        SMALL,
        INK,
        (MARGIN, y + line_height(SMALL)),
        eye_column,
    );
    for (index, view) in (0_u32..).zip(&report.views) {
        let mut x = MARGIN + eye_column + index * group;
        page.text(
            &words::view_title(view),
            Face::Bold,
            SMALL,
            INK,
            (x, y),
            group - GAP,
        );
        let y = y + line_height(SMALL);
        for (name, width) in columns {
            page.text(name, Face::Regular, SMALL, SMALL_INK, (x, y), width);
            x += width;
        }
        page.text(
            "closest regions, ΔE",
            Face::Regular,
            SMALL,
            SMALL_INK,
            (x, y),
            group - numbers - GAP,
        );
    }
    page.y = y + 2 * line_height(SMALL);
    for (row, sight) in Sight::ALL.into_iter().enumerate() {
        let y = page.y;
        let rule = Rect {
            x: MARGIN,
            y,
            width: CONTENT,
            height: 1,
        };
        page.grow(y + 1);
        fill(&mut page.picture, rule, RULE);
        page.text(
            &sight.label(),
            Face::Bold,
            SMALL,
            INK,
            (MARGIN, y),
            eye_column,
        );
        for (index, view) in (0_u32..).zip(&report.views) {
            let x = MARGIN + eye_column + index * group;
            figures_row(
                page,
                view,
                row,
                (x, y),
                group - GAP,
                columns.map(|(_, width)| width),
            );
        }
        page.y += line_height(SMALL) + 2;
    }
    page.y += GAP;
}

fn figures_row(
    page: &mut Page,
    view: &ViewReport,
    row: usize,
    (x, y): (u32, u32),
    width: u32,
    columns: [u32; 3],
) {
    let eye = &view.eyes[row];
    let mut left = x;
    for (number, wide) in words::numbers(eye).into_iter().zip(columns) {
        page.text(&number, Face::Regular, SMALL, INK, (left, y), wide);
        left += wide;
    }
    let room = (x + width).saturating_sub(left);
    page.text(
        &words::nearest(eye),
        Face::Regular,
        SMALL,
        INK,
        (left, y),
        room,
    );
}

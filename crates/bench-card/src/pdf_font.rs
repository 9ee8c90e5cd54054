//! The embedded faces in a PDF: text as glyph numbers, widths, and only the outlines that the text needs.
//!
//! Source: PDF 1.7 (ISO 32000-1), 9.7 composite fonts, 9.10 extraction of text. Not here: shaping; letters that join or run from
//! right to left are set one by one, as on the contact sheet.

use std::collections::BTreeMap;

use ab_glyph::{Font, FontRef};
use pdf_writer::types::{CidFontType, FontFlags, SystemInfo, UnicodeCmap};
use pdf_writer::{Finish, Name, Pdf, Rect, Ref, Str};
use subsetter::GlyphRemapper;
use velatura_sheet::text::Face;

const IDENTITY: SystemInfo<'static> = SystemInfo {
    registry: Str(b"Adobe"),
    ordering: Str(b"Identity"),
    supplement: 0,
};

/// A face, and the glyphs used of it so far.
pub(crate) struct PdfFont {
    face: Face,
    font: FontRef<'static>,
    used: GlyphRemapper,
    letters: BTreeMap<u16, char>,
}

impl PdfFont {
    pub(crate) fn new(face: Face) -> Self {
        Self {
            face,
            font: FontRef::try_from_slice(face.bytes()).expect("the embedded font is whole"),
            used: GlyphRemapper::new(),
            letters: BTreeMap::new(),
        }
    }

    /// Width of a text in units of its size.
    pub(crate) fn width(&self, text: &str) -> f64 {
        text.chars().map(|letter| self.advance(letter)).sum()
    }

    fn advance(&self, letter: char) -> f64 {
        let units = self.font.h_advance_unscaled(self.font.glyph_id(letter));
        f64::from(units / self.units_per_em())
    }

    fn units_per_em(&self) -> f32 {
        self.font.units_per_em().unwrap_or(2048.0)
    }

    /// A text as the glyph numbers of the face that will be embedded.
    pub(crate) fn encoded(&mut self, text: &str) -> Vec<u8> {
        text.chars()
            .flat_map(|letter| {
                let glyph = self.used.remap(self.font.glyph_id(letter).0);
                self.letters.entry(glyph).or_insert(letter);
                glyph.to_be_bytes()
            })
            .collect()
    }

    /// Writes the face under the five numbers from `first`; `first` is the font itself.
    pub(crate) fn write(&self, pdf: &mut Pdf, first: i32) {
        let [font, descendant, descriptor, file, unicode] =
            [0, 1, 2, 3, 4].map(|offset| Ref::new(first + offset));
        let name = match self.face {
            Face::Regular => Name(b"VELATR+Regular"),
            Face::Bold => Name(b"VELATB+Bold"),
        };
        pdf.type0_font(font)
            .base_font(name)
            .encoding_predefined(Name(b"Identity-H"))
            .descendant_font(descendant)
            .to_unicode(unicode);
        let mut cid = pdf.cid_font(descendant);
        cid.subtype(CidFontType::Type2)
            .base_font(name)
            .system_info(IDENTITY)
            .font_descriptor(descriptor)
            .default_width(0.0)
            .cid_to_gid_map_predefined(Name(b"Identity"));
        let mut widths = cid.widths();
        for (glyph, letter) in &self.letters {
            widths.consecutive(*glyph, [thousandths(self.advance(*letter))]);
        }
        widths.finish();
        cid.finish();
        let [ascent, descent] = [self.font.ascent_unscaled(), self.font.descent_unscaled()]
            .map(|units| units / self.units_per_em() * 1000.0);
        pdf.font_descriptor(descriptor)
            .name(name)
            .flags(FontFlags::SYMBOLIC)
            .bbox(Rect::new(-1000.0, descent, 2000.0, ascent))
            .italic_angle(0.0)
            .ascent(ascent)
            .descent(descent)
            .cap_height(729.0)
            .stem_v(if self.face == Face::Bold { 140.0 } else { 80.0 })
            .font_file2(file);
        let subset = subsetter::subset(self.face.bytes(), 0, &self.used)
            .expect("the embedded font can be cut to its glyphs");
        pdf.stream(file, &subset);
        let mut map = UnicodeCmap::new(Name(b"Velatura"), IDENTITY);
        for (glyph, letter) in &self.letters {
            map.pair(*glyph, *letter);
        }
        pdf.cmap(unicode, &map.finish());
    }
}

/// Both faces.
pub(crate) struct Fonts {
    pub(crate) regular: PdfFont,
    pub(crate) bold: PdfFont,
}

impl Fonts {
    pub(crate) fn of(&self, face: Face) -> &PdfFont {
        match face {
            Face::Regular => &self.regular,
            Face::Bold => &self.bold,
        }
    }
}

#[allow(clippy::cast_possible_truncation, reason = "PDF counts in f32")]
fn thousandths(share: f64) -> f32 {
    (share * 1000.0) as f32
}

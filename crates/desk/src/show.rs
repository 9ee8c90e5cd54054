//! The view of a project: everything that a page shows, gathered.

use velatura_document::{Diagnostic, Error};
use velatura_swatch::CardGeometry;

use crate::computed::{Computed, planes_number};
use crate::edit_figure::FigureText;
use crate::history::History;
use crate::pictures::strokes_key;
use crate::project::{MaskFrom, Project};
use crate::view::{CardView, PhotoView, RivalView, Size, UndercoatView, View, missing, parts_view};
use crate::view_schemes::{KnownSchemes, NUMBER_BITS};

/// What the view says that is not in the project.
pub(crate) struct Rest<'a> {
    pub(crate) version: u64,
    pub(crate) said: &'a str,
    /// What was found in the file that was put last.
    pub(crate) of_file: &'a [Diagnostic],
    pub(crate) rival: Option<RivalView>,
}

/// What the page shows.
pub(crate) fn shown(
    project: &Project,
    computed: &mut Computed,
    history: &History,
    rest: Rest<'_>,
) -> Result<View, Error> {
    let text = FigureText::read(&project.figure)?;
    let names: Vec<String> = text.parts.iter().map(|part| part.name.clone()).collect();
    let mut problems = rest.of_file.to_vec();
    let known = computed
        .known_box(project)
        .map_err(|found| problems.extend(found))
        .ok();
    problems.extend(
        known
            .iter()
            .flat_map(|known| known.warnings().iter().cloned()),
    );
    let schemes = KnownSchemes::of(&project.schemes, &names, known.as_deref());
    problems.extend(schemes.problems.iter().cloned());
    let planes = planes_number(project, &text, known.as_deref());
    let mut scheme_views = schemes.view(known.as_deref(), planes);
    for scheme in &mut scheme_views {
        let Some(seen) = computed.pictures.seen(scheme.tile) else {
            continue;
        };
        for chip in &mut scheme.chips {
            let region = names.iter().position(|name| *name == chip.part);
            let colour = region.and_then(|region| *seen.get(region)?);
            chip.seen = colour.map(|colour| colour.to_string());
        }
    }
    if let Some(job) = computed.pictures.job_at_hand(project, &text) {
        let new = job.warnings.iter().filter(|one| !problems.contains(one));
        let new: Vec<Diagnostic> = new.cloned().collect();
        problems.extend(new);
    }
    let labels = match project.mask_from {
        MaskFrom::Strokes => {
            let live = computed.pictures.live_at_hand(project, &text);
            live.map(|(labels, _)| labels)
        }
        // A mask that cannot be read is a problem of the pictures.
        MaskFrom::File => computed.loaded_regions(project, &text).ok().flatten(),
        MaskFrom::Nothing => None,
    };
    let paint_views = known
        .as_ref()
        .map(|known| known.view(schemes.file.as_ref()));
    let paint_views = paint_views.unwrap_or_default();
    Ok(View {
        version: rest.version,
        name: text.name.clone(),
        undercoat: UndercoatView {
            kind: text.undercoat.clone(),
            black: text.black.clone(),
            white: text.white.clone(),
        },
        height_mm: text.height_mm,
        count: text.count,
        photo: project.photo.as_ref().map(|photo| PhotoView {
            number: photo.bytes.hash & NUMBER_BITS,
            name: photo.original_name.clone(),
            width: photo.size.0,
            height: photo.size.1,
            original: Size {
                width: photo.original_size.0,
                height: photo.original_size.1,
            },
        }),
        light_photo: text.light_photo.clone(),
        parts: parts_view(project, &text, labels.as_deref()),
        mask: match project.mask_from {
            MaskFrom::Nothing => "none",
            MaskFrom::Strokes => "strokes",
            MaskFrom::File => "file",
        },
        overlay: match project.mask_from {
            MaskFrom::Nothing => None,
            MaskFrom::Strokes => Some(strokes_key(project, &text) & NUMBER_BITS),
            MaskFrom::File => project.mask.as_ref().map(|mask| mask.hash & NUMBER_BITS),
        },
        strokes: project.strokes.drawn.len(),
        missing: missing(project, &text, paint_views.len(), scheme_views.len()),
        paints: paint_views,
        schemes: scheme_views,
        problems,
        card: project.card.as_ref().map(|(name, _)| CardView {
            name: name.clone(),
            places: CardGeometry::printed().places(),
        }),
        rival: rest.rival,
        can_undo: history.next_undo().is_some(),
        can_redo: history.next_redo().is_some(),
        undo: history.next_undo(),
        redo: history.next_redo(),
        said: rest.said.to_owned(),
    })
}

//! What each command does to a project.

use velatura::EXAMPLE_PAINTS;
use velatura_document::{Error, counted, quoted};
use velatura_pipeline::optics::colour::Encoded;

use crate::command::Command;
use crate::computed::Computed;
use crate::edit_figure::{self as figure, FigureText, PartText};
use crate::edit_paints as paints;
use crate::edit_schemes as schemes;
use crate::project::{MaskFrom, Project};
use crate::propose::{Composed, nearest_mix, opposite_of, proposals};
use crate::put;
use crate::strokes::{Ink, Stroke, Strokes};
use crate::view_schemes::KnownSchemes;

/// A change in words.
pub(crate) struct Changed {
    /// What it was, for undo.
    pub(crate) what: String,
    /// What to say about it.
    pub(crate) said: String,
}

/// Changes the project.
///
/// # Errors
/// Why it cannot be done; the project is then of no use any more.
pub(crate) fn changed(
    project: &mut Project,
    computed: &mut Computed,
    command: &Command,
) -> Result<Changed, Error> {
    let limits = *computed.session.limits();
    let now = project.clone();
    let mut said = None;
    let text = FigureText::read(&now.figure)?;
    let (old_paints, old_schemes) = (now.paints.as_deref(), &*now.schemes);
    let what = match command {
        Command::Look | Command::Undo | Command::Redo => String::new(),
        Command::NameFigure { name } => {
            project.figure = figure::with_name(&now.figure, name)?;
            format!("figure named {}", quoted(name))
        }
        Command::Undercoat { kind } => {
            project.figure = figure::with_undercoat(&now.figure, kind)?;
            "undercoat".to_owned()
        }
        Command::Height { mm } => {
            project.figure = figure::with_height(&now.figure, *mm)?;
            format!("height {mm} mm")
        }
        Command::Count { count } => {
            project.figure = figure::with_count(&now.figure, *count)?;
            counted(*count as usize, "figure")
        }
        Command::RemoveLightPhoto => {
            if let Some(path) = &text.light_photo {
                project.others.remove(path);
            }
            project.figure = figure::with_light_photo(&now.figure, None)?;
            "light photo removed".to_owned()
        }
        Command::TonePoint { point, at } => {
            let colour = match at {
                Some([x, y]) => Some(computed.colour_at(&now, *x, *y)?),
                None => None,
            };
            project.figure = figure::with_point(&now.figure, *point, colour)?;
            "grey of the undercoat".to_owned()
        }
        Command::AddPart { name } => {
            project.figure = figure::with_part(&now.figure, name.trim(), None)?;
            format!("part {} added", quoted(name.trim()))
        }
        Command::RenamePart { part, name } => {
            project.figure = figure::with_part_renamed(&now.figure, part, name.trim())?;
            project.schemes = schemes::with_part_renamed(old_schemes, part, name.trim())?;
            format!("part {} renamed", quoted(part))
        }
        Command::PartIs { part, is } => {
            project.figure = figure::with_material(&now.figure, part, is.as_deref())?;
            format!("what {} is", quoted(part))
        }
        Command::SameAs { part, other } => {
            if let Some(other) = other {
                text.part(other)?;
            }
            project.figure = figure::with_same_as(&now.figure, part, other.as_deref())?;
            match other {
                Some(other) => format!("{}: the mix of {}", quoted(part), quoted(other)),
                None => format!("{}: a mix of its own", quoted(part)),
            }
        }
        Command::Natural { part, natural } => {
            project.figure = figure::with_natural(&now.figure, part, *natural)?;
            match natural {
                true => format!("{}: natural colours", quoted(part)),
                false => format!("{}: any colour", quoted(part)),
            }
        }
        Command::Keep { part, scheme } => {
            let mix = match scheme {
                Some(scheme) => schemes::mix_on_part(old_schemes, *scheme, part)?,
                None => Vec::new(),
            };
            project.figure = figure::with_kept_mix(&now.figure, part, &mix)?;
            match scheme {
                Some(_) => format!("mix of {} kept for proposals", quoted(part)),
                None => format!("mix of {} free again", quoted(part)),
            }
        }
        Command::RemovePart { part } => {
            let colour = text.part(part)?.colour;
            project.strokes = now.strokes.without(colour);
            project.figure = figure::without_part(&now.figure, part)?;
            project.schemes = schemes::without_part(old_schemes, part)?;
            format!("part {} removed", quoted(part))
        }
        Command::Stroke {
            part,
            erase,
            radius,
            points,
        } => {
            if now.photo.is_none() {
                let found = "there is no photo to draw on";
                return Err(Error::refused("", found, "a photo", "take or choose one"));
            }
            let ink = match (erase, part) {
                (true, _) => Ink::Erase,
                (false, Some(part)) => Ink::Part(text.part(part)?.colour),
                (false, None) => Ink::Background,
            };
            project.strokes = now.strokes.with(Stroke {
                ink,
                radius: radius.clamp(0.5, 500.0),
                points: points.clone(),
            });
            if now.mask_from == MaskFrom::File {
                said = Some(
                    "the mask follows your strokes now; undo brings the loaded one back".to_owned(),
                );
            }
            project.mask_from = MaskFrom::Strokes;
            match (erase, part) {
                (true, _) => "eraser".to_owned(),
                (false, Some(part)) => format!("stroke on {}", quoted(part)),
                (false, None) => "stroke on the background".to_owned(),
            }
        }
        Command::ClearStrokes => {
            project.strokes = Strokes::default();
            project.mask_from = match now.mask {
                Some(_) => MaskFrom::File,
                None => MaskFrom::Nothing,
            };
            "all strokes removed".to_owned()
        }
        Command::ExamplePaints => {
            project.paints = Some(paints::with_file(old_paints, EXAMPLE_PAINTS)?);
            "example paints added; they are invented".to_owned()
        }
        Command::ReadCard { names } => put::read_put_card(project, names, &limits)?.0,
        Command::AddPaint {
            name,
            over_black,
            over_white,
        } => {
            let keys = [("over_black", &**over_black), ("over_white", &**over_white)];
            project.paints = Some(paints::with_paint(old_paints, name.trim(), keys)?);
            format!("paint {} added", quoted(name.trim()))
        }
        Command::AddChip {
            name,
            colour,
            opacity,
        } => {
            let keys = [("colour", &**colour), ("opacity", &**opacity)];
            project.paints = Some(paints::with_paint(old_paints, name.trim(), keys)?);
            format!("paint {} added", quoted(name.trim()))
        }
        Command::RenamePaint { paint, name } => {
            let renamed = paints::with_paint_renamed(old_paints, paint, name.trim())?;
            project.paints = Some(renamed);
            project.schemes = schemes::with_paint_renamed(old_schemes, paint, name.trim())?;
            project.figure = figure::with_paint_renamed(&now.figure, paint, name.trim())?;
            format!("paint {} renamed", quoted(paint))
        }
        Command::PaintOwned { paint, owned } => {
            project.paints = Some(paints::with_owned(old_paints, paint, *owned)?);
            match owned {
                true => format!("you have {}", quoted(paint)),
                false => format!("you do not have {}", quoted(paint)),
            }
        }
        Command::PaintMetallic { paint, metallic } => {
            let new = paints::with_metallic(old_paints, paint, *metallic)?;
            project.paints = Some(new);
            match metallic {
                true => format!("{} glints like metal", quoted(paint)),
                false => format!("{} does not glint", quoted(paint)),
            }
        }
        Command::AddTint {
            paint,
            with,
            parts,
            over_black,
            over_white,
        } => {
            let colours = [("over_black", &**over_black), ("over_white", &**over_white)];
            let new = paints::with_tint(old_paints, paint, with, *parts, colours)?;
            project.paints = Some(new);
            format!("tint of {} with {} added", quoted(paint), quoted(with))
        }
        Command::RemoveTint { paint, tint } => {
            project.paints = Some(paints::without_tint(old_paints, paint, *tint)?);
            format!("tint of {} removed", quoted(paint))
        }
        Command::RemovePaint { paint } => {
            refuse_used(&now, &text, paint)?;
            project.paints = Some(paints::without_paint(old_paints, paint)?);
            format!("paint {} removed", quoted(paint))
        }
        Command::AddScheme => {
            let parts: Vec<&str> = text.parts.iter().map(|part| &*part.name).collect();
            let known = computed.known_box(&now).ok();
            let owned = known
                .as_ref()
                .map(|known| known.owned())
                .unwrap_or_default();
            project.schemes = schemes::with_new_scheme(old_schemes, &parts, &owned)?;
            "scheme added".to_owned()
        }
        Command::DuplicateScheme { scheme } => {
            project.schemes = schemes::with_scheme_copied(old_schemes, *scheme)?;
            "scheme duplicated".to_owned()
        }
        Command::RenameScheme { scheme, name } => {
            project.schemes = schemes::with_scheme_renamed(old_schemes, *scheme, name.trim())?;
            "scheme renamed".to_owned()
        }
        Command::RemoveScheme { scheme } => {
            project.schemes = schemes::without_scheme(old_schemes, *scheme)?;
            "scheme removed".to_owned()
        }
        Command::MoveScheme { scheme, to } => {
            project.schemes = schemes::with_scheme_moved(old_schemes, *scheme, *to)?;
            "scheme moved".to_owned()
        }
        Command::Finish { scheme, finish } => {
            project.schemes = schemes::with_text(old_schemes, *scheme, "finish", finish)?;
            format!("{finish} varnish")
        }
        Command::Team { scheme, team } => {
            project.schemes = schemes::with_text(old_schemes, *scheme, "team", team.trim())?;
            "team named".to_owned()
        }
        Command::SchemeUndercoat { scheme, undercoat } => {
            let new = schemes::with_text(old_schemes, *scheme, "undercoat", undercoat)?;
            project.schemes = new;
            "undercoat of the scheme".to_owned()
        }
        Command::AddCoat { scheme, part } => {
            text.part(part)?;
            let known = computed.known_box(&now).ok();
            let owned = known
                .as_ref()
                .map(|known| known.owned())
                .unwrap_or_default();
            let paint = owned.first().copied();
            project.schemes = schemes::with_coat(old_schemes, *scheme, part, paint)?;
            format!("coat on {} added", quoted(part))
        }
        Command::RemoveCoat { scheme, coat } => {
            project.schemes = schemes::without_coat(old_schemes, *scheme, *coat)?;
            "coat removed".to_owned()
        }
        Command::MoveCoat { scheme, coat, up } => {
            project.schemes = schemes::with_coat_moved(old_schemes, *scheme, *coat, *up)?;
            "coat moved".to_owned()
        }
        Command::Mix {
            scheme,
            coat,
            paint,
            parts,
        } => {
            project.schemes = schemes::with_parts(old_schemes, *scheme, *coat, paint, *parts)?;
            format!("{}: {parts} in the mix", quoted(paint))
        }
        Command::Film { scheme, coat, film } => {
            project.schemes = schemes::with_film(old_schemes, *scheme, *coat, *film)?;
            format!("film {film}")
        }
        Command::Where {
            scheme,
            coat,
            r#where,
        } => {
            project.schemes = schemes::with_where(old_schemes, *scheme, *coat, r#where)?;
            "where the coat goes".to_owned()
        }
        Command::Pooling {
            scheme,
            coat,
            pooling,
        } => {
            project.schemes =
                schemes::with_number(old_schemes, *scheme, *coat, "pooling", *pooling)?;
            format!("pooling {pooling}")
        }
        Command::Width { scheme, coat, mm } => {
            project.schemes = schemes::with_number(old_schemes, *scheme, *coat, "width_mm", *mm)?;
            format!("line {mm} mm wide")
        }
        Command::Explore {
            seed,
            replace,
            mood,
        } => {
            let job = computed.pictures.job(&computed.session, &now, &text)?;
            let Composed { text, said } = proposals(job, *seed, mood.as_deref())?;
            project.schemes = schemes::with_file(old_schemes, &text, *replace)?;
            said
        }
        Command::Oppose { scheme } => {
            let job = computed.pictures.job(&computed.session, &now, &text)?;
            check_scheme(job.schemes.len(), *scheme)?;
            let Composed { text, said } = opposite_of(job, *scheme)?;
            project.schemes = schemes::with_file_after(old_schemes, &text, *scheme)?;
            said
        }
        Command::Match {
            scheme,
            part,
            colour,
        } => {
            let region = text.parts.iter().position(|one| one.name == *part);
            text.part(part)?;
            let wanted: Encoded = colour.parse().map_err(|_| {
                let found = format!("\"{colour}\" is not a colour");
                Error::refused("", found, "a colour such as \"#5fa8a0\"", "")
            })?;
            let job = computed.pictures.job(&computed.session, &now, &text)?;
            check_scheme(job.schemes.len(), *scheme)?;
            let found = nearest_mix(job, *scheme, region.unwrap_or_default(), wanted)?;
            project.schemes =
                schemes::with_mix_on_part(old_schemes, *scheme, part, &found.mix, found.film)?;
            said = Some(found.said);
            format!("colour of {}", quoted(part))
        }
    };
    Ok(Changed {
        said: said.unwrap_or_else(|| what.clone()),
        what,
    })
}

fn refuse_used(project: &Project, text: &FigureText, paint: &str) -> Result<(), Error> {
    let keeps = |part: &&PartText| part.keep.iter().any(|(kept, _)| kept == paint);
    if let Some(part) = text.parts.iter().find(keeps) {
        let found = format!(
            "\"{paint}\" is in the mix that {} keeps",
            quoted(&part.name)
        );
        let (expected, help) = ("a paint that no part keeps", "give the mix free first");
        return Err(Error::refused("", found, expected, help));
    }
    let known = KnownSchemes::of(&project.schemes, &[], None);
    let users: Vec<&str> = known
        .file
        .iter()
        .flat_map(|file| &file.schemes)
        .filter(|scheme| {
            let mut paints = scheme.coats.iter().flat_map(|coat| &coat.mix);
            paints.any(|(name, _)| name.value == paint)
        })
        .map(|scheme| scheme.name.value.as_str())
        .collect();
    if users.is_empty() {
        return Ok(());
    }
    let found = format!("\"{paint}\" is used in {}", users.join(", "));
    let help = "remove it from these schemes first, or say that you do not have it";
    Err(Error::refused(
        "",
        found,
        "a paint that no scheme uses",
        help,
    ))
}

fn check_scheme(count: usize, scheme: usize) -> Result<(), Error> {
    match scheme < count {
        true => Ok(()),
        false => Err(schemes::none("scheme", scheme)),
    }
}

//! From `paints.toml` to K and S: turns the data of each paint into absorption and scattering per wavelength band.
//!
//! In: a paints file. Out: a [`PaintBox`], and a warning if no film can have the colours of some paint.
//!
//! Paints tied together by tints form a group. In each group the paint that most tints are made with is fitted from its own
//! drawdown alone and has strength 1; the others follow outwards from it, each with all its tints with paints that came
//! before, so that every tint is used once. Everything is done twice, once for mixtures that are the plain sum of K and S and once for
//! mixtures that depart from it; the result that explains the whole file better is kept.

mod missed;
mod observation;
mod order;
mod posterior;
mod prior;
mod seen;
mod substrate;
mod tint;

pub use crate::paint_box::PaintBox;
pub use prior::Prior;
pub use substrate::smoothest_spectrum;

use std::collections::HashMap;

use crate::paint::{Paint, Source};
use crate::paint_box::Tints;
use crate::paints_file::{Cards, Given, PaintsFile};
use nalgebra::DMatrix;
use order::Order;
use seen::{fields, worst_miss};
use tint::{Fitted, Tint};
use velatura_document::Warned;

/// A tint between two paints of a file: their places in it (the one it is written under first), and their parts.
struct Link<'a> {
    paints: [usize; 2],
    parts: [f64; 2],
    given: &'a Given,
    cards: &'a Cards,
}

/// Derives K and S for each paint.
///
/// A warning per file names the paints whose given colours are missed by more than ΔE 0.5.
///
/// # Panics
/// Never: a prior always has a belief about mixtures.
pub fn calibrate(file: &PaintsFile) -> Warned<PaintBox> {
    calibrate_under(file, Prior::shipped())
}

/// The same under another prior: learned from other paints, or without some of these, so that they can be evaluated.
///
/// # Panics
/// Never: a prior always has a belief about mixtures.
pub fn calibrate_under(file: &PaintsFile, prior: &Prior) -> Warned<PaintBox> {
    let links = links(file);
    let pairs: Vec<[usize; 2]> = links.iter().map(|link| link.paints).collect();
    let order = order::order(file.paints.len(), &pairs);
    // Whether mixtures depart from the plain sum is decided once for all tints together: a single tint, seen in six codes, can
    // rarely show it, and a plain sum that fits says much about the paints.
    let beliefs = if links.is_empty() {
        &prior.departures[..1]
    } else {
        &prior.departures[..]
    };
    let (_, fits, tints) = beliefs
        .iter()
        .map(|belief| {
            let (fits, tints) = fitted(file, &links, &order, prior, &belief.covariance);
            let ln_evidence: f64 = fits.iter().map(|fit| fit.ln_evidence).sum();
            (belief.ln_odds + ln_evidence, fits, tints)
        })
        .max_by(|one, other| one.0.total_cmp(&other.0))
        .expect("a prior believes at least one thing of departures");
    let paints: Vec<Paint> = fits
        .into_iter()
        .enumerate()
        .map(|(paint, fit)| named(file, paint, fit, &tints))
        .collect();
    let warnings = missed::warnings(file, &paints);
    let paints = PaintBox {
        cards: file.cards,
        paints,
        tints,
    };
    Warned::new(paints, warnings)
}

/// The tints of a file with existing paints.
fn links(file: &PaintsFile) -> Vec<Link<'_>> {
    let mut places = HashMap::new();
    for (place, paint) in file.paints.iter().enumerate() {
        places.entry(paint.name.value.as_str()).or_insert(place);
    }
    let place = |name: &str| places.get(name).copied();
    file.paints
        .iter()
        .enumerate()
        .flat_map(|(one, entry)| entry.tints.iter().map(move |tint| (one, tint)))
        .filter_map(|(one, tint)| {
            let other = place(&tint.with.value).filter(|other| *other != one)?;
            Some(Link {
                paints: [one, other],
                parts: tint.parts,
                given: &tint.given,
                cards: &file.paints[one].cards,
            })
        })
        .collect()
}

/// All paints of a file in the order written, and their tints, with departures of one covariance.
fn fitted(
    file: &PaintsFile,
    links: &[Link<'_>],
    order: &Order,
    prior: &Prior,
    departure: &DMatrix<f64>,
) -> (Vec<Fitted>, Tints) {
    let mut tints = Tints::between(order.group.clone());
    let mut fits: Vec<Option<Fitted>> = file.paints.iter().map(|_| None).collect();
    for &paint in &order.sequence {
        // Each link with a paint fitted before, seen from this one: the partner, and the parts of this paint and of it.
        let known: Vec<(usize, [f64; 2], &Link<'_>)> = links
            .iter()
            .filter_map(|link| {
                let ([one, other], [part, rest]) = (link.paints, link.parts);
                match paint {
                    _ if paint == one => Some((other, [part, rest], link)),
                    _ if paint == other => Some((one, [rest, part], link)),
                    _ => None,
                }
            })
            .filter(|(partner, ..)| fits[*partner].is_some())
            .collect();
        let beside: Vec<Tint<'_>> = known
            .iter()
            .filter_map(|(partner, parts, link)| {
                let partner = fits[*partner].as_ref()?;
                let (fields, specular) = fields(link.given, link.cards);
                Some(Tint {
                    parts: *parts,
                    partner: &partner.optics,
                    partner_strength: partner.strength,
                    fields,
                    specular,
                })
            })
            .collect();
        let entry = &file.paints[paint];
        let (fields, specular) = fields(&entry.given, &entry.cards);
        let fit = tint::fitted(&fields, specular, &beside, prior, departure);
        for ((partner, parts, _), departure) in known.iter().zip(&fit.departures) {
            tints.add([paint, *partner], *parts, departure);
        }
        fits[paint] = Some(fit);
    }
    // The order has every paint once, so none is missing here.
    (fits.into_iter().flatten().collect(), tints)
}

fn named(file: &PaintsFile, paint: usize, fit: Fitted, tints: &Tints) -> Paint {
    let entry = &file.paints[paint];
    let source = match &entry.given {
        Given::Spectrum(_) => Source::Spectrum,
        Given::Drawdown(_) => Source::Drawdown,
        Given::Chip { .. } => Source::Chip,
    };
    let residual = match source {
        Source::Spectrum => 0.0,
        Source::Drawdown | Source::Chip => {
            let (fields, specular) = fields(&entry.given, &entry.cards);
            worst_miss(&fit.optics, &fields, specular)
        }
    };
    Paint {
        name: entry.name.value.clone(),
        owned: entry.owned,
        metallic: entry.metallic,
        optics: fit.optics,
        strength: fit.strength,
        basis: if tints.any_with(paint) {
            source.with_tint()
        } else {
            source.without_tint()
        },
        residual,
    }
}

//! What the parts of a figure are: what the file says, and what the names suggest.
//!
//! In: a figure file. Out: per region its material, whether it must have a natural colour, and the region whose mix it shares.

mod guess;

use crate::figure_file::FigureFile;
use velatura_optics::colour::Lab;

use crate::material::{ColourRange, Material, outside_all};
use crate::own_range::MOST_RANGES;

impl Material {
    /// The words in a region's name that mean it.
    #[must_use]
    pub fn words_in_names(self) -> &'static [&'static str] {
        guess::words(self)
    }
}

/// What one region is.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Part {
    /// What it is; `None` if neither the file nor its name says so.
    pub material: Option<Material>,
    /// Whether `material` was guessed from the name.
    pub guessed: bool,
    /// Whether its colour should be one that its material usually has.
    pub natural: bool,
    /// The region whose mix it shares, which itself shares no other's.
    pub same_as: Option<usize>,
    /// The colours that the file gives its material, in place of the usual ones; none if it gives none.
    pub own_ranges: [Option<ColourRange>; MOST_RANGES],
}

impl Part {
    /// The material that limits its colour: not cloth, which may have any unless the file says which, and not what need not be
    /// natural.
    #[must_use]
    pub fn limit(&self) -> Option<Material> {
        let material = self.material.filter(|_| self.natural);
        material.filter(|material| self.has_own_ranges() || !material.natural().is_empty())
    }

    /// How far a colour is outside the natural colours of its material, in units of CIELAB; 0 inside, and where any colour is natural.
    #[must_use]
    pub fn unnatural(&self, colour: Lab) -> f64 {
        match self.limit() {
            Some(_) if self.has_own_ranges() => {
                outside_all(self.own_ranges.iter().flatten(), colour)
            }
            Some(material) => material.unnatural(colour),
            None => 0.0,
        }
    }

    fn has_own_ranges(&self) -> bool {
        self.own_ranges.iter().any(Option::is_some)
    }
}

/// What each region is, in the order of the file. Regions of natural skin share the mix of the first of them, unless the file
/// says which they share.
#[must_use]
pub fn parts(figure: &FigureFile) -> Vec<Part> {
    let regions = &figure.regions;
    let index = |name: &str| regions.iter().position(|one| one.name.value == name);
    let mut parts: Vec<Part> = regions
        .iter()
        .map(|region| {
            let material = region.is.or_else(|| guess::guess(&region.name.value));
            let own = figure.materials.iter();
            let mut ranges = own
                .filter(|own| Some(own.material) == material)
                .map(|own| own.range);
            Part {
                material,
                guessed: region.is.is_none(),
                natural: region.natural,
                same_as: region.same_as.as_ref().and_then(|name| index(&name.value)),
                own_ranges: std::array::from_fn(|_| ranges.next()),
            }
        })
        .collect();
    let skin = |part: &Part| part.limit() == Some(Material::Skin);
    if let Some(first) = parts
        .iter()
        .position(|part| skin(part) && part.same_as.is_none())
    {
        for (index, part) in parts.iter_mut().enumerate() {
            if index != first && skin(part) && part.same_as.is_none() {
                part.same_as = Some(first);
            }
        }
    }
    // Chains end at their root. The file has no circles; if it had, counting the steps ends them.
    for index in 0..parts.len() {
        let mut root = parts[index].same_as;
        for _ in 0..parts.len() {
            match root.and_then(|root| parts[root].same_as) {
                Some(next) if next != index => root = Some(next),
                _ => break,
            }
        }
        parts[index].same_as = root;
    }
    parts
}

/// What was guessed, in one sentence: "taken from their names: coat, hood (cloth); face (skin)". `None` if nothing was.
#[must_use]
pub fn guesses(figure: &FigureFile) -> Option<String> {
    let parts = parts(figure);
    let named = |material: Option<Material>| -> Vec<&str> {
        let pairs = parts.iter().zip(&figure.regions);
        pairs
            .filter(|(part, _)| part.guessed && part.material == material)
            .map(|(_, region)| region.name.value.as_str())
            .collect()
    };
    let known = Material::ALL.into_iter().filter_map(|material| {
        let names = named(Some(material));
        (!names.is_empty()).then(|| format!("{} ({})", names.join(", "), material.word()))
    });
    let mut groups: Vec<String> = known.collect();
    let unknown = named(None);
    if !unknown.is_empty() {
        groups.push(format!("{} (not known: any colour)", unknown.join(", ")));
    }
    (!groups.is_empty()).then(|| {
        format!(
            "guessed from the names of the regions: {}",
            groups.join("; ")
        )
    })
}

//! What `velatura explore` proposes, as text, JSON and colours.

use serde_json::{Value, json};
use velatura::Error;
use velatura_document::{counted, for_terminal};
use velatura_pipeline::optics::colour::Encoded;
use velatura_pipeline::scheme::{Exploration, FigureGround, Proposal};
use velatura_sheet::ChartRow;

use crate::chips::Chips;
use crate::messages::json_value;

/// The mean dried colour of every part, for each proposal.
pub(super) struct PartColours(Vec<Vec<(Encoded, String)>>);

impl PartColours {
    pub(super) fn new(found: &Exploration, ground: &FigureGround) -> Self {
        let of_scheme = |proposal: &Proposal| {
            let scheme = &proposal.scheme;
            let parts = ground.summary.regions.iter().zip(&scheme.regions);
            parts
                .enumerate()
                .filter(|(_, (_, stack))| !stack.coats.is_empty())
                .map(|(index, (region, stack))| {
                    let dried = ground.dried(index, scheme.undercoat, &stack.coats);
                    (dried.encoded(), region.name.clone())
                })
                .collect()
        };
        Self(found.proposals.iter().map(of_scheme).collect())
    }

    /// Rows of a chart, one for each proposal.
    pub(super) fn rows(&self, found: &Exploration) -> Vec<ChartRow> {
        let rows = found.proposals.iter().zip(&self.0);
        rows.map(|(proposal, parts)| ChartRow {
            title: proposal.scheme.name.clone(),
            note: proposal.reason.clone(),
            chips: parts.clone(),
        })
        .collect()
    }
}

/// What is printed.
pub(super) struct Answer<'a> {
    pub(super) found: &'a Exploration,
    pub(super) colours: &'a PartColours,
    /// How many proposals could be confused with the rival.
    pub(super) dropped: usize,
}

impl Answer<'_> {
    /// Names, reasons and colours. Names are already safe for a terminal.
    pub(super) fn text(&self, chips: Chips) -> String {
        let mut text = String::new();
        for (proposal, parts) in self.found.proposals.iter().zip(&self.colours.0) {
            text += &format!(
                "  {}\n    {}\n",
                for_terminal(&proposal.scheme.name),
                for_terminal(&proposal.reason)
            );
            let parts: Vec<String> = parts
                .iter()
                .map(|(colour, part)| {
                    format!("{}{colour} {}", chips.chip(*colour), for_terminal(part))
                })
                .collect();
            text += &format!("    {}\n", parts.join(", "));
        }
        text
    }

    /// How many were found, and how they differ.
    pub(super) fn summary(&self, wanted: usize) -> String {
        let found = self.found;
        let mut summary = format!(
            "{} chosen from {} that fit your paints and the parts; the two most similar are ΔE {:.1} apart (chosen at random: {:.1}; ΔE 3 is visible, 10 is another colour)\n",
            counted(found.proposals.len(), "scheme"),
            found.fitting,
            found.least_distance,
            found.by_chance
        );
        if self.dropped > 0 {
            summary += &format!(
                "{} left out: `velatura pair` would call them easily confused with the rival\n",
                counted(self.dropped, "scheme")
            );
        } else if found.proposals.len() < wanted {
            summary += &format!(
                "fewer than the {wanted} you asked for: no other scheme satisfies all constraints\n"
            );
        }
        if let Some(fits) = found.cut_short {
            summary += &format!(
                "there was too much to try, so fewer schemes were composed to choose from; to choose from more, try --most-paints {fits}\n"
            );
        }
        summary
    }

    /// The JSON form; `text` is the schemes file.
    pub(super) fn json_form(&self, text: &str) -> Result<Value, Error> {
        let found = self.found;
        let proposals: Vec<_> = found
            .proposals
            .iter()
            .zip(&self.colours.0)
            .map(|(proposal, parts)| {
                let parts: Vec<_> = parts
                    .iter()
                    .map(|(colour, part)| json!({ "region": part, "srgb": colour.to_string() }))
                    .collect();
                json!({ "name": proposal.scheme.name, "reason": proposal.reason, "dries_to": parts })
            })
            .collect();
        Ok(json!({
            "format": "velatura-explore/1",
            "schemes": proposals,
            "least_distance": json_value(&found.least_distance)?,
            "least_distance_by_chance": json_value(&found.by_chance)?,
            "fitting": found.fitting,
            "cut_short": found.cut_short.is_some(),
            "left_out_as_confusable": self.dropped,
            "schemes_toml": text,
        }))
    }
}

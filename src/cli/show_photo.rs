//! Photos' readings for people.

use crate::contract::{PhotoCompareDoc, PhotoDoc, PhotosDoc};

use super::paint::{bold, wrapped};
use super::show_audit::named;
use super::show_sound::notes;

/// What the figure is, said once where it is shown.
const CONVENTION: &str = "Busyness goes from 0 to 100 and is a convention of this tool. It speaks of the picture, not of where a child looks; 0 is not the aim, calm enough for the task is.";

/// One photo.
pub(super) fn photo(doc: &PhotoDoc) -> String {
    let mut out = one(doc);
    out.push('\n');
    out.push_str(&wrapped("", CONVENTION));
    out
}

/// Several photos of one place.
pub(super) fn photos(doc: &PhotosDoc) -> String {
    let mut out = String::new();
    for photo in &doc.photos {
        out.push_str(&one(photo));
        out.push('\n');
    }
    out.push_str(&format!(
        "{}: busyness {:.0} (of the mean pull {:.3}), {:.0} points between the calmest and the busiest\n",
        bold("Together"),
        doc.busyness,
        doc.pull,
        doc.spread
    ));
    out.push_str(&wrapped("", CONVENTION));
    out
}

/// Before and after.
pub(super) fn compared(doc: &PhotoCompareDoc) -> String {
    let mut out = format!(
        "{}\n  busyness {:.1} before, {:.1} after: {:+.1} (95 % sure: {:+.1} to {:+.1})\n",
        bold(&doc.verdict),
        doc.busyness_before,
        doc.busyness_after,
        doc.difference,
        doc.low,
        doc.high
    );
    if let Some(shared) = &doc.shared_view {
        out.push_str(&format!(
            "  in the part seen in both: {:.1} before, {:.1} after: {:+.1}\n",
            shared.before, shared.after, shared.difference
        ));
    }
    out.push_str(&wrapped(
        "  ",
        "The interval holds for photos from the same spot with the same aim; another viewpoint is another picture.",
    ));
    out.push_str(&notes(&doc.warnings));
    out
}

fn one(doc: &PhotoDoc) -> String {
    let measures = &doc.measures;
    let mut out = format!(
        "{}\n{} × {} pixels\n\n  busyness {:>5.1} ±{:.1}   pull {:.3}\n  clutter  {:>5.1}        edges {:.1} %, local spread {:.1}, {} regions\n  colour   {:>5.1}        strong colour on {:.1} % of the picture; colourfulness {:.0}\n",
        bold(&doc.photo.name),
        doc.photo.width,
        doc.photo.height,
        doc.busyness,
        doc.busyness_sd,
        doc.pull,
        measures.clutter,
        measures.edge_share * 100.0,
        measures.variability,
        measures.components,
        measures.colour,
        measures.chroma_share * 100.0,
        measures.colourfulness
    );
    if doc.busy_places.is_empty() {
        out.push_str("\nNo part of the picture is much busier than the rest.\n");
    } else {
        out.push_str("\nWhere the picture is busiest\n");
        for (number, place) in doc.busy_places.iter().enumerate() {
            let (x, y) = (place.x + place.width / 2.0, place.y + place.height / 2.0);
            let names: Vec<String> = place.could_be.iter().map(|id| named(id)).collect();
            let rest = match (place.stays, names.is_empty()) {
                (true, _) => "; it stays, and is never a thing to move".to_owned(),
                (false, true) => String::new(),
                (false, false) => format!("; could be {}", names.join(", ")),
            };
            let text = format!("{}, {:.0} % of its edges{rest}", whereabouts(x, y), place.share * 100.0);
            out.push_str(&wrapped(&format!("  {}. ", number + 1), &text));
        }
    }
    out.push_str(&notes(&doc.quality.warnings));
    out
}

/// A point of the picture in words.
fn whereabouts(x: f64, y: f64) -> &'static str {
    let third = |value: f64| if value < 1.0 / 3.0 { 0 } else { usize::from(value >= 2.0 / 3.0) + 1 };
    const WORDS: [[&str; 3]; 3] = [
        ["upper left", "upper middle", "upper right"],
        ["left", "middle", "right"],
        ["lower left", "lower middle", "lower right"],
    ];
    WORDS[third(y)][third(x)]
}

#[cfg(test)]
mod tests {
    use super::whereabouts;

    #[test]
    fn a_point_has_a_place_in_words() {
        assert_eq!(whereabouts(0.1, 0.1), "upper left");
        assert_eq!(whereabouts(0.5, 0.5), "middle");
        assert_eq!(whereabouts(1.0, 1.0), "lower right");
    }
}

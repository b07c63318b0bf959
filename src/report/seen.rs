//! What the photos show: each photo with its busiest places outlined, and its measures.

use maud::{Markup, html};

use super::chart::{Layout, Overlay};
use super::page::missing;
use super::{CaseReport, PhotoView, embed, say};
use crate::words::printable;

/// The section.
pub(crate) fn section(report: &CaseReport<'_>) -> Markup {
    let before: &[PhotoView<'_>] = report.before.as_ref().map_or(&[], |view| &view.photos);
    html! {
        @if report.now.photos.is_empty() {
            (missing("Not measured: this audit has no photo."))
            p { "Two photos from the child's seat at the child's eye height would show it." }
        } @else {
            p { "Busyness is how busy a picture is, from 0 to 100, by edges, spread of colour, number of regions \
                and strong colour; a convention. "
                "Clutter and colour are given apart, because they call for different remedies. The outlines stand \
                    where the picture is busiest; nothing here tells where anyone looks." }
            (photos(&report.now.photos, "now", report.place))
        }
        @if !before.is_empty() {
            h3 { "In the audit before" }
            (photos(before, "before", report.place))
        }
    }
}

fn photos(views: &[PhotoView<'_>], which: &str, place: &str) -> Markup {
    html! {
        div.photos {
            @for (k, view) in views.iter().enumerate() { (photo(view, &format!("photo-{which}-{}", k + 1), place)) }
        }
    }
}

fn photo(view: &PhotoView<'_>, id: &str, place: &str) -> Markup {
    let doc = view.doc;
    let name = printable(&doc.photo.name);
    let title = format!("Where the picture {name} is busiest");
    let overlay = Overlay { title: &title, size: (doc.photo.width, doc.photo.height), places: &doc.busy_places };
    let shape = if doc.photo.height > doc.photo.width { "upright" } else { "across" };
    html! {
        figure class={ "shot " (shape) } {
            div.photo style={ "aspect-ratio:" (doc.photo.width.max(1)) "/" (doc.photo.height.max(1)) } {
                @if !view.jpeg.is_empty() {
                    img src=(embed::jpeg(&view.jpeg)) alt=(format!("Photo {name} of {}", printable(place)))
                        width=(doc.photo.width) height=(doc.photo.height);
                }
                @for layout in [Layout::Wide, Layout::Narrow] { (overlay.draw(&layout.id(id), layout)) }
            }
            figcaption {
                p { strong { (name) } (format!(": busyness {} of 100 (standard deviation between retakes {}), clutter {}, \
                    colour {}, pull {}.", say::whole(doc.busyness), say::fixed(doc.busyness_sd, 1),
                    say::whole(doc.measures.clutter), say::whole(doc.measures.colour), say::fixed(doc.pull, 2))) }
                @if view.jpeg.is_empty() { p { "The photo itself was not kept; the outlines stand in an empty \
                    frame of its shape." } }
                @if doc.busy_places.is_empty() {
                    p { "No part stands out: the picture is evenly busy, or bare." }
                } @else {
                    p { "Where the picture is busiest, with the share of its busyness:" }
                    ol.places {
                        @for place in &doc.busy_places {
                            @let middle = (place.x + place.width / 2.0, place.y + place.height / 2.0);
                            li { (format!("{}, {}", say::percent(place.share), whereabouts(middle.0, middle.1))) }
                        }
                    }
                }
            }
        }
    }
}

/// A place in words, for those who do not see the outline.
fn whereabouts(x: f64, y: f64) -> String {
    let third = |value: f64, words: [&'static str; 3]| {
        if value < 1.0 / 3.0 {
            words[0]
        } else if value < 2.0 / 3.0 {
            words[1]
        } else {
            words[2]
        }
    };
    match (third(y, ["upper", "middle", "lower"]), third(x, ["left", "middle", "right"])) {
        ("middle", "middle") => "in the middle".to_owned(),
        ("middle", side) => format!("at the {side}, half way up"),
        (height, "middle") => format!("in the {height} middle"),
        (height, side) => format!("at the {height} {side}"),
    }
}

//! Numbered outlines over a photo, where the picture is busiest. The photo itself lies below, once, as an image.

use maud::{Markup, html};

use super::draw::{Frame, Hold, Ink, Layout, n, text};
use crate::contract::BusyPlaceDoc;
use crate::report::say;

/// What is outlined.
pub(crate) struct Overlay<'a> {
    /// The chart's name.
    pub(crate) title: &'a str,
    /// Pixels across and down.
    pub(crate) size: (u32, u32),
    /// The places, the busiest first, in fractions of the picture.
    pub(crate) places: &'a [BusyPlaceDoc],
}

impl Overlay<'_> {
    /// The outlines in one width; they lie exactly over a picture of that shape.
    pub(crate) fn draw(&self, id: &str, layout: Layout) -> Markup {
        let shape = f64::from(self.size.1.max(1)) / f64::from(self.size.0.max(1));
        let width = layout.width();
        let height = width * shape;
        let words: Vec<String> = self
            .places
            .iter()
            .enumerate()
            .map(|(k, place)| format!("{}: {} of the picture's busyness", k + 1, say::percent(place.share)))
            .collect();
        let desc = if words.is_empty() {
            "No part of the picture stands out as busiest.".to_owned()
        } else {
            format!("Outlined places where the picture is busiest. {}.", words.join("; "))
        };
        let frame = Frame { id, class: layout.class(), width, height, title: self.title, desc: &desc };
        let body = html! {
            @for place in self.places {
                @let corner = (n(place.x * width + 2.0), n(place.y * height + 2.0));
                @let size = (n((place.width * width - 4.0).max(1.0)), n((place.height * height - 4.0).max(1.0)));
                @for (ink, stroke, dash) in [("#fbf8f1", "5", None), ("#2a2621", "2.2", Some("9 4"))] {
                    rect x=(corner.0) y=(corner.1) width=(size.0) height=(size.1) rx="3" fill="none" stroke=(ink) stroke-width=(stroke)
                        stroke-dasharray=[dash] {}
                }
            }
            @for (k, place) in self.places.iter().enumerate() {
                @let middle = (place.x * width + 15.0, place.y * height + 15.0);
                circle cx=(n(middle.0)) cy=(n(middle.1)) r="11" fill="#fbf8f1" stroke="#2a2621" stroke-width="1.5" {}
                (number(middle, k + 1))
            }
        };
        frame.svg(&body)
    }
}

/// A number on its pale disc: the same on any photo and any page.
fn number((x, y): (f64, f64), number: usize) -> Markup {
    html! { g class="fixed" { (text(x, y + 5.0, Hold::Middle, Ink::Text, 14.0, &number.to_string())) } }
}

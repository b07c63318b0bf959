//! The doubtful circles of filled sheets, enlarged, on one page.

use maud::html;

use super::data_address;
use super::papers::frame::sheet;
use crate::language::Speaker;

/// A sheet's number, and of each doubtful circle its name, its words and its picture as JPEG.
pub type Shown = (String, Vec<(String, String, Vec<u8>)>);

/// The page; its words are in English and are said again in the speaker's language.
pub fn doubts(sheets: &[Shown], speaker: &Speaker) -> String {
    let body = html! {
        p { (speaker.say("doubts-how")) }
        @for (number, circles) in sheets {
            section {
                h2 { (number) }
                @for (name, words, picture) in circles {
                    figure {
                        img src=(data_address(picture)) alt=(words) width="396" height="198";
                        figcaption { (words) " · " code { (name) } }
                    }
                }
                @if circles.is_empty() { p { (speaker.say("doubts-none")) } }
            }
        }
    };
    sheet(&speaker.say("doubts-title"), "doubts", "", env!("CARGO_PKG_VERSION"), speaker, &body)
}

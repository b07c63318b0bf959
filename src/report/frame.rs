//! The document around a page that is a file of its own: its language, its style, no script, nothing fetched.

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::say;
use crate::language::Speaker;

/// The file: `body` is the body element, styles follow each other.
pub(super) fn document(title: &str, styles: &[&str], speaker: &Speaker, body: &Markup) -> String {
    let page = html! {
        (DOCTYPE)
        html lang=(speaker.language().page_tag()) dir=(speaker.language().direction()) {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="robots" content="noindex";
                meta name="referrer" content="no-referrer";
                title { (title) }
                style { @for style in styles { (PreEscaped(style)) } }
            }
            (body)
        }
    };
    speaker.retell_page(say::clean(page.into_string()))
}

//! The page as a reader, a browser and a screen reader take it.

use std::collections::BTreeSet;

use super::example::{Example, audit_report, case_report};

/// Elements that have no end tag. HTML Living Standard, section 13.1.2 (from memory).
const VOID: [&str; 5] = ["meta", "br", "img", "link", "input"];

/// The start and end tags of a page, in order, with their attributes as text.
pub(crate) fn tags(page: &str) -> Vec<(bool, String, String)> {
    let mut tags = Vec::new();
    let mut rest = page;
    while let Some(start) = rest.find('<') {
        rest = &rest[start + 1..];
        let end = rest.find('>').unwrap();
        let (inside, after) = rest.split_at(end);
        rest = &after[1..];
        if inside.starts_with('!') {
            continue;
        }
        let closing = inside.starts_with('/');
        let inside = inside.trim_start_matches('/');
        let (name, attributes) = inside.split_once(' ').unwrap_or((inside, ""));
        tags.push((closing, name.to_owned(), attributes.to_owned()));
    }
    tags
}

/// Every tag is closed by its own, in order.
#[track_caller]
pub(crate) fn nested(page: &str) {
    let mut open: Vec<String> = Vec::new();
    for (closing, name, _) in tags(page) {
        if closing {
            assert_eq!(open.pop(), Some(name));
        } else if !VOID.contains(&name.as_str()) {
            open.push(name);
        }
    }
    assert!(open.is_empty(), "{open:?}");
}

/// The values of an attribute in a page.
fn values<'p>(page: &'p str, attribute: &str) -> Vec<&'p str> {
    let name = format!(" {attribute}=\"");
    page.match_indices(&name).map(|(start, _)| page[start + name.len()..].split('"').next().unwrap()).collect()
}

/// What a reader reads: no tags, no style, entities undone.
pub(crate) fn words(page: &str) -> String {
    let body = &page[page.find("<body>").unwrap()..];
    let mut text = String::new();
    let mut inside = false;
    for sign in body.chars() {
        match sign {
            '<' => {
                inside = true;
                text.push(' ');
            }
            '>' => inside = false,
            _ if !inside => text.push(sign),
            _ => {}
        }
    }
    let text = text
        .replace('\u{a0}', " ")
        .replace("&quot;", "\"")
        .replace("&lt;", "<")
        .replace("&gt;", ">")
        .replace("&amp;", "&");
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn the_page_fetches_nothing_and_runs_nothing() {
    let example = Example::new();
    for page in [case_report(&example.report()), audit_report(&example.report())] {
        nested(&page);
        assert!(values(&page, "href").iter().all(|address| address.starts_with('#')));
        assert!(values(&page, "src").iter().all(|address| address.starts_with("data:image/jpeg;base64,")));
        assert_eq!(values(&page, "src").len(), 2);
        for never in
            ["<script", "<link", "<iframe", "<object", "@import", "javascript:", " onload", " onclick", "srcset"]
        {
            assert!(!page.contains(never), "{never}");
        }
        assert!(!page.replace("xmlns=\"http://www.w3.org/2000/svg\"", "").contains("://"));
        assert_eq!(page.matches("url(").count(), page.matches("url(#").count());
    }
}

#[test]
fn every_link_of_the_contents_leads_to_a_section() {
    let example = Example::new();
    let page = case_report(&example.report());
    let ids: Vec<&str> = values(&page, "id");
    let unique: BTreeSet<&str> = ids.iter().copied().collect();
    assert_eq!(ids.len(), unique.len(), "an id stands twice");
    assert!(values(&page, "href").iter().all(|address| unique.contains(&address[1..])));
    for names in values(&page, "aria-labelledby") {
        assert!(names.split(' ').all(|name| unique.contains(name)), "{names}");
    }
}

#[test]
fn headings_go_down_one_by_one_and_tables_name_their_cells() {
    let example = Example::new();
    let page = case_report(&example.report());
    assert!(page.starts_with("<!DOCTYPE html><html lang=\"en-GB\" dir=\"ltr\">"));
    let levels: Vec<u32> = tags(&page)
        .iter()
        .filter(|(closing, name, _)| !closing && name.len() == 2 && name.starts_with('h') && name != "hr")
        .map(|(_, name, _)| name[1..].parse().unwrap())
        .collect();
    assert_eq!(levels.iter().filter(|level| **level == 1).count(), 1);
    assert_eq!(levels[0], 1);
    assert!(levels.windows(2).all(|pair| pair[1] <= pair[0] + 1), "{levels:?}");
    assert_eq!(page.matches("<table").count(), page.matches("<caption>").count());
    assert!(
        tags(&page)
            .iter()
            .filter(|(closing, name, _)| !closing && name == "th")
            .all(|(_, _, attributes)| attributes.contains("scope="))
    );
    let charts = tags(&page).into_iter().filter(|(closing, name, _)| !closing && name == "svg");
    assert!(
        charts
            .map(|(_, _, attributes)| attributes)
            .all(|attributes| attributes.contains("role=\"img\"") && attributes.contains("aria-labelledby="))
    );
    assert_eq!(page.matches("<svg").count(), page.matches("<desc ").count());
    assert!(
        tags(&page)
            .iter()
            .filter(|(_, name, _)| name == "img")
            .all(|(_, _, attributes)| attributes.contains("alt=\"Photo "))
    );
}

/// The example's figures, worked out by hand from its numbers and rounded as a person would.
#[test]
fn every_figure_that_matters_is_told() {
    let example = Example::new();
    let text = words(&case_report(&example.report()));
    for told in [
        "Wren, 4 years 3 months",
        "building with blocks beside an adult",
        "2 March 2025",
        "This measures the room, not the child.",
        "not a validated scale",
        "was gentle: 36 on a line from 0 to 100, between 30 and 44",
        "3 minutes",
        "5 minutes",
        "The load would then be about 21 instead of 36",
        "picture schedule, ear defenders and chewable necklace",
        "The load went from 72 to 36, a difference of −36 (95 % interval −37 to −19)",
        "0.28 0.00 −0.28",
        "The room is calmer",
        "24 %",
        "20 %",
        "18 (was 53)",
        "22 (was 30)",
        "39.2 dB",
        "31.1 dB",
        "56.4 dB",
        "3 a minute",
        "37 % of the time",
        "19.2 dB",
        "15 dB and more",
        "No standard exists for a learning corner at home, and a minute is not an hour",
        "standard uncertainty of 1.5 dB",
        "busyness 44 of 100 (standard deviation between retakes 1.0), clutter 50, colour 26, pull 0.15",
        "21 %, at the left, half way up",
        "Not signed yet.",
        "the largest is 0.16",
        "14. Another child playing in view: three, on the shelf",
        "wooden train, two dolls and building bricks",
        "Stay on rung 3 .",
        "one more on another day",
        "+0.8 (95 % interval −0.4 to +3.1)",
        "0.97 (95 % interval 0.71 to 0.99)",
        "82 %",
        "about rung 5.1 (between 3.9 and 6.4; standard deviation 0.8)",
        "about 71 % independent answers",
        "Distress was noted in 1 and assent withdrawn in 1 of 24 sessions.",
        "Is there glare or flicker on the table?",
        "[visit]".trim_matches(['[', ']']),
        "Heard: the checklist gives a pull of 0.25, the measurement 0.09",
        "with U the sum of the pulls, here 0.450",
        "load = 100 (1 − e^−0.45) = 36",
        "poles at 20.6, 107.7, 737.9 and 12194 Hz standard IEC 61672-1:2013",
        "2 practice common practice, no source",
        "9f2c11d07ab3e412",
        "holds no name and no birth date",
        "Made on 10 April 2025 with stillroom 0.1.0.",
        "Local rules and the judgement of licensed clinicians come before anything in this report.",
    ] {
        assert!(text.contains(told), "{told}\n\n{text}");
    }
    for rung in &example.ladder.rungs {
        assert!(text.contains(&format!("{:.1} +{:.1} {:.2}", rung.load, rung.rise, rung.step)), "rung {}", rung.number);
    }
}

#[test]
fn the_page_never_says_what_must_not_be_said() {
    let example = Example::new();
    let text = words(&case_report(&example.report())).to_lowercase();
    for never in [
        "where the child looks",
        "severity",
        "developmental age",
        "cure",
        "attention improved",
        "quiet hands",
        "eye contact",
        "speech detected",
        "normal",
        "perfect",
        "fails",
    ] {
        assert!(!text.contains(never), "{never}");
    }
    assert_eq!(text.matches("not a validated scale").count(), 1, "the statement stands once");
}

/// Relative luminance, WCAG 2.1. [WCAG21]
fn luminance(hex: &str) -> f64 {
    let part = |from: usize| {
        let value = f64::from(u8::from_str_radix(&hex[from..from + 2], 16).unwrap()) / 255.0;
        if value <= 0.04045 { value / 12.92 } else { ((value + 0.055) / 1.055).powf(2.4) }
    };
    0.2126 * part(1) + 0.7152 * part(3) + 0.0722 * part(5)
}

fn contrast(a: &str, b: &str) -> f64 {
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

#[test]
fn text_and_charts_have_contrast_enough_by_day_and_by_night() {
    /// WCAG 2.1, success criteria 1.4.3 (AA, text) and 1.4.11 (parts of a chart).
    const TEXT: f64 = 4.5;
    const GRAPHIC: f64 = 3.0;
    let page = case_report(&Example::new().report());
    let palettes: Vec<&str> = page.split(":root{").skip(1).map(|rest| rest.split('}').next().unwrap()).collect();
    let full: Vec<&&str> = palettes.iter().filter(|palette| palette.contains("--text:")).collect();
    assert_eq!(full.len(), 2);
    for palette in full {
        let colour = |name: &str| {
            let name = format!("--{name}:");
            let start = palette.find(&name).unwrap() + name.len();
            &palette[start..start + 7]
        };
        for paper in ["paper", "card"] {
            for ink in ["text", "quiet", "deep"] {
                assert!(contrast(colour(ink), colour(paper)) >= TEXT, "{ink} on {paper}");
            }
        }
        assert!(contrast(colour("hatch"), colour("hatch-back")) >= GRAPHIC);
        assert!(contrast(colour("dot"), colour("dot-back")) >= GRAPHIC);
        assert!(contrast(colour("text"), colour("middling")) >= GRAPHIC, "octave lines over bars");
    }
}

#[test]
#[expect(clippy::disallowed_methods, reason = "a stopwatch around a pure function")]
fn a_report_without_photos_is_small_and_quick() {
    /// A page that opens at once; measured far below.
    const LARGEST: usize = 1_000_000;
    const LONGEST_MS: u128 = 150;
    let example = Example::new();
    let mut report = example.report();
    report.now.photos.clear();
    let mut quickest = u128::MAX;
    for _ in 0..5 {
        let start = std::time::Instant::now();
        let page = case_report(&report);
        quickest = quickest.min(start.elapsed().as_millis());
        assert!(page.len() < LARGEST);
    }
    assert!(quickest < LONGEST_MS, "{quickest} ms");
}

#[test]
fn the_report_of_an_audit_tells_nothing_of_plan_and_practice() {
    let example = Example::new();
    let page = audit_report(&example.report());
    std::fs::write(concat!(env!("CARGO_TARGET_TMPDIR"), "/report.html"), case_report(&example.report())).unwrap();
    for gone in ["The ladder", "Practice so far", "no session is recorded"] {
        assert!(!page.contains(gone), "{gone}");
    }
    assert!(page.contains("What to move first"));
}

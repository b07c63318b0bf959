//! The charts as pictures, beside pictures that were looked at.
//!
//! `tests/oracle/charts/` holds every chart of the invented case, wide and for a telephone, drawn with DejaVu Serif by
//! the renderer of the tests and looked at by a person. A chart that changes on purpose is drawn anew into
//! `target/tmp/charts/`, looked at, and copied.

use std::path::{Path, PathBuf};

use resvg::{tiny_skia, usvg};

use stillroom::language::{Language, Speaker};

use super::charts::{charts, legible, options};
use super::example::{Example, case_report};

/// A colour may be off by this much of 255: rounding of blended edges.
const OFF: u8 = 24;
/// At most this share of the pixels may be off by more: edges of letters and lines, should another processor round
/// them otherwise. A word moved by two units is more (tried: 0.3 % and up).
const SHARE: f64 = 0.001;

fn reviewed() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/oracle/charts")
}

fn name(chart: &str) -> String {
    let after = chart.split("aria-labelledby=\"").nth(1).unwrap();
    after.split("-title").next().unwrap().to_owned()
}

/// A chart on white.
fn picture(chart: &str) -> image::RgbImage {
    let tree = usvg::Tree::from_str(chart, options()).unwrap();
    let size = tree.size().to_int_size();
    let mut canvas = tiny_skia::Pixmap::new(size.width(), size.height()).unwrap();
    canvas.fill(tiny_skia::Color::WHITE);
    resvg::render(&tree, tiny_skia::Transform::default(), &mut canvas.as_mut());
    let pixels = canvas.pixels().iter().flat_map(|pixel| [pixel.red(), pixel.green(), pixel.blue()]).collect();
    image::RgbImage::from_raw(size.width(), size.height(), pixels).unwrap()
}

/// The share of pixels that differ, 1 where the shapes differ.
fn differing(one: &image::RgbImage, other: &image::RgbImage) -> f64 {
    if one.dimensions() != other.dimensions() {
        return 1.0;
    }
    let off = one.pixels().zip(other.pixels()).filter(|(a, b)| (0..3).any(|k| a[k].abs_diff(b[k]) > OFF)).count();
    off as f64 / f64::from(one.width() * one.height())
}

fn all() -> Vec<(String, String)> {
    let page = case_report(&Example::new().report());
    charts(&page).into_iter().map(|chart| (name(chart), chart.to_owned())).collect()
}

#[test]
fn every_chart_looks_as_it_was_reviewed() {
    assert!(
        options().fontdb.faces().any(|face| face.families.iter().any(|family| family.0 == "DejaVu Serif")),
        "the reviewed charts are drawn with DejaVu Serif: apt-get install fonts-dejavu-core"
    );
    let drawn = Path::new(env!("CARGO_TARGET_TMPDIR")).join("charts");
    std::fs::create_dir_all(&drawn).unwrap();
    let mut wrong = Vec::new();
    let mut names = Vec::new();
    for (name, chart) in all() {
        let now = picture(&chart);
        now.save(drawn.join(format!("{name}.png"))).unwrap();
        match image::open(reviewed().join(format!("{name}.png"))) {
            Ok(then) => {
                let share = differing(&now, &then.to_rgb8());
                if share > SHARE {
                    wrong.push(format!("{name}: {:.2} % of the pixels differ", share * 100.0));
                }
            }
            Err(error) => wrong.push(format!("{name}: not reviewed ({error})")),
        }
        names.push(format!("{name}.png"));
    }
    assert!(wrong.is_empty(), "look at {} and copy what is right:\n{}", drawn.display(), wrong.join("\n"));
    let mut kept: Vec<String> = std::fs::read_dir(reviewed())
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter(|name| name.ends_with(".png"))
        .collect();
    kept.sort();
    names.sort();
    assert_eq!(kept, names);
}

#[test]
fn a_moved_word_and_a_changed_bar_are_seen() {
    let (_, chart) = all().into_iter().find(|(name, _)| name == "load-w").unwrap();
    let then = picture(&chart);
    assert!(differing(&picture(&chart), &then) <= SHARE);
    let valued = chart.find("data-value=\"").unwrap();
    let place = chart[..valued].rfind("<rect").unwrap();
    let width = chart[place..].find("width=\"").unwrap() + place + 7;
    let end = chart[width..].find('"').unwrap() + width;
    let shorter: f64 = chart[width..end].parse::<f64>().unwrap() - 5.0;
    let changed = format!("{}{shorter}{}", &chart[..width], &chart[end..]);
    assert!(differing(&picture(&changed), &then) > SHARE);
    let word = chart.find("<text").unwrap();
    let moved = chart[..word].to_owned() + &chart[word..].replacen("x=\"", "dx=\"6\" x=\"", 1);
    assert!(differing(&picture(&moved), &then) > SHARE);
}

#[test]
fn every_chart_has_a_name_a_description_and_letters_for_a_telephone() {
    for (name, chart) in all() {
        for part in ["title", "desc"] {
            let inside = chart.split(&format!("<{part}")).nth(1).unwrap().split('>').nth(1).unwrap();
            assert!(inside.trim_end_matches("</title").trim().len() > 8, "{name} has no {part}");
        }
        // A telephone shows 320 units on 320 pixels or more; nine pixels can be read.
        for size in chart.split("font-size=\"").skip(1) {
            let size: f64 = size.split('"').next().unwrap().parse().unwrap();
            assert!(size >= 9.0, "{name}: letters of {size}");
        }
    }
}

#[test]
fn charts_are_legible_in_spanish() {
    let speaker = Speaker::new(Language::Spanish);
    let example = Example::new();
    let page = stillroom::report::case_report(&example.report(), &speaker);
    for chart in charts(&page) {
        legible(chart);
    }
}

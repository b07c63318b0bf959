//! A recording on one sheet: every picture is there that was measured, sudden sounds stand where they began, and a decay
//! falls as its numbers do.

use resvg::usvg::roxmltree::Document;
use serde_json::json;

use stillroom::contract::{DecayDoc, SoundDoc};
use stillroom::report::chart::sound_svg;

use super::charts::{drawn, legible, proportional};
use super::example::{Example, case_report, curve};

const SVG: &str = "http://www.w3.org/2000/svg";

fn decay() -> DecayDoc {
    // Straight decays: 60 dB in 0.6 and in 0.45 s.
    let levels = |time: f64| (0..70).map(|at| -60.0 * f64::from(at) * 0.01 / time).collect::<Vec<f64>>();
    serde_json::from_value(json!({
        "t20_s": 0.53, "t30_s": 0.53, "edt_s": 0.53, "bands": [],
        "curves": [{ "hz": 500.0, "step_s": 0.01, "db": levels(0.6) }, { "hz": 1000.0, "step_s": 0.01, "db": levels(0.45) }],
    }))
    .unwrap()
}

fn whole() -> SoundDoc {
    let mut sound = Example::new().sound;
    sound.events_s = vec![0.3, 21.2, 42.5];
    sound.decay = Some(decay());
    sound
}

#[test]
fn a_sheet_holds_every_picture_that_was_measured() {
    let sound = whole();
    let (number, levels) = curve(&sound.octaves);
    let svg = sound_svg(&sound, Some((number, &levels)));
    legible(&svg);
    let document = Document::parse(&svg).unwrap();
    let titles: Vec<&str> = document
        .descendants()
        .filter(|node| node.has_tag_name((SVG, "title")))
        .filter_map(|node| node.text())
        .collect();
    assert_eq!(titles, ["Sound in third-octave bands: window-table.wav", "The level over the recording", "The decay"]);
    // Each picture stands below the one before and none is cut off.
    let height: f32 = document.root_element().attribute("height").unwrap().parse().unwrap();
    let inner: Vec<f32> = document
        .descendants()
        .skip(2)
        .filter(|node| node.has_tag_name((SVG, "svg")))
        .map(|node| node.attribute("height").unwrap().parse().unwrap())
        .collect();
    assert_eq!(inner.len(), 3);
    assert!((inner.iter().sum::<f32>() - height).abs() < 0.2, "{inner:?} {height}");
    assert!((drawn(&svg).size().height() - height).abs() < 0.1);

    let bare = SoundDoc { history_laeq_db: Vec::new(), decay: None, ..sound };
    let svg = sound_svg(&bare, None);
    assert!(!svg.contains("The level over") && !svg.contains("The decay"));
}

#[test]
fn sudden_sounds_are_marked_where_they_began_and_said_in_words() {
    let svg = sound_svg(&whole(), None);
    let document = Document::parse(&svg).unwrap();
    let marks: Vec<(f64, f64)> = document
        .descendants()
        .filter(|node| node.has_tag_name((SVG, "polygon")))
        .map(|node| {
            let points = node.attribute("points").unwrap();
            let tip = points.split(' ').nth(2).unwrap().split(',').next().unwrap();
            (node.attribute("data-value").unwrap().parse().unwrap(), tip.parse().unwrap())
        })
        .collect();
    assert_eq!(marks.iter().map(|mark| mark.0).collect::<Vec<_>>(), [0.3, 21.2, 42.5]);
    proportional(&marks, false);
    assert!(svg.contains("3 sudden sounds, marked with wedges, began at the seconds 0.3, 21.2, 42.5."));
    // One beyond the end is none of this recording's.
    let mut odd = whole();
    odd.events_s = vec![f64::NAN, -3.0, 9999.0];
    assert!(!sound_svg(&odd, None).contains("<polygon"));
}

#[test]
fn a_decay_falls_as_its_numbers_do() {
    let svg = sound_svg(&whole(), None);
    let document = Document::parse(&svg).unwrap();
    let chart = document
        .descendants()
        .find(|node| node.attribute("aria-labelledby").is_some_and(|names| names.contains("decay-title")))
        .unwrap();
    let lines: Vec<Vec<(f64, f64)>> = chart
        .descendants()
        .filter(|node| node.has_tag_name((SVG, "polyline")))
        .map(|node| {
            let pair = |pair: &str| {
                let (x, y) = pair.split_once(',').unwrap();
                (x.parse().unwrap(), y.parse().unwrap())
            };
            node.attribute("points").unwrap().split(' ').map(pair).collect()
        })
        .collect();
    assert_eq!(lines.len(), 2);
    for line in &lines {
        proportional(line, false);
    }
    let slope = |line: &[(f64, f64)]| (line[line.len() - 1].1 - line[0].1) / (line[line.len() - 1].0 - line[0].0);
    // 0.6 s against 0.45 s: the second falls a third faster.
    let ratio = slope(&lines[1]) / slope(&lines[0]);
    assert!((ratio - 0.6 / 0.45).abs() < 0.01, "{ratio}");
    assert!(svg.contains("octave of 500 Hz") && svg.contains("octave of 1k Hz"));
}

#[test]
fn a_report_shows_the_decay_and_the_marks_in_both_widths() {
    let mut example = Example::new();
    example.sound = whole();
    let page = case_report(&example.report());
    for id in ["decay-w", "decay-n", "history-w", "history-n"] {
        let title = format!("\"{id}-title {id}-desc\"");
        let chart = super::charts::charts(&page).into_iter().find(|chart| chart.contains(&title)).unwrap();
        legible(chart);
        assert_eq!(chart.matches("<polygon").count(), if id.starts_with("decay") { 0 } else { 3 }, "{id}");
    }
}

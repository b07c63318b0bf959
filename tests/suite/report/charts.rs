//! The charts as an SVG renderer takes them: they parse, draw, keep their words apart, and their sizes are the numbers.

use std::sync::{Arc, OnceLock};

use resvg::tiny_skia;
use resvg::usvg::{self, Node, Rect, roxmltree};

use stillroom::contract::BandDoc;
use stillroom::report::chart::bands_svg;
use stillroom::report::{SessionKind, SessionPoint};

use super::example::{Example, case_report, curve, session};

/// Coordinates are written to a tenth of a unit: half of that at each of two ends.
const DRAWN: f64 = 0.11;

/// Serifs where systems keep them, the widest first.
const FONTS: [&str; 4] = [
    "/usr/share/fonts/truetype/dejavu/DejaVuSerif.ttf",
    "/usr/share/fonts/truetype/noto/NotoSerif-Regular.ttf",
    "/System/Library/Fonts/Supplemental/Georgia.ttf",
    "C:/Windows/Fonts/pala.ttf",
];

/// The charts in a page.
pub(crate) fn charts(page: &str) -> Vec<&str> {
    page.match_indices("<svg")
        .map(|(start, _)| &page[start..start + page[start..].find("</svg>").unwrap() + 6])
        .collect()
}

/// The chart of that id.
fn chart<'p>(page: &'p str, id: &str) -> &'p str {
    let title = format!("\"{id}-title {id}-desc\"");
    charts(page).into_iter().find(|chart| chart.contains(&title)).unwrap()
}

pub(crate) fn options() -> &'static usvg::Options<'static> {
    static OPTIONS: OnceLock<usvg::Options<'static>> = OnceLock::new();
    OPTIONS.get_or_init(|| {
        let mut options = usvg::Options::default();
        // A serif that the machine has; without one the words are left out of the drawing and the rest is checked.
        let fonts = Arc::make_mut(&mut options.fontdb);
        if let Some(bytes) = FONTS.iter().find_map(|path| std::fs::read(path).ok()) {
            fonts.load_font_data(bytes);
        }
        let family = fonts.faces().next().map(|face| face.families[0].0.clone());
        if let Some(family) = family {
            fonts.set_serif_family(family);
        }
        options
    })
}

/// Parses and draws a chart; there is something on it.
#[track_caller]
pub(crate) fn drawn(svg: &str) -> usvg::Tree {
    let tree = usvg::Tree::from_str(svg, options()).unwrap();
    let size = tree.size().to_int_size();
    let mut canvas = tiny_skia::Pixmap::new(size.width(), size.height()).unwrap();
    resvg::render(&tree, tiny_skia::Transform::default(), &mut canvas.as_mut());
    let inked = canvas.pixels().iter().filter(|pixel| pixel.alpha() > 0).count();
    // An overlay without a place, and a page of words on a machine without fonts, are empty on purpose.
    assert!(inked > 50 || svg.contains("No part of the picture") || !svg.contains("<line"), "{svg}");
    tree
}

fn word_boxes(group: &usvg::Group, found: &mut Vec<(String, Rect)>) {
    for node in group.children() {
        match node {
            Node::Group(inner) => word_boxes(inner, found),
            Node::Text(text) => {
                let words = text.chunks().iter().map(usvg::TextChunk::text).collect::<Vec<_>>().concat();
                found.push((words, text.abs_bounding_box()));
            }
            _ => {}
        }
    }
}

/// Words stay on the paper and off each other.
#[track_caller]
pub(crate) fn legible(svg: &str) {
    /// Boxes hold the room above and below letters, which may touch.
    const TOUCH: f32 = 4.0;
    let tree = drawn(svg);
    let mut words = Vec::new();
    word_boxes(tree.root(), &mut words);
    for (text, area) in &words {
        assert!(
            area.left() >= -1.0 && area.right() <= tree.size().width() + 1.0,
            "`{text}` leaves the paper: {area:?}"
        );
        assert!(
            area.top() >= -2.0 && area.bottom() <= tree.size().height() + 2.0,
            "`{text}` leaves the paper: {area:?}"
        );
    }
    for (k, (one, a)) in words.iter().enumerate() {
        for (other, b) in &words[k + 1..] {
            let across = a.right().min(b.right()) - a.left().max(b.left());
            let down = a.bottom().min(b.bottom()) - a.top().max(b.top());
            assert!(across <= 0.5 || down <= TOUCH, "`{one}` lies on `{other}`\n{a:?}\n{b:?}");
        }
    }
}

/// Attributes of every element of that kind with a value: the value first.
fn valued(svg: &str, element: &str, attributes: &[&str]) -> Vec<(f64, Vec<f64>)> {
    let document = roxmltree::Document::parse(svg).unwrap();
    document
        .descendants()
        .filter(|node| node.has_tag_name(("http://www.w3.org/2000/svg", element)))
        .filter_map(|node| {
            let value = node.attribute("data-value")?.parse().unwrap();
            Some((value, attributes.iter().map(|name| node.attribute(*name).unwrap().parse().unwrap()).collect()))
        })
        .collect()
}

/// Lengths against the numbers they stand for: one straight line through all of them (and through zero, if asked).
#[track_caller]
pub(crate) fn proportional(pairs: &[(f64, f64)], from_zero: bool) {
    assert!(pairs.len() >= 2);
    let low = if from_zero { (0.0, 0.0) } else { *pairs.iter().min_by(|a, b| a.0.total_cmp(&b.0)).unwrap() };
    let high = *pairs.iter().max_by(|a, b| a.0.total_cmp(&b.0)).unwrap();
    let slope = (high.1 - low.1) / (high.0 - low.0);
    assert!(slope.abs() > 0.0);
    for (value, length) in pairs {
        let expected = low.1 + slope * (value - low.0);
        // The ends carry the rounding of their own coordinates, and so does the slope drawn through them.
        assert!((length - expected).abs() <= 2.0 * DRAWN, "{value}: {length}, not {expected}");
    }
}

#[test]
fn every_chart_of_a_report_parses_draws_and_is_legible() {
    let page = case_report(&Example::new().report());
    let all = charts(&page);
    assert_eq!(all.len(), 2 * (4 + 2 + 2 + 2));
    for chart in all {
        legible(chart);
    }
}

#[test]
fn bars_are_as_long_as_their_numbers() {
    let page = case_report(&Example::new().report());
    for name in ["load", "change", "channels", "surfaces"] {
        for width in ["w", "n"] {
            let bars = valued(chart(&page, &format!("{name}-{width}")), "rect", &["width"]);
            let mut pairs: Vec<(f64, f64)> = bars.iter().map(|(value, length)| (*value, length[0])).collect();
            pairs.push((0.0, 0.0));
            proportional(&pairs, true);
        }
    }
}

#[test]
fn the_load_bar_ends_where_the_axis_says() {
    let example = Example::new();
    let page = case_report(&example.report());
    let bar = &valued(chart(&page, "load-w"), "rect", &["x", "width"])[0];
    let document = roxmltree::Document::parse(chart(&page, "load-w")).unwrap();
    let tick = |label: &str| -> f64 {
        let node = document
            .descendants()
            .find(|node| node.text() == Some(label) && node.has_tag_name(("http://www.w3.org/2000/svg", "text")))
            .unwrap();
        node.attribute("x").unwrap().parse().unwrap()
    };
    let (zero, hundred) = (tick("0"), tick("100"));
    let expected = zero + (hundred - zero) * example.now.load / 100.0;
    assert!((bar.1[0] + bar.1[1] - expected).abs() <= 2.0 * DRAWN);
}

#[test]
fn bands_rise_with_their_levels() {
    let example = Example::new();
    let page = case_report(&example.report());
    for id in ["bands-w", "bands-n"] {
        let bars = valued(chart(&page, id), "rect", &["height", "y"]);
        assert_eq!(bars.len(), 29);
        proportional(&bars.iter().map(|(value, size)| (*value, size[0])).collect::<Vec<_>>(), false);
        let feet: Vec<f64> = bars.iter().map(|(_, size)| size[0] + size[1]).collect();
        assert!(feet.iter().all(|foot| (foot - feet[0]).abs() <= DRAWN), "all stand on one line");
    }
}

#[test]
fn the_criterion_curve_touches_an_octave_and_no_octave_passes_it() {
    let example = Example::new();
    let (_, levels) = curve(&example.sound.octaves);
    let octaves = &example.sound.octaves[1..9];
    let room: Vec<f64> = levels.iter().zip(octaves).map(|(curve, octave)| curve.db - octave.db).collect();
    assert!(room.iter().all(|room| *room >= 0.0) && room.iter().any(|room| *room < 0.2));
    let svg = bands_svg(&example.sound, Some(&example.sound_before), Some((26.4, &levels)));
    let document = roxmltree::Document::parse(&svg).unwrap();
    let points = |dashed: bool, count: usize| -> Vec<(f64, f64)> {
        document
            .descendants()
            .filter(|node| {
                node.has_tag_name(("http://www.w3.org/2000/svg", "polyline"))
                    && node.attribute("stroke-dasharray").is_some() == dashed
            })
            .map(|node| {
                node.attribute("points")
                    .unwrap()
                    .split(' ')
                    .map(|point| point.split_once(',').map(|(x, y)| (x.parse().unwrap(), y.parse().unwrap())).unwrap())
                    .collect::<Vec<(f64, f64)>>()
            })
            .find(|points| points.len() == count)
            .unwrap()
    };
    let drawn_curve = points(true, 8);
    let pairs: Vec<(f64, f64)> = levels.iter().zip(&drawn_curve).map(|(band, point)| (band.db, point.1)).collect();
    proportional(&pairs, false);
    // A band's place follows the logarithm of its frequency: octaves are evenly far apart but for the nominal names.
    let steps: Vec<f64> = drawn_curve.windows(2).map(|pair| pair[1].0 - pair[0].0).collect();
    assert!(steps.iter().all(|step| (step - steps[0]).abs() < 0.03 * steps[0]), "{steps:?}");
}

#[test]
fn a_standalone_chart_is_a_whole_svg_file() {
    let example = Example::new();
    let (number, levels) = curve(&example.sound.octaves);
    let svg = bands_svg(&example.sound, None, Some((number, &levels)));
    assert!(svg.starts_with("<svg xmlns=\"http://www.w3.org/2000/svg\"") && svg.ends_with("</svg>\n"));
    assert!(svg.contains("window-table.wav") && svg.contains("curve NC 26") && !svg.contains("audit before"));
    legible(&svg);
    let silent =
        stillroom::contract::SoundDoc { third_octaves: Vec::new(), octaves: Vec::new(), ..example.sound.clone() };
    assert!(bands_svg(&silent, None, None).contains("not measured"));
}

#[test]
fn decibels_from_two_zeros_are_not_drawn_together() {
    let mut example = Example::new();
    example.sound_before.level_unit = "dBFS".to_owned();
    assert!(!bands_svg(&example.sound, Some(&example.sound_before), None).contains("audit before"));
    assert!(case_report(&example.report()).contains("counts its decibels from another zero"));
}

#[test]
fn levels_below_full_scale_are_drawn_too() {
    let mut example = Example::new();
    for band in example.sound.third_octaves.iter_mut().chain(&mut example.sound.octaves) {
        band.db -= 95.0;
    }
    example.sound.level_unit = "dBFS".to_owned();
    let svg = bands_svg(&example.sound, None, None);
    legible(&svg);
    let bars = valued(&svg, "rect", &["height"]);
    assert_eq!(bars.len(), 29);
    proportional(&bars.iter().map(|(value, size)| (*value, size[0])).collect::<Vec<_>>(), false);
}

#[test]
fn stairs_are_as_high_as_the_loads() {
    let example = Example::new();
    let page = case_report(&example.report());
    for (id, attribute) in [("ladder-chart-w", "height"), ("ladder-chart-n", "width")] {
        let parts = valued(chart(&page, id), "rect", &[attribute]);
        assert_eq!(parts.len(), 1 + 2 * example.ladder.rungs.len());
        proportional(&parts.iter().map(|(value, size)| (*value, size[0])).collect::<Vec<_>>(), true);
        for (k, rung) in example.ladder.rungs.iter().enumerate() {
            let whole = parts[2 * k + 1].0 + parts[2 * k + 2].0;
            assert!((whole - rung.load).abs() < 1e-9, "a pale part and what the rung adds make its load");
        }
    }
}

#[test]
fn sessions_stand_as_high_as_their_shares() {
    let example = Example::new();
    let page = case_report(&example.report());
    for id in ["sessions-w", "sessions-n"] {
        let points = valued(chart(&page, id), "circle", &["cy"]);
        let round = |session: &&SessionPoint| !matches!(session.kind, SessionKind::Probe | SessionKind::Maintenance);
        assert_eq!(points.len(), example.sessions.iter().filter(round).count());
        proportional(&points.iter().map(|(value, place)| (*value, place[0])).collect::<Vec<_>>(), false);
    }
}

/// Lengths of the data paths of a single-case graph.
fn paths(sessions: Vec<SessionPoint>) -> Vec<usize> {
    let mut example = Example::new();
    example.sessions = sessions;
    let page = case_report(&example.report());
    let document = roxmltree::Document::parse(chart(&page, "sessions-w")).unwrap();
    document
        .descendants()
        .filter(|node| node.has_tag_name(("http://www.w3.org/2000/svg", "polyline")))
        .map(|node| node.attribute("points").unwrap().split(' ').count())
        .collect()
}

#[test]
fn the_path_breaks_at_a_new_rung_and_at_a_gap_of_more_than_ten_days() {
    let on = |days: i32, rung: u32| session(days, rung, 0.5);
    assert_eq!(paths(vec![on(0, 1), on(1, 1), on(2, 1), on(3, 1)]), [4]);
    assert_eq!(paths(vec![on(0, 1), on(1, 1), on(2, 2), on(3, 2), on(4, 2)]), [2, 3]);
    assert_eq!(
        paths(vec![on(0, 1), on(1, 1), on(11, 1), on(22, 1), on(23, 1)]),
        [3, 2],
        "ten days join, eleven do not"
    );
    let probe = SessionPoint { kind: SessionKind::Probe, ..on(2, 7) };
    assert_eq!(paths(vec![on(0, 1), on(1, 1), probe, on(3, 1)]), [3], "a probe is passed over and begins no phase");
    let baseline = SessionPoint { kind: SessionKind::Baseline, ..on(0, 1) };
    assert_eq!(
        paths(vec![baseline.clone(), SessionPoint { date: on(1, 1).date, ..baseline }, on(2, 1), on(3, 1)]),
        [2, 2]
    );
}

#[test]
fn distress_withdrawn_assent_and_harm_are_always_marked() {
    let mut sessions: Vec<SessionPoint> = (0..12).map(|day| session(day, 1, 1.0)).collect();
    sessions[3].distress = true;
    sessions[3].share = None;
    sessions[7].assent = false;
    sessions[9].kind = SessionKind::Harm;
    let mut example = Example::new();
    example.sessions = sessions;
    let page = case_report(&example.report());
    for id in ["sessions-w", "sessions-n"] {
        let chart = chart(&page, id);
        assert!(
            chart.contains(">D</text>")
                && chart.contains(">A</text>")
                && chart.contains("Distress noted in 1, assent withdrawn in 1")
        );
        legible(chart);
    }
}

#[test]
fn a_long_ladder_and_a_long_log_stay_legible() {
    let mut example = Example::new();
    example.sessions =
        (0..260u32).map(|k| session(i32::try_from(k).unwrap() * 2, k / 7, f64::from(k % 11) / 10.0)).collect();
    let rungs = example.ladder.rungs.clone();
    for round in 1..6u32 {
        for rung in &rungs {
            let mut rung = rung.clone();
            rung.number += 14 * round;
            rung.load = 75.0 + f64::from(rung.number) / 5.0;
            example.ladder.rungs.push(rung);
        }
    }
    example.review.rung = 83;
    let page = case_report(&example.report());
    for chart in charts(&page) {
        legible(chart);
    }
    assert!(chart(&page, "sessions-w").contains("260\u{a0}sessions"));
    assert!(chart(&page, "sessions-w").contains("left off here"));
}

#[test]
fn few_sessions_and_few_rungs_are_legible_too() {
    let mut example = Example::new();
    example.ladder.rungs.truncate(1);
    example.sessions.truncate(1);
    example.sound.third_octaves = vec![BandDoc { hz: 1000.0, db: 31.0 }];
    example.sound.octaves.clear();
    example.sound_before.third_octaves.clear();
    example.sound.history_laeq_db.truncate(2);
    let mut report = example.report();
    report.now.nc_curve = None;
    let page = case_report(&report);
    for chart in charts(&page) {
        legible(chart);
    }
}

#[test]
fn outlines_lie_where_the_picture_is_busiest() {
    let example = Example::new();
    let page = case_report(&example.report());
    for (id, width) in [("photo-now-1-w", 680.0), ("photo-now-1-n", 320.0)] {
        let svg = chart(&page, id);
        let document = roxmltree::Document::parse(svg).unwrap();
        let boxes: Vec<roxmltree::Node<'_, '_>> =
            document.descendants().filter(|node| node.attribute("rx") == Some("3")).collect();
        assert_eq!(boxes.len(), 2 * example.photos[0].busy_places.len(), "a light line below each dark one");
        for (k, place) in example.photos[0].busy_places.iter().enumerate() {
            let at = |name: &str| boxes[2 * k].attribute(name).unwrap().parse::<f64>().unwrap();
            let height = width * 480.0 / 640.0;
            for (drawn, wanted) in [
                (at("x") - 2.0, place.x * width),
                (at("y") - 2.0, place.y * height),
                (at("width") + 4.0, place.width * width),
                (at("height") + 4.0, place.height * height),
            ] {
                assert!((drawn - wanted).abs() <= DRAWN, "{drawn}, not {wanted}");
            }
        }
    }
}

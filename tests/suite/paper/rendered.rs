//! Rendered sheets with known marks: what is read without a question is right. `examples/sheets.rs` does it with 2,000.

use stillroom::paper::{Field, Filled, Kind, seen};

use super::render::{Pen, Rendered, Shot};

/// Sheets of the suite; the whole proof takes the better part of an hour.
const SHEETS: u64 = 24;
/// Wrong marks without a question: one in this many.
const ONE_IN: usize = 2_000;
/// Share of marks that may be asked about.
const ASKED: f64 = 0.02;

struct Count {
    marks: usize,
    wrong: Vec<String>,
    asked: usize,
}

fn count(rendered: &Rendered, into: &mut Count, what: &str) {
    let found = seen(&rendered.jpeg).unwrap_or_else(|fault| panic!("{what}: {fault}"));
    assert_eq!(found.label(), rendered.sheet.label, "{what}");
    let reading = found.read(&rendered.sheet).unwrap();
    assert_eq!(reading.marks.len(), rendered.filled.len());
    for (mark, truth) in reading.marks.iter().zip(&rendered.filled) {
        into.marks += 1;
        match mark.filled {
            Filled::Doubtful => into.asked += 1,
            found if (found == Filled::Yes) == *truth => {}
            _ => into.wrong.push(format!("{what}: {} ink {:.3}", mark.circle.name(), mark.ink)),
        }
    }
}

#[test]
fn what_is_read_without_a_question_is_right() {
    let mut all = Count { marks: 0, wrong: Vec::new(), asked: 0 };
    for seed in 0..SHEETS {
        count(&Shot::of_seed(seed).rendered(seed), &mut all, &format!("seed {seed}"));
    }
    assert!(all.marks > 6_000, "{}", all.marks);
    assert!(all.wrong.len() * ONE_IN <= all.marks, "{:?} of {}", all.wrong, all.marks);
    assert!(all.asked as f64 <= ASKED * all.marks as f64, "{} of {}", all.asked, all.marks);
}

#[test]
fn every_way_up_and_every_form_is_read() {
    for (turn, kind) in [(0.0, Kind::Sittings), (90.0, Kind::Sampling), (180.0, Kind::Screens), (270.0, Kind::Sittings)]
    {
        let mut all = Count { marks: 0, wrong: Vec::new(), asked: 0 };
        let shot = Shot { turn, tilt: 12.0, towards: 70.0, ..Shot::plain(kind) };
        count(&shot.rendered(5), &mut all, &format!("{turn}"));
        assert!(all.wrong.is_empty() && all.asked <= 2, "{turn}: {:?}, asked {}", all.wrong, all.asked);
    }
}

#[test]
fn a_tilt_of_thirty_degrees_and_a_curl_of_nine_millimetres_are_straightened() {
    for (towards, curl, across) in [(0.0, 9.0, true), (90.0, -9.0, false), (225.0, 6.0, true)] {
        let mut all = Count { marks: 0, wrong: Vec::new(), asked: 0 };
        let shot = Shot { tilt: 30.0, towards, curl, curled_across: across, ..Shot::plain(Kind::Sittings) };
        count(&shot.rendered(9), &mut all, &format!("towards {towards}"));
        assert!(all.wrong.is_empty() && all.asked <= 4, "{towards}: {:?}, asked {}", all.wrong, all.asked);
    }
}

#[test]
fn what_was_rubbed_out_is_empty_or_asked_about() {
    let shot = Shot { pen: Pen::Pencil, rubbed: 1.0, ..Shot::plain(Kind::Sampling) };
    let mut all = Count { marks: 0, wrong: Vec::new(), asked: 0 };
    count(&shot.rendered(3), &mut all, "rubbed");
    assert!(all.wrong.is_empty(), "{:?}", all.wrong);
}

#[test]
fn two_filled_circles_where_one_is_meant_are_both_asked_about() {
    let shot = Shot::plain(Kind::Sittings);
    let sheet = super::render::sheet(Kind::Sittings, 77);
    let mut page = super::render::printed(&sheet);
    for circle in sheet.circles.iter().filter(|one| one.row == 2 && one.field == Field::Upset) {
        let (x, y) = (21.0 + circle.x, 26.0 + circle.y);
        page.stroke((x - 1.2, y), (x + 1.2, y), 2.4, 0.1);
    }
    let jpeg = shot.photographed(&[(&page, (0.0, 0.0))], &mut super::render::Chance::new(1));
    let reading = seen(&jpeg).unwrap().read(&sheet).unwrap();
    let doubtful: Vec<String> = reading.doubtful().map(|mark| mark.circle.name()).collect();
    assert_eq!(doubtful, ["3.upset.0", "3.upset.1"]);
}

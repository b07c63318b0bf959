//! Scores against numbers worked by hand from `p(n) = alone/100·(1 − 2^(−n/half))`, `u = −ln(1 − p)`,
//! `load = 100·(1 − e^(−Σu))`; and the laws that hold for any answers.

use proptest::prelude::{Just, Strategy, any, prop_oneof, proptest};
use stillroom::checklist::{Answer, Answers, Checklist, Item, ItemId, Unit, parse, score};
use stillroom::words::Surface;

use super::{answers, list};

/// Each worked number is a few roundings of f64 from the exact value; loads reach 100.
const WORKED: f64 = 1e-10;

const DESK: &str = r#"
format = "stillroom.checklist/1"
id = "desk"
[[item]]
id = "things"
surface = "table"
channel = "seen"
ask = "How many?"
unit = "count"
alone = 50
half = 4
evidence = "convention"
remedy = "Clear."
minutes = 1
[[item]]
id = "window"
surface = "wall"
channel = "seen"
ask = "Which?"
unit = "choice"
evidence = "convention"
remedy = "Close."
minutes = 1
[[item.option]]
key = "none"
text = "none"
alone = 0
[[item.option]]
key = "moving"
text = "moving"
alone = 20
[[item]]
id = "pet"
surface = "company"
channel = "company"
ask = "Is there?"
unit = "yes"
alone = 10
evidence = "convention"
remedy = "Elsewhere."
minutes = 1
"#;

fn desk(lines: &str) -> (Checklist, Answers) {
    let list = parse(DESK, "desk.toml").unwrap();
    let head =
        "format = \"stillroom.answers/1\"\nchecklist = \"desk\"\nplace = \"desk\"\ndate = \"2026-10-05\"\nby = \"p\"\n";
    let answers = answers(&format!("{head}{lines}"), &list);
    (list, answers)
}

#[track_caller]
fn near(found: f64, worked: f64) {
    assert!((found - worked).abs() < WORKED, "found {found}, worked {worked}");
}

#[test]
fn a_desk_worked_by_hand() {
    // Four things are `half`, so p = 25 %; what is left is 0.75 · 0.80 · 0.90 = 0.54, so the load is 46.
    let (list, answers) = desk("[answers]\nthings = 4\nwindow = \"moving\"\npet = true\n");
    let scores = score(&list, &answers);
    near(scores.load.points(), 46.0);
    near(scores.pull.u(), 0.616_186_139_423_817); // −ln 0.54
    let loads: Vec<_> = scores.surfaces.iter().map(|surface| (surface.surface, surface.load.points())).collect();
    assert_eq!(
        loads.iter().map(|(surface, _)| *surface).collect::<Vec<_>>(),
        [Surface::Table, Surface::Wall, Surface::Company]
    );
    for ((_, found), worked) in loads.iter().zip([25.0, 20.0, 10.0]) {
        near(*found, worked);
    }
    let things = &scores.surfaces[0].items[0];
    near(things.alone, 25.0);
    near(things.pull.u(), 0.287_682_072_451_780_9); // −ln 0.75
    near(things.share, 0.466_875_273_632); // ln 0.75 / ln 0.54, by decimal arithmetic of 30 digits
    assert!(scores.unanswered.is_empty());
}

#[test]
fn eight_things_take_three_quarters_of_alone_and_none_takes_nothing() {
    let (list, answers) = desk("[answers]\nthings = 8\n");
    near(score(&list, &answers).load.points(), 37.5);
    let (list, answers) = desk("[answers]\nthings = 0\nwindow = \"none\"\npet = false\n");
    let scores = score(&list, &answers);
    near(scores.load.points(), 0.0);
    assert!(scores.surfaces.iter().all(|surface| surface.items.iter().all(|item| item.share == 0.0)));
}

#[test]
fn what_was_not_seen_is_listed_and_left_out() {
    let (list, answers) = desk("[answers]\nthings = \"not seen\"\npet = true\n");
    let scores = score(&list, &answers);
    assert_eq!(scores.unanswered, [ItemId::new("things"), ItemId::new("window")]);
    near(scores.load.points(), 10.0);
    assert_eq!((scores.surfaces[0].items.len(), scores.surfaces[0].unanswered), (0, 1));
    near(scores.surfaces[2].items[0].share, 1.0);
}

#[test]
fn what_must_stay_is_neither_counted_nor_missed() {
    let (list, answers) = desk("keep = [\"pet\", \"window\"]\n[answers]\nthings = 4\npet = true\n");
    let scores = score(&list, &answers);
    near(scores.load.points(), 25.0);
    assert!(scores.unanswered.is_empty());
    assert_eq!(scores.surfaces.len(), 1);
}

/// Any answer that an item takes.
fn any_answer(item: &Item) -> impl Strategy<Value = Answer> + use<> {
    let right = match &item.unit {
        Unit::Count { .. } => (0u32..=10_000).prop_map(Answer::Count).boxed(),
        Unit::Yes { .. } => any::<bool>().prop_map(Answer::Yes).boxed(),
        Unit::Choice(options) => {
            let keys: Vec<String> = options.iter().map(|option| option.key.clone()).collect();
            (0..keys.len()).prop_map(move |at| Answer::Option(keys[at].clone())).boxed()
        }
    };
    prop_oneof![4 => right, 1 => Just(Answer::NotSeen)]
}

fn any_answers() -> impl Strategy<Value = Answers> {
    let list = list("home-corner");
    let ids: Vec<ItemId> = list.items.iter().map(|item| item.id.clone()).collect();
    list.items.iter().map(any_answer).collect::<Vec<_>>().prop_map(move |given| Answers {
        checklist: "home-corner".to_owned(),
        place: "corner".to_owned(),
        date: "2026-10-05".parse().unwrap(),
        by: "p".to_owned(),
        keep: Vec::new(),
        answers: ids.iter().cloned().zip(given).collect(),
        reasons: std::collections::BTreeMap::new(),
    })
}

proptest! {
    #[test]
    fn a_load_is_below_100_shares_sum_to_one_and_surfaces_to_the_whole(given in any_answers()) {
        let list = list("home-corner");
        let scores = score(&list, &given);
        assert!((0.0..100.0).contains(&scores.load.points()));
        let shares: f64 = scores.surfaces.iter().flat_map(|surface| &surface.items).map(|item| item.share).sum();
        let expected = if scores.pull.u() > 0.0 { 1.0 } else { 0.0 };
        assert!((shares - expected).abs() < WORKED);
        let parts: f64 = scores.surfaces.iter().map(|surface| surface.pull.u()).sum();
        assert!((parts - scores.pull.u()).abs() < WORKED);
        let left: f64 = scores.surfaces.iter().map(|surface| 1.0 - surface.load.points() / 100.0).product();
        assert!((100.0 * (1.0 - left) - scores.load.points()).abs() < WORKED);
        let listed: usize = scores.surfaces.iter().map(|surface| surface.items.len() + surface.unanswered).sum();
        assert_eq!(listed, list.items.len());
    }

    #[test]
    fn the_order_of_items_changes_no_load(given in any_answers()) {
        let list = list("home-corner");
        let mut turned = list.clone();
        turned.items.reverse();
        let (a, b) = (score(&list, &given).load.points(), score(&turned, &given).load.points());
        assert!((a - b).abs() < WORKED);
    }

    #[test]
    fn one_more_thing_never_lowers_a_load(given in any_answers(), at in 0usize..32) {
        let list = list("home-corner");
        let mut more = given.clone();
        let item = &list.items[at];
        match more.answers.get_mut(&item.id) {
            Some(Answer::Count(count)) => *count += 1,
            Some(answer @ Answer::Yes(_)) => *answer = Answer::Yes(true),
            _ => {}
        }
        assert!(score(&list, &more).load >= score(&list, &given).load);
    }
}

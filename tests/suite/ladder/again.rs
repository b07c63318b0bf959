//! Planning on from a rung, planning for one adult alone, the way on without a person, what comes after the top.

use stillroom::ladder::{LadderInput, LevelLabel, MAINTENANCE_WEEKS, Reached, Rung, Shift, parse, plan, plan_after};

use super::oracle::Raw;

/// Steps above it are split.
const MAX_STEP: f64 = 0.08;
/// Steps are compared in units of 1e-9.
const ROUNDING: f64 = 2e-9;

fn input(raw: &Raw) -> LadderInput {
    parse(&raw.toml(), "room.toml").unwrap()
}

/// How far these rungs have come, as a stored plan tells it.
fn reached(rungs: &[Rung]) -> Vec<Reached> {
    let below = |name: &str| name.trim_end_matches(char::is_alphabetic).parse().unwrap();
    let inserted = |rung: &Rung| match &rung.level {
        LevelLabel::Inserted(name) => Some((
            below(name),
            stillroom::ladder::Level {
                label: rung.level.clone(),
                name: rung.card.level_name.clone(),
                draw: rung.card.draw,
            },
        )),
        LevelLabel::Plain(_) => None,
    };
    let state = &rungs.last().unwrap().state;
    let one = |(id, label): &(String, LevelLabel)| Reached {
        id: id.clone(),
        label: label.clone(),
        inserted: rungs.iter().filter(|rung| rung.distractor == *id).filter_map(inserted).collect(),
    };
    state.iter().map(one).collect()
}

/// Two counted things, two sounds and a visitor, with steps that must be split.
fn room() -> Raw {
    let mut raw = Raw { max_step: Some(MAX_STEP), ..Raw::plain() }
        .with(0, &[0.1, 0.3])
        .with(0, &[0.06])
        .with(1, &[52.0])
        .with(1, &[44.0]);
    raw = raw.with(2, &[0.07]);
    raw
}

fn counted(raw: &Raw) -> LadderInput {
    let mut input = input(raw);
    for (level, count) in input.distractors[0].levels.iter_mut().zip([2, 8]) {
        if let stillroom::ladder::LevelDraw::Pull { count: counted, .. } = &mut level.draw {
            *counted = Some(count);
        }
    }
    input
}

#[test]
fn planning_on_from_any_rung_of_the_best_plan_ends_in_the_same_room_and_repeats_no_rung() {
    let whole = plan(&counted(&room())).unwrap();
    assert!(whole.rungs.iter().filter(|rung| matches!(rung.level, LevelLabel::Inserted(_))).count() >= 3);
    for (kept, number) in (1..whole.rungs.len()).zip(1u32..) {
        let mut rest = counted(&room());
        let shifts = rest.begin_at(&reached(&whole.rungs[..kept]));
        assert!(shifts.is_empty(), "{shifts:?}");
        let rest = plan_after(&rest, number).unwrap();
        // A sound that is soft beside what is on by now may need no level in between any more, so there may be fewer.
        assert!(rest.rungs.len() <= whole.rungs.len() - kept, "from rung {kept}");
        assert_eq!(rest.rungs.first().unwrap().number, number + 1);
        assert!(rest.rungs[0].step_back.contains(&format!("back to rung {kept}")));
        assert_eq!(rest.start_load, whole.rungs[kept - 1].load);
        assert_eq!(rest.goal_load, whole.goal_load);
        let risen = |rungs: &[Rung]| {
            let told = |rung: &Rung| (rung.distractor.clone(), rung.level.to_string());
            let mut told: Vec<_> = rungs.iter().map(told).collect();
            told.sort();
            told
        };
        let plain = |mut told: Vec<(String, String)>| {
            told.retain(|(_, level)| level.chars().all(|sign| sign.is_ascii_digit()));
            told
        };
        let before = risen(&whole.rungs[..kept]);
        assert!(risen(&rest.rungs).iter().all(|rung| !before.contains(rung)), "from rung {kept}");
        assert_eq!(plain(risen(&rest.rungs)), plain(risen(&whole.rungs[kept..])), "from rung {kept}");
        let largest = whole.rungs[kept..].iter().map(|rung| rung.step).fold(MAX_STEP, f64::max);
        assert!(rest.largest_step <= largest + ROUNDING, "from rung {kept}: {} {largest}", rest.largest_step);
    }
}

#[test]
fn what_is_no_longer_planned_is_told_only_where_it_had_come_in() {
    let lamp = |label| [Reached { id: "lamp".into(), label, inserted: Vec::new() }];
    assert_eq!(counted(&room()).begin_at(&lamp(LevelLabel::ABSENT)), []);
    assert_eq!(counted(&room()).begin_at(&lamp(LevelLabel::Plain(1))), [Shift::Gone { id: "lamp".into() }]);
}

#[test]
fn levels_put_in_above_what_is_there_already_are_climbed() {
    let mut raw = room();
    raw.things[0].start = 1;
    let ladder = plan(&counted(&raw)).unwrap();
    let rises: Vec<_> =
        ladder.rungs.iter().filter(|rung| rung.distractor == "d0").map(|rung| rung.level.to_string()).collect();
    assert_eq!(rises, ["1a", "1b", "1c", "2"]);
    assert_eq!(ladder.rungs.iter().find(|rung| rung.distractor == "d0").unwrap().card.target.count, Some(3));
}

/// A step of 0.5 in pieces of at most 0.001 would take 500 levels.
#[test]
fn no_thing_is_split_into_more_than_two_hundred_levels() {
    let mut input = counted(&Raw { max_step: Some(0.001), ..Raw::plain() }.with(0, &[0.1, 0.6]));
    if let stillroom::ladder::LevelDraw::Pull { count, .. } = &mut input.distractors[0].levels[1].draw {
        *count = Some(100_000);
    }
    let ladder = plan(&input).unwrap();
    let levels = ladder.rungs.iter().filter(|rung| rung.distractor == "d0").count();
    assert!((100..=200).contains(&levels), "{levels}");
}

#[test]
fn a_room_that_changed_says_what_is_gone_and_what_is_above_its_goal() {
    let whole = plan(&counted(&room())).unwrap();
    let mut now = counted(&room());
    now.distractors.remove(1);
    now.distractors[0].goal = 1;
    let shifts = now.begin_at(&reached(&whole.rungs));
    assert_eq!(shifts, [Shift::Above { id: "d0".into() }, Shift::Gone { id: "d1".into() }]);
    assert_eq!(now.distractors[0].start, now.distractors[0].goal);
    assert_eq!(now.distractors[0].label(now.distractors[0].goal), LevelLabel::Plain(1));
    assert!(plan_after(&now, 9).unwrap().rungs.is_empty());
}

#[test]
fn one_adult_alone_is_not_asked_for_people_nor_for_what_needs_them() {
    let mut raw = Raw::plain().with(0, &[0.1]).with(2, &[0.2]).with(0, &[0.1]).with(2, &[0.1]);
    raw.things[2].needs = Some((1, 1));
    let text = raw.toml().replace("id = \"d3\"", "id = \"pet-free\"");
    let mut input = parse(&text, "room.toml").unwrap();
    // An animal needs nobody.
    assert_eq!(input.leave_out_company(), ["d1", "d2"]);
    let rungs = plan(&input).unwrap().rungs;
    assert_eq!(rungs.iter().map(|rung| rung.distractor.as_str()).collect::<Vec<_>>(), ["d0", "pet-free"]);
    assert!(rungs.iter().all(|rung| rung.card.people == 0 && rung.card.otherwise.is_none()));
    // What needs a thing that still rises as far as that stays.
    raw.things[2].needs = Some((0, 1));
    assert_eq!(parse(&raw.toml(), "room.toml").unwrap().leave_out_company(), ["d1", "d3"]);
}

#[test]
fn a_rung_that_needs_a_person_is_never_the_only_way_on() {
    let raw = Raw { order: [2, 0, 1], ..Raw::plain() }.with(2, &[0.1, 0.2]).with(0, &[0.1]).with(1, &[45.0]);
    let rungs = plan(&input(&raw)).unwrap().rungs;
    let ways: Vec<_> = rungs.iter().map(|rung| rung.card.otherwise.as_deref()).collect();
    assert!(ways[0].unwrap().contains("go on to rung 3 (d1, 1)"), "{ways:?}");
    assert!(ways[1].unwrap().contains("go on to rung 3 (d1, 1)"));
    assert_eq!(&ways[2..], [None, None]);
    // Nor is one person the way on from another.
    let raw = Raw { order: [2, 0, 1], ..Raw::plain() }.with(2, &[0.1]).with(2, &[0.2]).with(0, &[0.1]);
    let rungs = plan(&input(&raw)).unwrap().rungs;
    for rung in &rungs[..2] {
        assert!(
            rung.card.otherwise.as_deref().unwrap().contains("go on to rung 3 (d2, 1)"),
            "{:?}",
            rung.card.otherwise
        );
    }
    // Where only people are left there is still something to do, and nobody is to blame.
    let raw = Raw::plain().with(0, &[0.1]).with(2, &[0.1]);
    let rungs = plan(&input(&raw)).unwrap().rungs;
    let way = rungs[1].card.otherwise.as_deref().unwrap();
    assert!(way.contains("practise on rung 1") && way.contains("Nobody is to blame"), "{way}");
}

#[test]
fn after_the_top_come_another_adult_another_place_another_task() {
    let ladder = plan(&input(&Raw::plain().with(0, &[0.1, 0.2]))).unwrap();
    let told: Vec<_> = ladder.beyond.iter().map(|one| (one.number, one.what.word())).collect();
    assert_eq!(told, [(3, "another adult"), (4, "another place"), (5, "another task")]);
    assert!(ladder.beyond.iter().all(|one| one.step_back.contains("rung 2")));
    for (one, set_up) in ladder.beyond.iter().zip([
        "another adult teaches",
        "Audit it first",
        "another task that the child has mastered",
    ]) {
        assert!(one.set_up.contains(set_up), "{}", one.set_up);
    }
    assert_eq!(MAINTENANCE_WEEKS, [1, 2, 4, 8]);
}

//! What sessions taught of a child in a plan: stronger and weaker things, and the order of the list.

use stillroom::ladder::{LadderInput, parse, plan};

const HEAD: &str = "format = \"stillroom.ladder-input/1\"\norder = [\"seen\", \"heard\", \"company\"]\nbackground_db = 36.0\nsound_cap_db = 60.0\nnovelty = 0.5\n[sensitivity]\nseen = 1.0\nheard = 1.0\ncompany = 1.0\n[heard]\ndb = [35.0, 40.0, 45.0, 50.0, 55.0, 60.0, 65.0, 70.0]\npull = [0.0, 0.05, 0.11, 0.19, 0.29, 0.42, 0.58, 0.80]\nspeech_db = 10.0\n";

/// Things with their channel, their levels (pull or dB) and what they need.
fn input(things: &[(&str, &str, &[f64], &str)]) -> LadderInput {
    let mut text = HEAD.to_owned();
    for (id, channel, levels, needs) in things {
        let goal = levels.len();
        text.push_str(&format!(
            "[[distractor]]\nid = \"{id}\"\nchannel = \"{channel}\"\nstart = 0\ngoal = {goal}\n{needs}\n"
        ));
        for level in *levels {
            let key = if *channel == "heard" { "db" } else { "pull" };
            text.push_str(&format!("[[distractor.level]]\n{key} = {level:.3}\n"));
        }
    }
    parse(&text, "room").unwrap()
}

fn order(input: &LadderInput) -> Vec<(String, String)> {
    let rungs = plan(input).unwrap().rungs;
    rungs.into_iter().map(|rung| (rung.distractor, rung.level.to_string())).collect()
}

fn named(wanted: &[(&str, u32)]) -> Vec<(String, String)> {
    wanted.iter().map(|(id, level)| ((*id).to_owned(), level.to_string())).collect()
}

#[test]
fn a_stronger_thing_has_so_many_times_its_step_and_the_scales_load_stands_beside() {
    let mut room = input(&[("toys", "seen", &[0.05, 0.1], ""), ("screen", "seen", &[0.08], "")]);
    let plain = plan(&room).unwrap();
    assert!(plain.scale_start_load.is_none() && plain.rungs.iter().all(|rung| rung.scale_load.is_none()));
    room.distractors[0].draws = 3.0;
    let learned = plan(&room).unwrap();
    assert!((learned.largest_step - 0.15).abs() < 1e-12, "{}", learned.largest_step);
    // What draws least for this child comes first, and the goal weighs more.
    assert_eq!(learned.rungs[0].distractor, "screen");
    // 3·0.1 + 0.08, and 0.01 of the background.
    assert!((learned.goal_load.points() - 100.0 * (1.0 - (-0.39_f64).exp())).abs() < 1e-9);
    let top = learned.rungs.last().unwrap();
    assert!((top.scale_load.unwrap().points() - plain.goal_load.points()).abs() < 1e-9);
}

/// `table(B ⊕ (L + d)) − table(B) = f·(table(B ⊕ L) − table(B))`: alone over the background its rise is so many times as large.
#[test]
fn a_stronger_sound_is_shifted_by_its_rating_and_the_cap_knows_nothing_of_it() {
    for factor in [0.5, 1.5, 2.5] {
        let mut room = input(&[("radio", "heard", &[48.0, 55.0], "")]);
        room.novelty = 0.0;
        let rise = |room: &LadderInput| {
            let told = plan(room).unwrap();
            let pull = |load: f64| -(1.0 - load / 100.0).ln();
            pull(told.goal_load.points()) - pull(told.start_load.points())
        };
        let plain = rise(&room);
        let levels = |room: &LadderInput| -> Vec<Option<f64>> {
            plan(room).unwrap().rungs.iter().map(|rung| rung.card.target.level_db).collect()
        };
        let targets = levels(&room);
        room.distractors[0].draws = factor;
        assert!((rise(&room) - factor * plain).abs() < 1e-9, "{factor}");
        // The level to set up at the chair and the cap are those of the sound itself.
        assert_eq!(levels(&room), targets);
        room.sound_cap = stillroom::quantity::Decibels::new(54.0);
        assert!(plan(&room).is_err(), "the cap holds whatever was learned");
    }
}

#[test]
fn by_the_list_first_levels_come_first_and_phases_needs_and_cap_hold() {
    let mut room = input(&[
        ("picture", "seen", &[0.2, 0.3], "needs = { id = \"shelf\", level = 1 }"),
        ("shelf", "seen", &[0.02, 0.03, 0.04], ""),
        ("toys", "seen", &[0.1, 0.2], ""),
        ("radio", "heard", &[45.0, 50.0], ""),
        ("brother", "company", &[0.1], ""),
    ]);
    let best = plan(&room).unwrap();
    room.by_list = true;
    let listed = plan(&room).unwrap();
    let wanted = [
        ("shelf", 1),
        ("picture", 1),
        ("toys", 1),
        ("picture", 2),
        ("shelf", 2),
        ("toys", 2),
        ("shelf", 3),
        ("radio", 1),
        ("radio", 2),
        ("brother", 1),
    ];
    assert_eq!(order(&room), named(&wanted));
    assert!(!listed.optimal && (0.0..=1.0).contains(&listed.gap));
    assert!(listed.sum_of_loads > best.sum_of_loads && listed.largest_step >= best.largest_step);
    // The gap bounds what the best order would save.
    assert!(listed.sum_of_loads * (1.0 - listed.gap) <= best.sum_of_loads + 1e-6);
    room.order.swap(0, 1);
    assert_eq!(order(&room)[0].0, "radio", "the clinician's order of channels");
}

#[test]
fn by_the_list_an_inserted_level_comes_with_the_level_it_leads_to() {
    let mut room = input(&[("radio", "heard", &[40.0, 58.0], ""), ("clock", "heard", &[38.0], "")]);
    room.max_step = stillroom::quantity::Pull::new(0.12);
    room.by_list = true;
    let found = order(&room);
    let of = |id: &str, level: &str| found.iter().position(|one| one.0 == id && one.1 == level).unwrap();
    assert!(of("clock", "1") < of("radio", "1a") && of("radio", "1a") < of("radio", "2"), "{found:?}");
}

//! The reader: every fault with its line, its item, what is wrong and the nearest right spelling.

use proptest::prelude::{any, prop, prop_assert, proptest};
use stillroom::ladder::{LevelDraw, parse, plan};

use super::oracle::Raw;

/// The example of the format, whole.
pub(crate) const WHOLE: &str = r#"format = "stillroom.ladder-input/1"
order = ["seen", "heard", "company"]
background_db = 36.0
sound_cap_db = 65.0
novelty = 0.5
max_step = 0.25
keep = ["picture schedule"]
[sensitivity]
seen = 1.0
heard = 1.5
[heard]
db = [35.0, 40.0, 70.0]
pull = [0.0, 0.05, 0.80]
speech_db = 10.0
[room]
volume_m3 = 40
decay_s = 0.5
[[distractor]]
id = "shelf-open"
channel = "seen"
start = 0
goal = 1
[[distractor.level]]
name = "half open"
pull = 0.05
[[distractor]]
id = "toys-in-view"
name = "toys in view"
channel = "seen"
start = 0
goal = 2
needs = { id = "shelf-open", level = 1 }
exemplars = ["blocks", "cars", "dolls"]
set_up = "Lay them side by side."
set_up_minutes = 2
people = 0
minutes = 8
trials = 12
[[distractor.level]]
name = "three, on the shelf"
pull = 0.10
count = 3
[[distractor.level]]
name = "six, on the shelf"
pull = 0.2
count = 6
[[distractor]]
id = "radio"
channel = "heard"
start = 0
goal = 1
[[distractor.level]]
name = "next room"
db = 45
speech = true
"#;

#[test]
fn the_whole_format_is_read() {
    let input = parse(WHOLE, "room.toml").unwrap();
    assert_eq!(input.distractors.len(), 3);
    assert_eq!((input.sensitivity.heard, input.sensitivity.company), (1.5, 1.0));
    let toys = &input.distractors[1];
    assert_eq!((toys.shown(), toys.goal, toys.exemplars.len(), toys.trials), ("toys in view", 2, 3, Some(12)));
    assert!(matches!(toys.levels[1].draw, LevelDraw::Pull { count: Some(6), .. }));
    assert!(matches!(input.distractors[2].levels[0].draw, LevelDraw::Sound { speech: true, .. }));
    let ladder = plan(&input).unwrap();
    assert!(
        ladder.rungs[1].set_up.contains("Lay them side by side.")
            && ladder.rungs[1].set_up.contains("picture schedule")
    );
    assert_eq!((ladder.rungs[1].minutes, ladder.rungs[1].trials), (8.0, 12));
}

/// The whole file with one piece replaced must be refused with this message.
#[track_caller]
fn check(piece: &str, instead: &str, message: &str) {
    assert!(WHOLE.contains(piece), "{piece}");
    let faults = parse(&WHOLE.replacen(piece, instead, 1), "room.toml").unwrap_err();
    assert!(faults.to_string().contains(message), "{faults}");
}

#[test]
fn an_unknown_key_is_named_with_its_line_and_the_nearest_right_one() {
    check("novelty = 0.5", "noveltie = 0.5", "room.toml: line 5: `noveltie` is no key here (did you mean `novelty`?)");
    check("goal = 2", "gaol = 2", "line 31: toys-in-view: `gaol` is no key here (did you mean `goal`?)");
    check("count = 3", "cout = 3", "line 42: toys-in-view, level 1: `cout` is no key here (did you mean `count`?)");
    check("speech_db = 10.0", "speech = 10.0", "line 14: heard: `speech` is no key here (did you mean `speech_db`?)");
}

#[test]
fn a_missing_key_is_named_and_nothing_is_assumed() {
    check("novelty = 0.5\n", "", "line 1: `novelty` is missing; nothing is assumed in its place");
    check("goal = 2\n", "", "line 26: toys-in-view: `goal` is missing");
    check("pull = 0.10\n", "", "line 39: toys-in-view, level 1: `pull` is missing");
    check("db = 45\n", "", "radio, level 1: `db` is missing");
    check("speech_db = 10.0\n", "", "line 11: heard: `speech_db` is missing");
    check("format = \"stillroom.ladder-input/1\"\n", "", "`format` is missing");
}

#[test]
fn a_wrong_value_is_named() {
    check("stillroom.ladder-input/1", "stillroom.ladder-input/2", "line 1: `format` is \"stillroom.ladder-input/2\"");
    check("novelty = 0.5", "novelty = nan", "line 5: `novelty` must be a finite number");
    check("novelty = 0.5", "novelty = inf", "`novelty` must be a finite number");
    check("novelty = 0.5", "novelty = 1.01", "line 5: `novelty` is 1.01, and must be from 0 to 1");
    check("novelty = 0.5", "novelty = \"half\"", "line 5: `novelty` must be a number, but is a text");
    check("sound_cap_db = 65.0", "sound_cap_db = 65.1", "no rung is planned above 65 dB at the child's ear");
    check("seen = 1.0", "seen = 2.5", "`seen` is 2.5, and must be from 0.5 to 2");
    check("max_step = 0.25", "max_step = 0", "line 6: `max_step` must be above 0");
    check("pull = 0.10", "pull = -0.10", "line 41: toys-in-view, level 1: `pull` must be 0 or more");
    check("goal = 2", "goal = 3", "`goal` is 3, but the highest level is 2");
    check("start = 0\ngoal = 2", "start = 2\ngoal = 1", "line 30: toys-in-view: `start` is 2 and above `goal`, 1");
    check("goal = 2", "goal = 1.5", "`goal` must be a whole number, 0 or more, but is a number");
    check("goal = 2", "goal = -1", "`goal` must be a whole number, 0 or more");
    check(
        "channel = \"heard\"",
        "channel = \"herd\"",
        "`herd` is no channel: seen, heard or company (did you mean `heard`?)",
    );
    check(
        "[\"seen\", \"heard\", \"company\"]",
        "[\"seen\", \"heard\", \"heard\"]",
        "`order` must name seen, heard and company once each",
    );
    check("[\"seen\", \"heard\", \"company\"]", "[\"seen\", \"heard\"]", "`order` must name");
    let four = "[\"seen\", \"heard\", \"company\", \"seen\"]";
    check("[\"seen\", \"heard\", \"company\"]", four, "`order` must name");
    check(
        "db = [35.0, 40.0, 70.0]",
        "db = [35.0, 35.0, 70.0]",
        "the heard table: row 2: each level must be above the one before",
    );
    assert!(parse(&WHOLE.replace("db = 45", "db = -15"), "room.toml").is_ok(), "a sound may be below every background");
    check("db = 45", "db = -25", "-25");
    check("db = 45", "pull = 0.3", "`pull` does not belong to a heard level");
    check("pull = 0.10\ncount = 3", "pull = 0.10\ndb = 40", "`db` does not belong to a seen level");
    check("count = 3", "count = 0", "`count` must be 1 or more");
    check("keep = [\"picture schedule\"]", "keep = [\"radio\"]", "what must stay in reach is never part of a ladder");
    check("volume_m3 = 40", "volume_m3 = 0", "`volume_m3` is 0, and must be from 1");
}

#[test]
fn names_that_clash_or_lead_nowhere_are_named() {
    check("id = \"radio\"", "id = \"shelf-open\"", "line 48: shelf-open: `shelf-open` is there twice");
    check(
        "id = \"shelf-open\", level = 1",
        "id = \"shelf-opne\", level = 1",
        "`needs` names `shelf-opne`, which is no distractor here (did you mean `shelf-open`?)",
    );
    check("level = 1 }", "level = 2 }", "`needs` asks for level 2 of `shelf-open`, which has levels 1 to 1");
    check("level = 1 }", "level = 0 }", "`needs` asks for level 0");
    check(
        "goal = 1\n",
        "goal = 1\nneeds = { id = \"toys-in-view\", level = 1 }\n",
        "`needs` goes in a circle: shelf-open needs toys-in-view needs shelf-open",
    );
    check("needs = { id = \"shelf-open\"", "needs = { id = \"toys-in-view\"", "toys-in-view needs toys-in-view");
    let long = format!("id = \"{}\"", "r".repeat(500));
    for id in ["id = \"\"", "id = \" \"", "id = \"ra\\u0007dio\"", &long] {
        check("id = \"radio\"", id, "`id` must be a name");
    }
}

#[test]
fn a_way_into_a_circle_is_no_circle_of_its_own() {
    let first = "[[distractor]]\nid = \"door\"\nchannel = \"seen\"\nstart = 0\ngoal = 1\nneeds = { id = \"shelf-open\", level = 1 }\n[[distractor.level]]\npull = 0.1\n[[distractor]]\nid = \"shelf-open\"";
    let text = WHOLE
        .replacen("goal = 1\n", "goal = 1\nneeds = { id = \"toys-in-view\", level = 1 }\n", 1)
        .replace("[[distractor]]\nid = \"shelf-open\"", first);
    let faults = parse(&text, "room.toml").unwrap_err().to_string();
    assert_eq!(faults.matches("goes in a circle").count(), 1, "{faults}");
    assert!(
        faults.contains("shelf-open: `needs` goes in a circle: shelf-open needs toys-in-view needs shelf-open"),
        "{faults}"
    );
}

#[test]
fn a_circle_of_three_is_told_once() {
    let thing = |id: &str, needs: &str| {
        format!(
            "[[distractor]]\nid = \"{id}\"\nchannel = \"seen\"\nstart = 0\ngoal = 1\nneeds = {{ id = \"{needs}\", level = 1 }}\n[[distractor.level]]\npull = 0.1\n"
        )
    };
    let head = WHOLE.split("[[distractor]]").next().unwrap();
    let text = format!("{head}{}{}{}{}", thing("a", "b"), thing("b", "c"), thing("c", "a"), thing("d", "c"));
    let faults = parse(&text, "room.toml").unwrap_err();
    assert_eq!(faults.faults.len(), 1, "{faults}");
    assert!(faults.to_string().contains("a: `needs` goes in a circle: a needs b needs c needs a"), "{faults}");
}

#[test]
fn a_broken_level_is_one_fault_and_not_a_missing_level_too() {
    let faults = parse(&WHOLE.replace("pull = 0.2\n", "pull = \"much\"\n"), "room.toml").unwrap_err();
    assert_eq!(faults.faults.len(), 1, "{faults}");
}

#[test]
fn every_fault_is_told_at_once_in_the_order_of_lines() {
    let text = WHOLE.replace("novelty = 0.5", "noveltie = 0.5").replace("goal = 2", "gaol = 2");
    let faults = parse(&text, "room.toml").unwrap_err();
    let lines: Vec<usize> = faults.faults.iter().map(|fault| fault.line).collect();
    assert!(lines.len() == 4 && lines.is_sorted(), "{faults}");
}

#[test]
fn what_is_not_toml_is_told_with_its_line() {
    let faults = parse("format = \"stillroom.ladder-input/1\"\norder = [\n", "room.toml").unwrap_err();
    assert!(faults.to_string().starts_with("room.toml: line "), "{faults}");
    assert!(parse("", "room.toml").is_err());
}

#[test]
fn a_room_without_a_level_says_so() {
    let text =
        Raw::plain().with(0, &[0.1]).toml().replace("[[distractor.level]]\nname = \"level 1\"\npull = 0.1\n", "");
    let faults = parse(&text.replace("goal = 1", "goal = 0"), "room.toml").unwrap_err();
    assert!(faults.to_string().contains("there is no level"), "{faults}");
}

proptest! {
    #![proptest_config(proptest::test_runner::Config { cases: 4000, failure_persistence: None, ..Default::default() })]

    #[test]
    fn no_damage_to_a_file_makes_the_reader_or_the_planner_panic(
        edits in prop::collection::vec((any::<prop::sample::Index>(), 0usize..9, any::<char>()), 1..4),
    ) {
        let mut signs: Vec<char> = WHOLE.chars().collect();
        for (at, kind, sign) in edits {
            if signs.is_empty() {
                break;
            }
            let place = at.index(signs.len());
            match kind {
                0 => { signs.remove(place); }
                1 => signs.insert(place, sign),
                2 => signs[place] = '9',
                3 => signs[place] = '-',
                4 => signs[place] = '\n',
                5 => signs.truncate(place.max(1)),
                6 => signs[place] = 'e',
                7 => signs.splice(place..place, "1e308".chars()).for_each(drop),
                _ => signs[place] = '"',
            }
        }
        let text: String = signs.into_iter().collect();
        if let Ok(input) = parse(&text, "room.toml") {
            let sum = plan(&input).map_or(0.0, |ladder| ladder.sum_of_loads);
            prop_assert!(sum.is_finite());
        }
    }
}

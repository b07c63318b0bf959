//! The shipped lists keep their promises: no faults, no advice, three reference rooms in their bands, a demo that calms.

use stillroom::checklist::{Advice, Draw, Item, ItemId, Scores, advice, parse, score, shipped};
use stillroom::words::{Channel, Surface};

use super::{answers, list};

/// The reference rooms: answers, the band their load must lie in, and the pulls that a photo and a recording of such a
/// room give (`−ln(1 − 0.30·busyness/100)` at busyness 12, 45, 75; the heard table at still, 50 dB, 65 dB and a little below).
const ROOMS: [(&str, f64, f64, f64, f64); 3] =
    [("cleared", 8.0, 12.0, 0.037, 0.02), ("ordinary", 42.0, 53.0, 0.145, 0.19), ("party", 76.0, 84.0, 0.255, 0.50)];

/// How far the checklist's photo or recording items may lie from those pulls: well inside the factor 2 or 0.05 at which an
/// audit reports a disagreement.
const NEAR: f64 = 0.03;

/// The heard channel of the `child's ear` levels: none may be louder than the usual cap.
const CAP_DB: f64 = 60.0;

/// The lists that ask for a whole room; the quick look at a corner takes some of the first one's items.
pub(super) const WHOLE: [&str; 3] = ["home-corner", "play-floor", "group-room"];

pub(super) fn reference(id: &str, room: &str) -> &'static str {
    match (id, room) {
        ("home-corner", "cleared") => include_str!("../../oracle/checklist/REFERENCE-home-corner-cleared.toml"),
        ("home-corner", "ordinary") => include_str!("../../oracle/checklist/REFERENCE-home-corner-ordinary.toml"),
        ("home-corner", "party") => include_str!("../../oracle/checklist/REFERENCE-home-corner-party.toml"),
        ("play-floor", "cleared") => include_str!("../../oracle/checklist/REFERENCE-play-floor-cleared.toml"),
        ("play-floor", "ordinary") => include_str!("../../oracle/checklist/REFERENCE-play-floor-ordinary.toml"),
        ("play-floor", "party") => include_str!("../../oracle/checklist/REFERENCE-play-floor-party.toml"),
        ("group-room", "cleared") => include_str!("../../oracle/checklist/REFERENCE-group-room-cleared.toml"),
        ("group-room", "ordinary") => include_str!("../../oracle/checklist/REFERENCE-group-room-ordinary.toml"),
        ("group-room", "party") => include_str!("../../oracle/checklist/REFERENCE-group-room-party.toml"),
        _ => panic!("{id} needs reference answers for {room}"),
    }
}

/// The pull of the items that pass.
fn pull_of(id: &str, scores: &Scores, pass: impl Fn(&Item) -> bool) -> f64 {
    let list = list(id);
    let items = scores.surfaces.iter().flat_map(|surface| &surface.items);
    items.filter(|scored| list.item(&scored.id).is_some_and(&pass)).map(|scored| scored.pull.u()).sum()
}

#[test]
fn three_reference_rooms_hold_every_list_to_scale() {
    for id in WHOLE {
        for (room, low, high, photo, recording) in ROOMS {
            let list = list(id);
            let scores = score(&list, &answers(reference(id, room), &list));
            let load = scores.load.points();
            assert!(scores.unanswered.is_empty(), "{id} {room}: {:?}", scores.unanswered);
            assert!((low..=high).contains(&load), "{id} {room}: {load}");
            let seen = pull_of(id, &scores, |item| item.in_photo);
            assert!((seen - photo).abs() < NEAR, "{id} {room}: photo items {seen}");
            let heard = pull_of(id, &scores, |item| item.in_recording);
            assert!((heard - recording).abs() < NEAR, "{id} {room}: recording items {heard}");
        }
    }
}

#[test]
fn a_quick_look_asks_about_every_surface_and_tells_the_rooms_apart() {
    let (quick, whole) = (list("quick-corner"), list("home-corner"));
    assert!(quick.items.len() <= 16);
    assert!(Surface::ALL.iter().all(|surface| quick.items.iter().any(|item| item.surface == *surface)));
    let loads = ROOMS.map(|(room, ..)| {
        let mut given = answers(reference("home-corner", room), &whole);
        given.answers.retain(|id, _| quick.item(id).is_some());
        let (some, all) = (score(&quick, &given), score(&whole, &given));
        // The same answers pull the same, whichever of the two lists asked.
        assert!((some.pull.u() - all.pull.u()).abs() < 1e-12, "{room}");
        some.load.points()
    });
    assert!(loads[0] < 10.0 && loads[0] + 15.0 < loads[1] && loads[1] + 15.0 < loads[2], "{loads:?}");
}

#[test]
fn the_guides_example_needs_no_advice_but_more_items() {
    let guide = include_str!("../../../docs/ITEMS.md");
    let block = guide.split("```toml\n").nth(1).unwrap().split("```").next().unwrap();
    let list = parse(block, "docs/ITEMS.md").unwrap();
    let codes: Vec<&str> = advice(&list).iter().map(Advice::code).collect();
    assert_eq!(codes, ["surface-not-asked"; 4]);
    // The weights that the guide names to hold others beside are those of the shipped list.
    let home = self::list("home-corner");
    for (id, alone) in [
        ("pictures-on-wall", "a picture wall 6"),
        ("loose-things-on-table", "a full table 9"),
        ("screen-in-reach", "a tablet in reach 10"),
        ("people-not-taking-part", "people in the room 16"),
        ("television-picture", "a running television 18"),
    ] {
        let weight = home.item(&ItemId::new(id)).unwrap().alone();
        assert!(alone.ends_with(&format!(" {weight}")), "{id}: {weight}");
        assert!(guide.split_whitespace().collect::<Vec<_>>().join(" ").contains(alone), "{alone}");
    }
}

#[test]
fn the_shipped_lists_need_no_advice() {
    for (id, _) in shipped() {
        let texts: Vec<String> = advice(&list(id)).iter().map(Advice::text).collect();
        assert!(texts.is_empty(), "{id}: {texts:#?}");
    }
}

#[test]
fn the_shipped_lists_ask_enough_about_every_surface() {
    for (id, fewest) in [("home-corner", 24), ("play-floor", 16), ("group-room", 16)] {
        let list = list(id);
        assert!(list.items.len() >= fewest, "{id}: {}", list.items.len());
        for surface in Surface::ALL {
            let asked = list.items.iter().filter(|item| item.surface == surface).count();
            assert!(asked >= 3, "{id} asks {asked} about {surface}");
        }
    }
    let named: Vec<&str> = shipped().iter().map(|(id, _)| *id).collect();
    assert_eq!(named, [&WHOLE[..], &["quick-corner"]].concat());
}

#[test]
fn questions_are_short_ids_unique_and_no_sound_is_above_the_cap() {
    for (id, _) in shipped() {
        let list = list(id);
        let mut ids: Vec<&ItemId> = list.items.iter().map(|item| &item.id).collect();
        ids.sort();
        ids.dedup();
        assert_eq!(ids.len(), list.items.len());
        for item in &list.items {
            assert!(item.ask.chars().count() <= 140, "{}", item.ask);
            assert!(item.exemplars.len() >= 2);
            for level in &item.levels {
                if let Draw::Sound { db, .. } = level.draw {
                    assert!(db <= CAP_DB, "{}", level.name);
                }
            }
        }
    }
}

#[test]
fn sudden_sounds_food_and_lights_are_never_set_up_and_sudden_sounds_never_recorded() {
    for (id, _) in shipped() {
        let list = list(id);
        for name in
            ["sudden-sounds", "food-or-drink-in-view", "blinking-lights", "lights-that-trouble", "glare-or-flicker"]
        {
            if let Some(item) = list.item(&ItemId::new(name)) {
                assert!(item.levels.is_empty() && !item.in_recording, "{id} {name}");
            }
        }
        assert!(list.item(&ItemId::new("sudden-sounds")).is_some(), "{id}");
    }
}

#[test]
fn other_children_are_free_to_refuse_and_pets_to_leave() {
    for (id, _) in shipped() {
        for item in list(id).items {
            let says = |words: &str| item.levels.iter().all(|level| level.name.contains(words));
            match item.id.as_str() {
                "child-playing-in-view" => assert!(says("if they like to"), "{id}"),
                "pet-free" => assert!(says("free to leave"), "{id}"),
                _ => {}
            }
        }
    }
}

#[test]
fn a_television_sound_needs_its_picture() {
    let list = list("home-corner");
    let sound = list.item(&ItemId::new("television-sound")).unwrap();
    assert_eq!(sound.needs, Some((ItemId::new("television-picture"), 2)));
}

#[test]
fn every_channel_can_be_practised_from_every_list() {
    for (id, _) in shipped() {
        for channel in Channel::ALL {
            let with_levels =
                list(id).items.iter().filter(|item| item.channel == channel && !item.levels.is_empty()).count();
            assert!(with_levels >= 3, "{id}: {with_levels} items to practise on {channel}");
        }
    }
}

#[test]
fn the_demo_grows_calmer_and_says_what_it_could_not_see() {
    let list = list("home-corner");
    let before = score(&list, &answers(include_str!("../../../demo/answers-before.toml"), &list));
    let after = score(&list, &answers(include_str!("../../../demo/answers-after.toml"), &list));
    assert_eq!(before.unanswered, [ItemId::new("smell")]);
    assert!(after.unanswered.is_empty());
    assert!(before.load.points() > 50.0 && after.load.points() < 25.0, "{before:?} {after:?}");
}

#[test]
fn advice_finds_what_is_readable_but_poor() {
    let poor = r#"
format = "stillroom.checklist/1"
id = "poor"
[[item]]
id = "radio"
surface = "air"
channel = "heard"
ask = "Say how loud the radio is."
unit = "yes"
alone = 5
evidence = "published"
remedy = "Switch it off. Take the glasses away too."
minutes = 45
exemplars = ["songs"]
[[item.level]]
name = "quiet"
db = 40
[[item.level]]
name = "loud"
db = 61
[[item.level]]
name = "quiet again"
db = 50
[[item]]
id = "lights"
surface = "wall"
channel = "seen"
ask = "QQ?"
unit = "count"
alone = 5
half = 1
evidence = "convention"
remedy = "Switch them off."
minutes = 1
needs = { id = "radio", level = 1 }
[[item]]
id = "lamp"
surface = "table"
channel = "seen"
ask = "Is a lamp on?"
unit = "yes"
alone = 5
evidence = "convention"
remedy = "Switch it off."
minutes = 1
exemplars = ["a", "b"]
[[item.level]]
name = "blinking"
alone = 9
"#;
    let list = parse(&poor.replace("QQ", &"q".repeat(140)), "poor.toml").unwrap();
    let found: Vec<(&str, Option<String>)> =
        advice(&list).iter().map(|advice| (advice.code(), advice.item().map(ToString::to_string))).collect();
    let worked: Vec<(&str, Option<String>)> = [
        ("surface-not-asked", ""),
        ("surface-not-asked", ""),
        ("no-question", "radio"),
        ("remedy-sentence", "radio"),
        ("long-remedy", "radio"),
        ("takes-away-kept", "radio"),
        ("few-exemplars", "radio"),
        ("no-source", "radio"),
        ("not-in-recording", "radio"),
        ("loud-level", "radio"),
        ("level-falls", "radio"),
        ("long-question", "lights"),
        ("few-exemplars", "lights"),
        ("needs-without-levels", "lights"),
        ("level-above-item", "lamp"),
        ("flashing-level", "lamp"),
    ]
    .map(|(code, item)| (code, (!item.is_empty()).then(|| item.to_owned())))
    .to_vec();
    assert_eq!(found, worked);
    let texts: Vec<String> = advice(&list).iter().map(Advice::text).collect();
    assert_eq!(texts[0], "nothing is asked about floor; add an item, or keep in mind that the load leaves it out");
    assert_eq!(texts[11], "item `lights`: the question has 141 signs; shorten it to 140 and put the rest into `help`");
}

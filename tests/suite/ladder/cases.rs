//! From answers to a ladder input: what is planned, up to which level, and what is left out with which reason.

use jiff::civil::date;
use stillroom::checklist::{Answer, Answers, Checklist, Choice, Draw, Item, ItemId, ItemLevel, Unit};
use stillroom::ladder::{CaseRooms, FromCase, LevelDraw, LevelLabel, Sensitivity, Sounds, from_case, plan};
use stillroom::load::HeardTable;
use stillroom::quantity::{Decibels, Pull};
use stillroom::words::{Channel, Evidence, Surface};

use super::oracle::shipped_table;

fn item(id: &str, channel: Channel, unit: Unit, draws: Vec<Draw>) -> Item {
    let levels =
        draws.into_iter().enumerate().map(|(number, draw)| ItemLevel { name: format!("{id} {}", number + 1), draw });
    Item {
        id: ItemId::new(id),
        surface: Surface::Table,
        channel,
        ask: "How many?".into(),
        help: None,
        unit,
        in_photo: false,
        in_recording: false,
        evidence: Evidence::Convention,
        source: None,
        remedy: "Away.".into(),
        minutes: 3.0,
        shares: None,
        exemplars: vec!["one".into(), "two".into()],
        levels: levels.collect(),
        needs: None,
    }
}

fn sound(db: f64) -> Draw {
    Draw::Sound { db, speech: false }
}

fn options() -> Unit {
    let choice = |key: &str, alone| Choice { key: key.into(), text: key.into(), alone };
    Unit::Choice(vec![choice("none", 0.0), choice("far", 10.0), choice("near", 30.0)])
}

/// Toys (count), window (options), television (yes, shares), its sound, voices (options, sounds), a sibling.
fn list() -> Checklist {
    let mut tv_sound = item("tv-sound", Channel::Heard, Unit::Yes { alone: 25.0 }, vec![sound(50.0), sound(55.0)]);
    tv_sound.needs = Some((ItemId::new("tv"), 2));
    let option = |key: &str| Draw::Option(key.into());
    Checklist {
        id: "home-corner".into(),
        title: "A corner".into(),
        items: vec![
            item(
                "toys",
                Channel::Seen,
                Unit::Count { alone: 30.0, half: 6.0 },
                vec![Draw::Count(1), Draw::Count(3), Draw::Count(6)],
            ),
            item("window", Channel::Seen, options(), vec![option("far"), option("near")]),
            item("tv", Channel::Seen, Unit::Yes { alone: 30.0 }, vec![Draw::Alone(10.0), Draw::Alone(30.0)]),
            tv_sound,
            item("voices", Channel::Heard, options(), vec![sound(40.0), sound(45.0), sound(52.0)]),
            item("sibling", Channel::Company, Unit::Yes { alone: 35.0 }, vec![Draw::Alone(15.0), Draw::Alone(35.0)]),
            item("rug", Channel::Seen, Unit::Yes { alone: 5.0 }, vec![]),
        ],
    }
}

fn answers(of: &[(&str, Answer)]) -> Answers {
    Answers {
        checklist: "home-corner".into(),
        place: "living room".into(),
        date: date(2026, 3, 1),
        by: "parent".into(),
        keep: vec![],
        answers: of.iter().map(|(id, answer)| (ItemId::new(*id), answer.clone())).collect(),
        reasons: std::collections::BTreeMap::new(),
    }
}

fn all_there() -> Answers {
    let option = |key: &str| Answer::Option(key.into());
    answers(&[
        ("toys", Answer::Count(4)),
        ("window", option("near")),
        ("tv", Answer::Yes(true)),
        ("tv-sound", Answer::Yes(true)),
        ("voices", option("far")),
        ("sibling", Answer::Yes(true)),
        ("rug", Answer::Yes(true)),
    ])
}

/// What is told apart from the answers about the room to cope with.
#[derive(Clone, Copy)]
struct Rest<'a> {
    start: Option<&'a Answers>,
    excluded: &'a [ItemId],
    sounds: Sounds,
    cap_db: f64,
    sd_db: f64,
    fixed: &'a [ItemId],
    keep: &'a [String],
}

const OPEN: Rest<'static> =
    Rest { start: None, excluded: &[], sounds: Sounds::Open, cap_db: 60.0, sd_db: 0.0, fixed: &[], keep: &[] };

fn case(goal: &Answers, rest: Rest<'_>) -> FromCase {
    case_of(&list(), goal, rest)
}

fn case_of(list: &Checklist, goal: &Answers, rest: Rest<'_>) -> FromCase {
    let (db, pull): (Vec<_>, Vec<_>) = shipped_table().into_iter().unzip();
    let table = HeardTable::new(&db, &pull, 10.0).unwrap();
    from_case(&CaseRooms {
        checklist: list,
        goal,
        start: rest.start,
        heard: &table,
        sensitivity: Sensitivity::PLAIN,
        background: Decibels::new(36.0),
        sound_cap: Decibels::new(rest.cap_db),
        reading_sd_db: rest.sd_db,
        novelty: 0.5,
        max_step: Pull::new(0.25),
        order: Channel::ALL,
        sounds: rest.sounds,
        excluded: rest.excluded,
        fixed: rest.fixed,
        keep: rest.keep,
        acoustics: None,
    })
}

fn goals(case: &FromCase) -> Vec<String> {
    case.input.distractors.iter().map(|one| format!("{} {}-{}", one.id, one.start, one.goal)).collect()
}

fn left_out(case: &FromCase) -> Vec<String> {
    case.left_out.iter().map(|left| format!("{} {}", left.id, left.why.code())).collect()
}

#[test]
fn each_answer_bears_out_its_highest_level() {
    let made = case(&all_there(), OPEN);
    // Four toys reach three; "far" is the first of two options with a pull, so ⌈3·1/2⌉ = 2 of three sounds.
    assert_eq!(goals(&made), ["toys 0-2", "window 0-2", "tv 0-2", "tv-sound 0-2", "voices 0-2", "sibling 0-2"]);
    assert_eq!(left_out(&made), ["rug no-levels"]);
    assert!(made.cautions.is_empty());
    let ladder = plan(&made.input).unwrap();
    assert!(ladder.rungs.len() >= 12 && ladder.optimal);
    assert!(ladder.rungs[0].exemplars.iter().eq(["one", "two"]));
}

/// "none" draws nothing: it is not one of the options that share out the levels.
#[test]
fn an_option_without_a_pull_takes_no_level_for_itself() {
    let mut list = list();
    list.items.iter_mut().find(|item| item.id.as_str() == "voices").unwrap().levels.truncate(2);
    assert_eq!(goals(&case_of(&list, &all_there(), OPEN))[4], "voices 0-1");
}

#[test]
fn pulls_follow_the_items_own_laws() {
    let made = case(&all_there(), OPEN);
    let pull = |one: usize, level: usize| match made.input.distractors[one].levels[level].draw {
        LevelDraw::Pull { pull, count } => (pull.u(), count),
        LevelDraw::Sound { .. } => (f64::NAN, None),
    };
    // −ln(1 − 0.3·(1 − 2^−0.5)) = 0.0919705; −ln 0.9 = 0.1053605; −ln 0.7 = 0.3566749.
    assert!((pull(0, 1).0 - 0.091_970_5).abs() < 1e-6 && pull(0, 1).1 == Some(3));
    assert!((pull(1, 0).0 - 0.105_360_5).abs() < 1e-6 && (pull(1, 1).0 - 0.356_674_9).abs() < 1e-6);
    assert!((pull(2, 1).0 - 0.356_674_9).abs() < 1e-6);
}

#[test]
fn what_is_absent_or_was_not_seen_is_left_out_and_so_is_what_needs_it() {
    let mut goal = all_there();
    goal.answers.insert(ItemId::new("tv"), Answer::Yes(false));
    goal.answers.insert(ItemId::new("toys"), Answer::NotSeen);
    goal.answers.remove(&ItemId::new("sibling"));
    let made = case(&goal, OPEN);
    assert_eq!(
        left_out(&made),
        ["toys not-seen", "tv absent", "tv-sound needs-missing", "sibling not-seen", "rug no-levels"]
    );
    assert!(made.left_out[2].why.to_string().contains("it needs `tv` at level 2"));
}

#[test]
fn what_must_stay_and_what_is_excluded_is_never_planned() {
    let mut goal = all_there();
    goal.keep = vec!["Sibling".into(), "picture schedule".into()];
    let excluded = [ItemId::new("voices")];
    let made = case(&goal, Rest { excluded: &excluded, ..OPEN });
    assert_eq!(left_out(&made), ["voices excluded", "sibling kept", "rug no-levels"]);
    assert_eq!(made.input.keep, ["Sibling", "picture schedule"]);
    assert!(plan(&made.input).unwrap().rungs[0].set_up.contains("picture schedule"));
}

#[test]
fn a_level_that_cannot_be_weighed_is_named_by_its_number() {
    let mut list = list();
    let window = list.items.iter_mut().find(|item| item.id.as_str() == "window").unwrap();
    window.levels[1].draw = Draw::Option("gone".into());
    let made = case_of(&list, &all_there(), OPEN);
    assert!(left_out(&made).iter().any(|left| left.starts_with("window ")), "{:?}", left_out(&made));
    let why = made.left_out.iter().find(|left| left.id.as_str() == "window").unwrap().why.to_string();
    assert!(why.contains("level 2"), "{why}");
}

#[test]
fn locked_sounds_are_left_out_with_a_caution() {
    let made = case(&all_there(), Rest { sounds: Sounds::Locked, ..OPEN });
    assert_eq!(left_out(&made), ["tv-sound sounds-locked", "voices sounds-locked", "rug no-levels"]);
    assert_eq!(made.cautions.len(), 1);
    assert!(made.cautions[0].code() == "heard-locked" && made.cautions[0].text().contains("tv sound and voices"));
}

#[test]
fn sounds_are_lowered_to_the_cap_the_loudest_first() {
    // 36, 55 and 45 dB together: 55.46 dB; with the television at 50 dB 51.32 dB.
    let made = case(&all_there(), Rest { cap_db: 52.0, ..OPEN });
    assert_eq!(goals(&made)[3], "tv-sound 0-1");
    assert_eq!(made.cautions.iter().map(stillroom::ladder::Caution::code).collect::<Vec<_>>(), ["goal-lowered"]);
    assert!(plan(&made.input).is_ok());
    // 36 and 40 dB together 41.46 dB: of the two only voices at their first level is left.
    let made = case(&all_there(), Rest { cap_db: 42.0, ..OPEN });
    assert_eq!(left_out(&made), ["tv-sound above-cap", "rug no-levels"]);
    assert_eq!(goals(&made)[3], "voices 0-1");
}

#[test]
fn a_sound_far_above_the_one_before_is_raised_over_several_sittings() {
    let ladder = plan(&case(&all_there(), OPEN).input).unwrap();
    let told = |id: &str, level: u32| {
        let rung =
            ladder.rungs.iter().find(|rung| rung.distractor == id && rung.level == LevelLabel::Plain(level)).unwrap();
        rung.set_up.clone()
    };
    // From the background, 36 dB, to 50 dB; then to 55 dB.
    let far = "It is 14 dB louder than before: begin at 36 dB and raise it by at most 10 dB in one sitting, so that 50 dB takes 2 sittings.";
    assert!(told("tv-sound", 1).contains(far), "{}", told("tv-sound", 1));
    assert!(!told("tv-sound", 2).contains("louder than before"));
    assert!(told("voices", 1).contains("Fade it in") && !told("voices", 1).contains("louder than before"));
    // Ten decibels may come at once.
    let mut list = list();
    list.items.iter_mut().find(|item| item.id.as_str() == "tv-sound").unwrap().levels[0].draw = sound(46.0);
    let ladder = plan(&case_of(&list, &all_there(), OPEN).input).unwrap();
    assert!(ladder.rungs.iter().all(|rung| !rung.set_up.contains("louder than before")));
}

#[test]
fn the_start_room_gives_the_start() {
    let start =
        answers(&[("toys", Answer::Count(1)), ("window", Answer::Option("none".into())), ("tv", Answer::NotSeen)]);
    let goal = all_there();
    let made = case(&goal, Rest { start: Some(&start), ..OPEN });
    assert_eq!(goals(&made)[..3], ["toys 1-2", "window 0-2", "tv 0-2"]);
}

#[test]
fn more_than_the_highest_level_is_said() {
    let mut goal = all_there();
    goal.answers.insert(ItemId::new("toys"), Answer::Count(20));
    let made = case(&goal, OPEN);
    assert_eq!(goals(&made)[0], "toys 0-3");
    assert!(made.cautions[0].text().contains("has 20 for toys"));
}

#[test]
fn a_start_with_more_than_the_goal_is_left_out_with_both_levels() {
    let start = answers(&[("toys", Answer::Count(6)), ("window", Answer::Option("near".into()))]);
    let made = case(&all_there(), Rest { start: Some(&start), ..OPEN });
    assert_eq!(left_out(&made), ["toys start-beyond-goal", "rug no-levels"]);
    assert!(made.left_out[0].why.to_string().contains("(level 3) than the room to cope with (level 2)"));
}

#[test]
fn what_is_fixed_starts_where_it_ends_even_a_sound_that_is_locked() {
    let fixed = [ItemId::new("toys"), ItemId::new("voices")];
    let made = case(&all_there(), Rest { fixed: &fixed, sounds: Sounds::Locked, ..OPEN });
    assert!(goals(&made).contains(&"toys 2-2".to_owned()) && goals(&made).contains(&"voices 2-2".to_owned()));
    let ladder = plan(&made.input).unwrap();
    assert!(ladder.rungs.iter().all(|rung| rung.distractor != "toys" && rung.distractor != "voices"));
    let first = &ladder.rungs[0].card.already_on;
    assert!(first.iter().any(|on| on.starts_with("toys (")) && first.iter().any(|on| on.starts_with("voices (")));
}

#[test]
fn the_cap_is_met_only_by_the_reading_plus_twice_its_doubt() {
    // A doubt of 4 dB leaves 60 − 8 = 52 dB for the plan: the case of `sounds_are_lowered_to_the_cap_the_loudest_first`.
    let made = case(&all_there(), Rest { sd_db: 4.0, ..OPEN });
    assert_eq!(goals(&made)[3], "tv-sound 0-1");
    let ladder = plan(&made.input).unwrap();
    for rung in ladder.rungs.iter().filter(|rung| rung.card.channel == Channel::Heard) {
        assert!(rung.card.target.level_db.unwrap() + 2.0 * 4.0 <= 60.0, "{}", rung.check);
        assert_eq!(rung.card.target.cap_db, Some(60.0));
    }
    let cap = ladder.cautions.iter().find(|caution| caution.code() == "sound-cap").unwrap();
    assert!(cap.text().contains("at or below 52 dB"), "{}", cap.text());
}

#[test]
fn what_the_childs_record_keeps_is_kept_like_what_the_answers_keep() {
    let keep = ["toys".to_owned(), "ear defenders".to_owned()];
    let made = case(&all_there(), Rest { keep: &keep, ..OPEN });
    assert_eq!(left_out(&made), ["toys kept", "rug no-levels"]);
    let ladder = plan(&made.input).unwrap();
    assert!(
        ladder
            .cautions
            .iter()
            .any(|caution| caution.code() == "keep-stays" && caution.text().contains("ear defenders"))
    );
}

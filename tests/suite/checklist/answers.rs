//! An answers file is read strictly against its checklist.

use stillroom::checklist::{Answer, ItemId, blank_answers, decode, parse_answers, shipped};

use super::{answers, list};

const GOOD: &str = r#"format = "stillroom.answers/1"
checklist = "home-corner"
place = "window table"
date = "2026-10-05"
by = "visitor"
keep = ["picture schedule", "pet-free", "picture schedule"]

[answers]
loose-things-on-table = 9
window = "moving"
busy-rug = true
smell = "not seen"
"#;

#[track_caller]
fn check(old: &str, new: &str, messages: &[&str]) {
    assert!(GOOD.contains(old), "`{old}` is not in the good answers");
    let text = GOOD.replacen(old, new, 1);
    let faults = parse_answers(&text, "a.toml", &list("home-corner")).unwrap_err();
    assert_eq!(faults.to_string(), messages.join("\n"));
}

#[test]
fn right_answers_are_read_and_what_is_left_out_was_not_seen() {
    let list = list("home-corner");
    let read = answers(GOOD, &list);
    assert_eq!(
        (read.place.as_str(), read.by.as_str(), read.date.to_string()),
        ("window table", "visitor", "2026-10-05".into())
    );
    assert_eq!(*read.to(&ItemId::new("loose-things-on-table")), Answer::Count(9));
    assert_eq!(*read.to(&ItemId::new("window")), Answer::Option("moving".to_owned()));
    assert_eq!(*read.to(&ItemId::new("busy-rug")), Answer::Yes(true));
    assert_eq!(*read.to(&ItemId::new("smell")), Answer::NotSeen);
    assert_eq!(*read.to(&ItemId::new("adult-phone-out")), Answer::NotSeen);
    assert_eq!(read.keep, ["picture schedule", "pet-free"]);
    assert!(read.kept(&ItemId::new("pet-free")) && !read.kept(&ItemId::new("window")));
    let plain_date = GOOD.replacen("\"2026-10-05\"", "2026-10-05", 1);
    assert_eq!(answers(&plain_date, &list), read);
}

#[test]
fn an_unknown_item_shows_the_nearest_right_one() {
    check(
        "loose-things-on-table",
        "loose-thigns-on-table",
        &["a.toml: line 9: item `loose-thigns-on-table`: the checklist `home-corner` has no item of that name \
         (did you mean `loose-things-on-table`?)"],
    );
}

#[test]
fn a_count_is_whole_and_not_negative() {
    for value in ["-1", "2.5", "9.0", "true", "\"nine\"", "10001", "99999999999999999999", "nan"] {
        let message = format!(
            "a.toml: line 9: item `loose-things-on-table`: the answer must be a whole number from 0 to 10000 or \"not seen\", \
             found {value}"
        );
        check("= 9", &format!("= {value}"), &[&message]);
    }
}

#[test]
fn an_option_must_exist() {
    check(
        "\"moving\"",
        "\"movign\"",
        &[
            "a.toml: line 10: item `window`: there is no option \"movign\"; choose \"none\", \"still\", \"moving\" or \"not seen\" \
         (did you mean `moving`?)",
        ],
    );
    check(
        "\"moving\"",
        "\"not sene\"",
        &[
            "a.toml: line 10: item `window`: there is no option \"not sene\"; choose \"none\", \"still\", \"moving\" or \"not seen\" \
         (did you mean `not seen`?)",
        ],
    );
    check(
        "\"moving\"",
        "2",
        &[
            "a.toml: line 10: item `window`: the answer must be \"none\", \"still\", \"moving\" or \"not seen\", found 2",
        ],
    );
}

#[test]
fn a_yes_is_true_or_false() {
    check(
        "busy-rug = true",
        "busy-rug = \"yes\"",
        &["a.toml: line 11: item `busy-rug`: the answer must be true, false or \"not seen\", found \"yes\""],
    );
}

#[test]
fn answers_to_another_list_raise_one_alarm_not_one_a_line() {
    check(
        "\"home-corner\"",
        "\"play-floor\"",
        &["a.toml: line 2: these answers are for the checklist `play-floor`, not for `home-corner`; \
         answer that list, or name the right one"],
    );
}

#[test]
fn a_day_is_written_in_full() {
    for value in
        ["\"5.10.2026\"", "\"20261005\"", "\"2026-02-30\"", "2026-10-05T08:00:00", "20261005", "\"2026-10-05 \""]
    {
        let message = format!("a.toml: line 4: `date` must be a day written like 2026-10-05, found {value}");
        check("\"2026-10-05\"", value, &[&message]);
    }
}

#[test]
fn keep_is_a_list_of_things_with_names() {
    check(
        "[\"picture schedule\", \"pet-free\", \"picture schedule\"]",
        "[\"\", 4]",
        &[
            "a.toml: line 6: `keep` is empty; write what it is",
            "a.toml: line 6: `keep` must be a text in quotes, found 4",
        ],
    );
}

#[test]
fn every_key_that_is_missing_or_unknown_is_named() {
    check(
        "place = \"window table\"\n",
        "plaec = \"window table\"\n",
        &[
            "a.toml: line 1: `place` is missing; write place = \"window table\"",
            "a.toml: line 3: there is no key `plaec` at the top of the file (did you mean `place`?)",
        ],
    );
    check(
        "[answers]",
        "[answer]",
        &[
            "a.toml: line 1: `answers` is missing; write [answers] and a line for every item",
            "a.toml: line 8: there is no key `answer` at the top of the file (did you mean `answers`?)",
        ],
    );
}

#[test]
fn bytes_that_are_no_text_are_refused_at_their_line() {
    let faults = decode(b"format = 1\n\xff\n", "a.toml").unwrap_err();
    assert_eq!(faults.to_string(), "a.toml: line 2: this is not UTF-8 text; save the file as plain text in UTF-8");
    assert_eq!(decode("\u{feff}a".as_bytes(), "a.toml").unwrap(), "a");
}

#[test]
fn a_blank_file_is_refused_until_it_is_filled_and_then_nothing_was_seen() {
    for (id, _) in shipped() {
        let list = list(id);
        let blank = blank_answers(&list);
        let faults = parse_answers(&blank, "blank.toml", &list).unwrap_err();
        assert_eq!(
            faults.iter().map(|fault| fault.what.to_string()).collect::<Vec<_>>(),
            [
                "`place` is empty; write what it is",
                "`date` must be a day written like 2026-10-05, found \"\"",
                "`by` is empty; write what it is"
            ]
        );
        let filled = blank
            .replacen("place = \"\"", "place = \"mat\"", 1)
            .replacen("date = \"\"", "date = \"2026-10-05\"", 1)
            .replacen("by = \"\"", "by = \"parent\"", 1);
        let read = answers(&filled, &list);
        assert_eq!(read.answers.len(), list.items.len());
        assert!(read.answers.values().all(|answer| *answer == Answer::NotSeen));
        for item in &list.items {
            assert!(blank.contains(&item.ask));
        }
    }
}

#[test]
fn a_blank_file_shows_each_question_with_what_may_stand_there() {
    let blank = blank_answers(&list("home-corner"));
    assert!(blank.contains(
        "# What does the table top look like?\n# \"plain\" = one colour, does not shine\n\
         # \"patterned\" = a pattern, a map or pictures\n# \"shiny\" = it mirrors lights or faces\ntable-top = \"not seen\"\n"
    ));
    assert!(blank.contains("# Does a pet move freely in the room?\n# true or false\npet-free = \"not seen\"\n"));
}

#[test]
fn the_tables_of_answers_and_reasons_are_tables_about_items_of_the_list() {
    let front = GOOD.split_once("[answers]").map(|(front, _)| front).unwrap();
    let list = list("home-corner");
    for (rest, message) in [
        ("answers = 3\n", "line 8: `answers` must be a table that begins with [answers], found 3"),
        ("[answers]\nwindow = \"moving\"\n[reasons]\nwindwo = \"dark\"\n", "(did you mean `window`?)"),
        ("[answers]\nwindow = \"moving\"\n[reasons]\nwindow = \"dark\"\n", "item `window`"),
        ("reasons = 3\n[answers]\nwindow = \"moving\"\n", "`reasons` must be a table that begins with [reasons]"),
    ] {
        let faults = parse_answers(&format!("{front}{rest}"), "a.toml", &list).unwrap_err().to_string();
        assert!(faults.contains(message), "{faults}");
    }
}

//! Scale files: what is accepted, and what a message says about what is not.

use proptest::prelude::{Strategy, any, prop, prop_assert, proptest};
use stillroom::load::{Scale, ScaleProblem};
use stillroom::words::Evidence;

/// `sha256sum checklists/scale.toml`; a change of the shipped scale changes every load, so it is noticed here.
const SHIPPED_HASH: &str = "cd33ebabf9b95697c8305f7042a165a4e398146a3951cb2d10271b7bbbc59b22";

fn shipped() -> String {
    Scale::shipped().text().to_owned()
}

/// The message about the shipped scale with `old` replaced by `new`.
#[track_caller]
fn message(old: &str, new: &str) -> String {
    let text = shipped();
    assert!(text.contains(old), "`{old}` does not stand in the scale");
    Scale::parse(&text.replacen(old, new, 1), "my.toml").unwrap_err().to_string()
}

/// The line on which a piece of the shipped scale stands.
#[track_caller]
fn line(piece: &str) -> usize {
    let text = shipped();
    text[..text.find(piece).unwrap()].lines().count() + usize::from(!piece.starts_with('\n'))
}

#[track_caller]
fn check(old: &str, new: &str, expect: &[&str]) {
    let message = message(old, new);
    for part in expect {
        assert!(message.contains(part), "`{part}` does not stand in: {message}");
    }
}

#[test]
fn the_shipped_scale_is_the_one_of_its_hash() {
    assert_eq!(Scale::shipped().hash(), SHIPPED_HASH);
}

#[test]
fn the_shipped_scale_holds_the_constants_of_the_design() {
    let scale = Scale::shipped();
    assert_eq!(scale.heard().rows().len(), 8);
    assert_eq!(scale.heard().speech_db(), 10.0);
    assert_eq!(scale.margin().rows(), [(0.0, 0.58), (5.0, 0.29), (10.0, 0.11), (15.0, 0.0)]);
    assert_eq!(scale.photo_alone(), 30.0);
    assert_eq!(scale.grade_bounds(), [20.0, 40.0, 60.0]);
    let doubt = scale.doubt();
    assert_eq!([doubt.channel, doubt.item, doubt.answer, doubt.answer_other], [0.30, 0.30, 0.10, 0.20]);
    assert_eq!((doubt.draws, doubt.seed), (4000, 1));
}

#[test]
fn the_arithmetic_behind_the_photos_weight_is_as_printed() {
    // On-task time: 61.4 % in the decorated room, 71.6 % in the sparse one.
    let lost: f64 = 1.0 - 61.4 / 71.6;
    assert!((lost - 0.142).abs() < 5e-4);
    assert!((lost / (0.70 - 0.15) - 0.26).abs() < 5e-3);
    let left = 1.0 - lost;
    assert!(((1.0 - left) / (0.70 - 0.15 * left) - 0.25).abs() < 5e-3);
    assert!(shipped().contains("1 - (100 - 38.6) / (100 - 28.4) = 1 - 61.4 / 71.6 = 0.142."));
}

#[test]
fn every_table_says_what_it_rests_on() {
    let scale = Scale::shipped();
    assert_eq!(scale.tables().len(), 7);
    for table in scale.tables() {
        assert!(table.evidence.is_some(), "{}", table.name);
        assert!(table.source.as_ref().is_some_and(|source| source.len() > 10), "{}", table.name);
        assert!(!table.entries.is_empty());
    }
    assert_eq!(scale.tables()[0].evidence, Some(Evidence::Convention));
    assert_eq!(scale.tables()[2].entries, [("alone".to_owned(), "30.0".to_owned())]);
}

#[test]
fn a_misspelt_key_is_named_with_its_line_and_the_right_spelling() {
    let at = format!("my.toml: line {}: `heard.speach_db`", line("speech_db = 10"));
    check("speech_db = 10", "speach_db = 10", &[&at, "did you mean `speech_db`?", "`heard.speech_db`: is missing"]);
    check("[margin]", "[margins]", &["`margins`", "did you mean `margin`?", "`margin`: is missing"]);
    check("format =", "fromat =", &["did you mean `format`?", "`format`: is missing"]);
    check("evidence =", "evidense =", &["did you mean `evidence`?"]);
}

#[test]
fn a_wrong_kind_of_value_is_named() {
    check("alone = 30.0", "alone = \"30\"", &["`photo.alone`: must be a number, not a text"]);
    check("draws = 4000", "draws = 4000.5", &["`doubt.draws`: must be a whole number, not a number with a decimal"]);
    check("db   = [35.0,", "db   = [\"x\",", &["`heard.db`", "row 1"]);
    check("still = 20.0", "still = nan", &["`grades.still`: must be a number, not a number that is not finite"]);
    check("[photo]\n", "photo = 3\n[pho]\n", &["`margin.photo`", "`pho`"]);
    check("evidence = \"convention\"", "evidence = 3", &["`heard.evidence`: must be a text, not a whole number"]);
    check("format =", "photo = 3\nformat =", &["not readable as TOML"]);
}

#[test]
fn a_value_that_makes_no_sense_is_named_with_what_is_allowed() {
    check("alone = 30.0", "alone = 100.0", &["`photo.alone`: must be between 0 and 99"]);
    check("company = 1.0", "company = 2.1", &["`sensitivity.company`: must be between 0.5 and 2"]);
    check("seen = 0.5", "seen = -0.5", &["`pooling.seen`: must be between 0 and 1"]);
    check("gentle = 40.0", "gentle = 20.0", &["`grades.gentle`: must be more than the bound below it, 20"]);
    check("draws = 4000", "draws = 10", &["`doubt.draws`: must be between 100 and 100000"]);
    check("seed = 1", "seed = -1", &["`doubt.seed`: must be between 0"]);
    check("channel = 0.30", "channel = 3.0", &["`doubt.channel`: must be between 0 and 2"]);
    check("0.05, 0.11", "0.11, 0.05", &["`heard.pull`: row 3"]);
    check("35.0, 40.0", "40.0, 35.0", &["`heard.db`: row 2"]);
    check("35.0, 40.0", "39.99, 40.0", &["`heard.db`: must be 0.1 dB or more above the row before"]);
    check("0.29, 0.11, 0.0]", "0.29, 0.30, 0.0]", &["`margin.pull`: row 3"]);
    check("65.0, 70.0]", "65.0]", &["7 levels, 8 pulls"]);
    check("speech_db = 10.0", "speech_db = 30.0", &["`heard.speech_db`: must be between 0 and 20"]);
    check("evidence = \"convention\"", "evidence = \"standart\"", &["one of standard, published", "`standard`?"]);
}

#[test]
fn another_file_is_recognised() {
    check("stillroom.scale/1", "stillroom.checklist/1", &["says `stillroom.checklist/1`", "stillroom.scale/1"]);
    check("[heard]", "[heard", &["not readable as TOML"]);
    let large = format!("{}\n# {}", shipped(), "x".repeat(1 << 20));
    assert!(Scale::parse(&large, "my.toml").unwrap_err().to_string().contains("another file"));
    assert!(!Scale::parse("", "my.toml").unwrap_err().faults.is_empty());
}

#[test]
fn a_changed_scale_is_another_one_and_whole_numbers_will_do() {
    let text = shipped().replace("alone = 30.0", "alone = 25").replace("still = 20.0", "still = 15");
    let scale = Scale::parse(&text, "my.toml").unwrap();
    assert_eq!(scale.photo_alone(), 25.0);
    assert_ne!(scale.hash(), SHIPPED_HASH);
    assert_eq!(scale.text(), text);
}

#[test]
fn what_was_learned_of_a_thing_multiplies_its_pull_and_is_read_strictly() {
    let with = |pulls: &str| Scale::parse(&format!("{}\n{pulls}", shipped()), "my.toml");
    let scale = with("[[pull]]\nid = \"toys\"\nfactor = 1.5\nchildren = 24\nspread = 0.3\n").unwrap();
    assert_eq!((scale.factor("toys"), scale.factor("screen")), (1.5, 1.0));
    assert_eq!(scale.tables().last().unwrap().entries, [("toys".to_owned(), "1.5".to_owned())]);
    for (pulls, wanted) in [
        ("[[pull]]\nfactor = 1.5\n", "`pull.id`"),
        ("[[pull]]\nid = \"toys\"\n", "`pull.factor`"),
        ("[[pull]]\nid = \"toys\"\nfactor = 20\n", "between 0.1 and 10"),
        ("[[pull]]\nid = \"toys\"\nfactor = \"much\"\n", "must be a number, not a text"),
        ("[[pull]]\nid = 3\nfactor = 1.5\n", "must be a text"),
        ("[[pull]]\nid = \"toys\"\nfactor = 1.5\nspraed = 0.3\n", "`spread`?"),
        ("[[pull]]\nid = \"toys\"\nfactor = 1.5\nspread = \"wide\"\n", "`pull.spread`"),
        ("[[pull]]\nid = \"toys\"\nfactor = 1.5\n[[pull]]\nid = \"toys\"\nfactor = 1.2\n", "no other [[pull]] names"),
        ("[pull]\nid = \"toys\"\n", "a list of tables"),
    ] {
        let told = with(pulls).unwrap_err().to_string();
        assert!(told.contains(wanted), "{pulls}: {told}");
    }
}

#[test]
fn a_wrong_weight_of_speech_is_one_fault() {
    let text = shipped().replace("speech_db = ", "speech_db = 9");
    assert_ne!(text, shipped());
    let faults = Scale::parse(&text, "my.toml").unwrap_err().faults;
    assert_eq!(faults.len(), 1, "{faults:?}");
    assert_eq!(faults[0].place, "heard.speech_db");
}

#[test]
fn every_single_key_is_needed() {
    let text = shipped();
    let mut keys = 0;
    let mut table = String::new();
    let mut header = None;
    for (at, line) in text.lines().enumerate() {
        if let Some(name) = line.strip_prefix('[') {
            table = format!("{}.", name.trim_end_matches(']'));
            header = Some(at + 1);
        }
        let Some((key, _)) = line.split_once('=').filter(|_| !line.starts_with('#')) else { continue };
        if ["evidence", "source"].contains(&key.trim()) {
            continue;
        }
        let without: Vec<&str> = text.lines().enumerate().filter(|(other, _)| *other != at).map(|(_, l)| l).collect();
        let faults = Scale::parse(&without.join("\n"), "my.toml").unwrap_err().faults;
        let place = format!("{table}{}", key.trim());
        let missing = faults.iter().find(|fault| fault.place == place && fault.problem == ScaleProblem::Missing);
        let told = missing.unwrap_or_else(|| panic!("{place}"));
        assert!(header.is_none() || told.line == header, "{place}: line {:?}", told.line);
        keys += 1;
    }
    assert_eq!(keys, 21);
}

/// The shipped scale with a few of its signs replaced, cut out or doubled.
fn damaged() -> impl Strategy<Value = String> {
    let damage = (any::<prop::sample::Index>(), 0usize..12, "[-\\[\\]\"=.#a-z0-9\u{e9}\u{202e} \n]{0,6}");
    prop::collection::vec(damage, 1..4).prop_map(|all| {
        let mut signs: Vec<char> = shipped().chars().collect();
        for (at, length, new) in all {
            let start = at.index(signs.len());
            let end = (start + length).min(signs.len());
            signs.splice(start..end, new.chars());
        }
        signs.into_iter().collect()
    })
}

proptest! {
    #[test]
    fn a_damaged_scale_is_read_or_refused_with_reasons(text in damaged()) {
        match Scale::parse(&text, "my.toml") {
            Ok(scale) => prop_assert!(scale.heard().rows().len() >= 2 && scale.hash().len() == 64),
            Err(faults) => {
                prop_assert!(!faults.faults.is_empty());
                let message = faults.to_string();
                prop_assert!(message.starts_with("my.toml: ") && !message.contains('\u{202e}'), "{message}");
                let lines = text.lines().count().max(1) + 1;
                prop_assert!(faults.faults.iter().all(|fault| fault.line.is_none_or(|line| line <= lines)));
            }
        }
    }

    #[test]
    fn any_text_is_read_or_refused(text in "\\PC{0,200}") {
        prop_assert!(Scale::parse(&text, "my.toml").is_err());
    }
}

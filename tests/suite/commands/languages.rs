//! The terminal in another language: asked for by option or by the computer's setting; programs see no difference.

use std::process::{Command, Output};

use super::root;

fn stillroom(locale: &str, words: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_stillroom"))
        .args(words)
        .current_dir(root())
        .env_remove("LC_ALL")
        .env_remove("LC_MESSAGES")
        .env("LANG", locale)
        .output()
        .unwrap()
}

fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

const SOUND: &str = "tests/oracle/sound/background.wav";

#[test]
fn the_setting_and_the_option_choose_the_language() {
    let spanish = out(&stillroom("es_MX.UTF-8", &["sound", SOUND]));
    assert!(spanish.contains("Sin calibrar: los niveles son dBFS.") && spanish.contains("el fondo: superado el 90 %"));
    assert!(spanish.contains("LAeq") && !spanish.contains("background") || spanish.starts_with("background.wav"));
    assert_eq!(out(&stillroom("C", &["sound", SOUND, "--language", "es"])), spanish);
    let english = out(&stillroom("C", &["sound", SOUND]));
    assert!(english.contains("Not calibrated: levels are dBFS."));
    assert_eq!(out(&stillroom("es_ES.UTF-8", &["sound", SOUND, "--language", "en"])), english);
    for locale in ["", "en_GB.UTF-8", "POSIX", "tlh_KL"] {
        assert_eq!(out(&stillroom(locale, &["sound", SOUND])), english, "{locale}");
    }
}

#[test]
fn a_refusal_and_its_hint_are_said_in_the_language() {
    let refused = stillroom("es", &["sound", "nowhere.wav"]);
    assert_eq!(refused.status.code(), Some(1));
    let said = String::from_utf8(refused.stderr).unwrap();
    assert_eq!(said, "error: no hay ningún archivo nowhere.wav\npista: compruebe el nombre y la carpeta\n");
}

#[test]
fn what_programs_read_is_the_same_in_every_language() {
    for words in [
        &["sound", SOUND, "--format", "json"][..],
        &["checklist", "show", "home-corner", "--format", "json"],
        &["checklist", "blank", "home-corner"],
        &["review", "--log", "tests/oracle/practice/logs/stalled.csv", "--on", "2026-11-20", "--format", "json"],
        &["sound", "nowhere.wav", "--format", "json"],
    ] {
        let (english, spanish) = (stillroom("C", words), stillroom("es_ES.UTF-8", words));
        assert_eq!(out(&english), out(&spanish), "{words:?}");
        assert_eq!(english.stderr, spanish.stderr, "{words:?}");
        assert_eq!(english.status.code(), spanish.status.code());
    }
}

#[test]
fn no_sentence_of_these_commands_stays_english() {
    // Words that every second English sentence holds and no Spanish one does.
    const ENGLISH: [&str; 8] = [" the ", " and ", " of ", " is ", " with ", " not ", " this ", " that "];
    for words in [
        &["sound", SOUND][..],
        &["checklist", "show", "home-corner"],
        &["checklist", "show", "play-floor"],
        &["checklist", "show", "group-room"],
        &["checklist", "show", "scale"],
        &["review", "--log", "tests/oracle/practice/logs/stalled.csv", "--on", "2026-11-20"],
        &["review", "--log", "tests/oracle/practice/logs/pause.csv", "--on", "2026-11-20"],
        &["review", "--log", "tests/oracle/practice/logs/with-baseline.csv", "--on", "2026-11-20"],
        &["photo", "demo/photo-before-1.jpg"],
        &["photo", "--compare", "demo/photo-before-1.jpg", "demo/photo-after-1.jpg"],
        &["audit", "--place", "x", "--checklist", "home-corner", "--answers", "demo/answers-before.toml"],
    ] {
        let shown = out(&stillroom("es", words));
        assert!(shown.len() > 100, "{words:?}");
        for line in shown.lines() {
            let line = format!(" {line} ");
            assert!(!ENGLISH.iter().any(|word| line.contains(word)), "{words:?}: {line}");
        }
    }
}

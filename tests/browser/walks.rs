//! Walks as a user does them: an audit with real files, wide and narrow; by keyboard alone; across a restart.

use super::driver::Browser;
use super::house::{House, file};

/// Keys as WebDriver writes them. W3C WebDriver, section 17.4.2 (from memory).
const TAB: char = '\u{E004}';
const SPACE: char = ' ';
const ENTER: char = '\u{E006}';

/// Answers every question of the page that is open: 2 of what is counted, the first choice elsewhere.
const ANSWER: &str = "document.querySelectorAll('.question').forEach(question => {
    const count = question.querySelector('input[type=number]');
    if (count) { count.value = 2; } else { question.querySelector('input[type=radio]').checked = true; } });";

fn walk(browser: &Browser, house: &House, place: &str) {
    browser.open(&house.at("/room"));
    browser.kind_in("#place", place);
    browser.follow("main button[type=submit]");
    while browser.address().contains("/room/walk/") {
        browser.run(ANSWER);
        browser.follow("main button[type=submit]");
    }
    assert!(browser.address().ends_with("/room/measure/home-corner"), "{}", browser.address());
}

#[test]
fn an_audit_with_photo_and_recording_is_done_wide_and_narrow() {
    let house = House::open("en");
    let browser = Browser::new(&[]);
    browser.open(&house.address);
    for (width, height) in [(1280, 900), (390, 800)] {
        browser.view(width, height);
        walk(&browser, &house, &format!("table {width}"));
        browser.kind_in("#photo", &format!("{}\n{}", file("demo/photo-after-1.jpg"), file("demo/photo-after-2.jpg")));
        browser.kind_in("#sound", &file("demo/room-after.flac"));
        browser.kind_in("#voice", &file("demo/voice-after.flac"));
        browser.follow("main button[type=submit]");
        let text = browser.text();
        assert!(browser.address().contains("/room/found/"), "{text}");
        assert!(text.contains("What to move first") && text.contains("not a validated scale"), "{text}");
        browser.keep_picture(&format!("found-{width}"));
    }
}

#[test]
fn a_photo_and_a_recording_show_what_they_hold() {
    let house = House::open("en");
    let browser = Browser::new(&[]);
    browser.open(&house.address);
    browser.view(390, 800);
    browser.open(&house.at("/photo"));
    browser.kind_in("#photo", &file("demo/photo-before-1.jpg"));
    browser.follow("main button[type=submit]");
    assert!(browser.text().contains("The picture is busiest here"));
    browser.keep_picture("photo");
    browser.open(&house.at("/sound"));
    browser.kind_in("#sound", &file("demo/room-before.flac"));
    browser.follow("main button[type=submit]");
    assert!(browser.text().contains("LAeq") && browser.text().contains("not calibrated"));
    browser.keep_picture("sound");
}

#[test]
fn an_audit_can_be_walked_by_keyboard_alone() {
    let house = House::open("en");
    let browser = Browser::new(&[]);
    browser.open(&house.address);
    browser.open(&house.at("/room"));
    let focused = || {
        browser
            .run("const it = document.activeElement; return it.type || it.tagName")
            .as_str()
            .unwrap_or_default()
            .to_owned()
    };
    // To the place's name, and on with Enter.
    for _ in 0..30 {
        browser.press(&TAB.to_string());
        if browser.run("return document.activeElement.id") == "place" {
            break;
        }
    }
    browser.press("kitchen table");
    browser.go_on(|| browser.press(&ENTER.to_string()));
    let mut pages = 0;
    while browser.address().contains("/room/walk/") {
        let before = browser.address();
        for _ in 0..120 {
            browser.press(&TAB.to_string());
            match focused().as_str() {
                "number" => browser.press("1"),
                "radio" => browser.press(&SPACE.to_string()),
                "submit" => {
                    browser.go_on(|| browser.press(&ENTER.to_string()));
                    break;
                }
                _ => {}
            }
        }
        assert_ne!(browser.address(), before, "the keyboard found no way on");
        pages += 1;
    }
    assert_eq!(pages, 5);
    assert!(browser.address().ends_with("/room/measure/home-corner"));
}

#[test]
fn a_page_that_is_killed_and_started_again_goes_on() {
    let mut house = House::open("en");
    let browser = Browser::new(&[]);
    browser.open(&house.address);
    browser.open(&house.at("/room"));
    browser.kind_in("#place", "window table");
    browser.follow("main button[type=submit]");
    browser.run(ANSWER);
    browser.follow("main button[type=submit]");
    house.again();
    browser.open(&house.address);
    browser.open(&house.at("/room"));
    browser.follow(".note .button");
    let kept = browser.run("return document.querySelector('input[type=number]').value");
    assert_eq!(kept, "2");
}

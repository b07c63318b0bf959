//! Walks as a user does them: an audit with real files, wide and narrow; by keyboard alone; across a restart.

use super::access::{axe, findings};
use super::driver::Browser;
use super::house::{House, file, stillroom};

/// Keys as WebDriver writes them. W3C WebDriver, section 17.4.2 (from memory).
const TAB: char = '\u{E004}';
const SPACE: char = ' ';
const ENTER: char = '\u{E006}';

/// A laptop and a telephone.
pub(crate) const SIZES: [(u32, u32); 2] = [(1280, 900), (390, 800)];

/// Answers every question of the page that is open: 2 of what is counted, the first choice elsewhere.
pub(crate) const ANSWER: &str = "document.querySelectorAll('.question').forEach(question => {
    const count = question.querySelector('input[inputmode=numeric]');
    if (count) { count.value = 2; } else { question.querySelector('input[type=radio]').checked = true; } });";

/// Walks through all surfaces of the list that is chosen at first, up to photos and sound.
pub(crate) fn walk(browser: &Browser, house: &House, place: &str) {
    browser.open(&house.at("/room"));
    browser.kind_in("#place", place);
    browser.follow("main form[action='/room'] button[type=submit]");
    while browser.address().contains("/room/walk/") {
        let name = browser.address().rsplit('/').next().unwrap_or_default().to_owned();
        assert_eq!(findings(browser, &axe()), Vec::<String>::new(), "{name}");
        browser.keep_picture(&format!("walk-{name}-{}", browser.run("return innerWidth")));
        browser.run(ANSWER);
        browser.follow("main form button[type=submit]");
    }
    assert!(browser.address().ends_with("/room/measure/home-corner"), "{}", browser.address());
    assert_eq!(findings(browser, &axe()), Vec::<String>::new());
    browser.keep_picture(&format!("measure-{}", browser.run("return innerWidth")));
}

#[test]
fn an_audit_with_photo_and_recording_is_done_wide_and_narrow() {
    let house = House::open("en");
    let browser = Browser::new(&[]);
    browser.open(&house.address);
    for (width, height) in SIZES {
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
        assert_eq!(findings(&browser, &axe()), Vec::<String>::new());
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
    assert_eq!(findings(&browser, &axe()), Vec::<String>::new());
    browser.open(&house.at("/sound"));
    browser.kind_in("#sound", &file("demo/room-before.flac"));
    browser.follow("main button[type=submit]");
    assert!(browser.text().contains("LAeq") && browser.text().contains("not calibrated"));
    browser.keep_picture("sound");
    assert_eq!(findings(&browser, &axe()), Vec::<String>::new());
}

/// Goes on with Tab until the focus is there.
fn tab_to(browser: &Browser, is_there: &str) {
    for _ in 0..200 {
        browser.press(&TAB.to_string());
        if browser.run(&format!("const it = document.activeElement; return {is_there}")) == true {
            // What has the focus shows it.
            let ring = browser.run("return getComputedStyle(document.activeElement).outlineStyle");
            assert_ne!(ring, "none", "{is_there}");
            return;
        }
    }
    panic!("the keyboard does not reach {is_there}");
}

#[test]
fn an_audit_is_done_by_keyboard_alone_from_the_first_page_to_the_stored_record() {
    let house = House::open("en");
    let browser = Browser::new(&[]);
    browser.open(&house.address);
    let enter = || browser.go_on(|| browser.press(&ENTER.to_string()));
    tab_to(&browser, "it.matches('main a[href=\"/room\"]')");
    enter();
    tab_to(&browser, "it.id === 'place'");
    browser.press("kitchen table");
    enter();
    let mut pages = 0;
    while browser.address().contains("/room/walk/") {
        let before = browser.address();
        for _ in 0..160 {
            browser.press(&TAB.to_string());
            let focused = browser.run(
                "const it = document.activeElement; return it.inputMode === 'numeric' ? 'number' : it.type || it.tagName",
            );
            match focused.as_str().unwrap_or_default() {
                "number" => browser.press("1"),
                "radio" => browser.press(&SPACE.to_string()),
                "submit" => {
                    enter();
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
    tab_to(&browser, "it.id === 'minutes'");
    tab_to(&browser, "it.type === 'submit'");
    enter();
    assert!(
        browser.address().contains("/room/found/") && browser.text().contains("kitchen table"),
        "{}",
        browser.text()
    );
    let list = stillroom(house.folder.path(), &["case", "list", "demo/case"]);
    assert!(String::from_utf8_lossy(&list.stdout).contains("kitchen table"));
}

#[test]
fn a_page_killed_in_the_middle_of_an_audit_and_started_again_loses_nothing() {
    let mut house = House::open("en");
    let browser = Browser::new(&[]);
    browser.open(&house.address);
    browser.open(&house.at("/room"));
    browser.kind_in("#place", "window table");
    browser.follow("main form[action='/room'] button[type=submit]");
    browser.run(ANSWER);
    browser.follow("main form button[type=submit]");
    browser.run(ANSWER);
    browser.follow("main form button[type=submit]");
    house.again();
    browser.open(&house.address);
    browser.open(&house.at("/room"));
    // It goes on where the first answer is missing.
    browser.follow(".note .button");
    assert!(browser.address().ends_with("/room/walk/home-corner/wall"), "{}", browser.address());
    for surface in ["table", "floor"] {
        browser.open(&house.at(&format!("/room/walk/home-corner/{surface}")));
        let kept = browser.run(
            "return [...document.querySelectorAll('.question')].every(question => {
                const count = question.querySelector('input[inputmode=numeric]');
                return count ? count.value === '2' : !!question.querySelector('input[type=radio]:checked'); })",
        );
        assert_eq!(kept, true, "{surface}");
    }
    browser.open(&house.at("/room/walk/home-corner/wall"));
    while browser.address().contains("/room/walk/") {
        browser.run(ANSWER);
        browser.follow("main form button[type=submit]");
    }
    assert!(!browser.text().contains("no answer yet"), "{}", browser.text());
    browser.follow("main form button[type=submit]");
    assert!(browser.address().contains("/room/found/"), "{}", browser.text());
}

#[test]
fn counting_takes_a_thumb() {
    let house = House::open("en");
    let browser = Browser::new(&[]);
    browser.open(&house.address);
    browser.view(390, 800);
    browser.open(&house.at("/room"));
    browser.kind_in("#place", "window table");
    browser.follow("main form[action='/room'] button[type=submit]");
    for (css, value) in
        [(".step:last-child", "1"), (".step:last-child", "2"), (".step", "1"), (".step", "0"), (".step", "0")]
    {
        browser.click(&format!(".question .count {css}"));
        assert_eq!(browser.run("return document.querySelector('.count input').value"), value);
    }
    browser.click(".question input[type=checkbox]");
    assert_eq!(browser.run("return document.querySelector('.count input').value"), "");
}

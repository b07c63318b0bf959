//! Walks of a parent and of a clinician, wide and narrow: a case begun, a sitting as beads, an observation with its timer,
//! ladder, decision, papers, all cases; two pages at once; axe-core on what only stands in the middle of a walk.

use super::access::{axe, findings, forms};
use super::driver::Browser;
use super::house::{House, stillroom};
use super::walks::{SIZES, walk};

/// Presses the bead of that word.
fn bead(browser: &Browser, word: &str) {
    browser.follow(&format!("button[value={word}]"));
}

/// What the thread tells.
fn told(browser: &Browser) -> String {
    browser.run("return document.querySelector('main p[aria-live]').textContent").as_str().unwrap().to_owned()
}

#[test]
fn a_parent_logs_a_sitting_in_a_press_a_try() {
    let house = House::open("en");
    let browser = Browser::new(&[]);
    browser.open(&house.address);
    for (width, height) in SIZES {
        browser.view(width, height);
        browser.open(&house.at("/practice"));
        let mut presses = 0;
        let mut follow = |css: &str| {
            presses += 1;
            browser.follow(css);
        };
        follow("main .send .button");
        follow("main button[type=submit]");
        // Stopping is in reach before, between and after all tries, without scrolling.
        // A second sitting of the same minute and the same answers would be taken for the first, read twice.
        let last = if width < 600 { "alone" } else { "helped" };
        for word in ["alone", "helped", "wrong", "alone", "nothing", "alone", "alone", last] {
            let stop = browser.run("return document.querySelector('a[href=\"/practice/sitting/end\"]').getBoundingClientRect().bottom <= innerHeight");
            assert_eq!(stop, true, "stop is out of sight at {width}");
            follow(&format!("button[value={word}]"));
        }
        browser.keep_picture(&format!("thread-{width}"));
        let counted =
            if last == "alone" { "5 alone, 1 with help, 1 not right" } else { "4 alone, 2 with help, 1 not right" };
        assert!(told(&browser).contains(counted), "{}", told(&browser));
        bead(&browser, "undo");
        assert!(told(&browser).contains("4 alone, 1 with help, 1 not right"), "{}", told(&browser));
        bead(&browser, last);
        // The cursor stays on the last press, so that the same again is one more press for a keyboard too.
        assert_eq!(browser.run("return document.activeElement.value"), last);
        follow("a[href='/practice/sitting/end']");
        let mut press = |css: &str| {
            presses += 1;
            browser.click(css);
        };
        // The rung is not the cleared room, so three questions are asked; nothing is taken for granted.
        press("input[name=distractor-on][value=yes]");
        press("input[name=distress][value=no]");
        press("input[name=assent][value=yes]");
        browser.keep_picture(&format!("sitting-end-{width}"));
        presses += 1;
        browser.follow("main form[action='/practice/sitting/end'] button[type=submit]");
        assert!(browser.text().contains("The sitting is stored."), "{}", browser.text());
        // Eight tries, and seven presses around them.
        assert_eq!(presses, 8 + 7);
        browser.keep_picture(&format!("practice-{width}"));
    }
}

#[test]
fn a_sitting_ended_with_open_questions_says_which_and_keeps_the_rest() {
    let house = House::open("en");
    let browser = Browser::new(&[]);
    browser.open(&house.address);
    browser.view(390, 800);
    browser.open(&house.at("/practice/sitting"));
    browser.follow("main button[type=submit]");
    bead(&browser, "alone");
    browser.follow("a[href='/practice/sitting/end']");
    browser.kind_in("#note", "tired & warm");
    browser.click("input[name=assent][value=yes]");
    browser.follow("main form[action='/practice/sitting/end'] button[type=submit]");
    let kept = browser.run("return [document.getElementById('note').value, document.querySelector('input[name=assent]:checked').value, document.activeElement.name]");
    assert_eq!(kept, serde_json::json!(["tired & warm", "yes", "distractor-on"]));
    assert_eq!(findings(&browser, &axe()), Vec::<String>::new());
    browser.keep_picture("sitting-refused");
}

#[test]
fn an_observation_asks_in_time_and_loses_no_mark_when_its_page_closes() {
    let house = House::open("en");
    let browser = Browser::new(&[]);
    browser.open(&house.address);
    for (width, height) in SIZES {
        browser.view(width, height);
        browser.open(&house.at("/practice/sample"));
        browser.run("document.getElementById('interval').value = 2; document.getElementById('length').value = 1;");
        browser.click("#start");
        browser.wait_for("return !document.getElementById('yes').hidden");
        browser.keep_picture(&format!("timer-{width}"));
        browser.click("#yes");
        browser.wait_for("return !document.getElementById('no').hidden");
        browser.click("#no");
        browser.wait_for("return document.getElementById('marks').value.length > 2");
        // The page is closed without a word; another one knows the marks.
        browser.open("about:blank");
        browser.open(&house.at("/practice/sample"));
        let marks = browser.run("return document.getElementById('marks').value");
        let marks = marks.as_str().unwrap();
        assert!(marks.starts_with("yn"), "{marks}");
        assert!(browser.text().contains("marks of an observation were kept at"), "{}", browser.text());
        assert_eq!(findings(&browser, &axe()), Vec::<String>::new());
        browser.keep_picture(&format!("sample-kept-{width}"));
        browser.follow("#sampling > .send button[type=submit]");
        assert!(browser.text().contains("It is stored in the case."), "{}", browser.text());
    }
}

#[test]
fn a_case_is_begun_and_its_room_looked_at_from_nothing() {
    let house = House::empty();
    let browser = Browser::new(&[]);
    browser.open(&house.address);
    let axe = axe();
    for (width, height) in SIZES {
        browser.view(width, height);
        browser.open(&house.at("/"));
        assert_eq!(findings(&browser, &axe), Vec::<String>::new());
        browser.run("const more = document.querySelector('main > details'); if (more) more.open = true;");
        browser.keep_picture(&format!("begin-{width}"));
        let alias = format!("Fern {width}");
        browser.kind_in("#alias", &alias);
        browser.kind_in("#keep", "picture schedule\nring");
        browser.click("input[name=hearing-checked][value=yes]");
        browser.follow("form[action='/case/new'] button[type=submit]");
        assert_eq!(browser.run("return document.querySelector('h1').textContent"), alias.as_str());
        assert!(browser.text().contains("picture schedule, ring"));
        browser.keep_picture(&format!("new-case-{width}"));
        browser.follow("a[href='/room'].button");
        walk(&browser, &house, "kitchen table");
        browser.follow("main form button[type=submit]");
        assert!(browser.text().contains("What to move first"), "{}", browser.text());
        // The ladder from this room; a clinician signs it.
        browser.open(&house.at("/ladder"));
        browser.follow("form[action='/ladder/plan'] button[type=submit]");
        assert!(browser.text().contains("draft"), "{}", browser.text());
        browser.follow("form[action='/ladder/sign'] button[type=submit]");
        assert_eq!(browser.run("return document.activeElement.id"), "by", "who signs is asked beside its field");
        browser.keep_picture(&format!("sign-refused-{width}"));
        browser.kind_in("#by", "clinician");
        browser.follow("form[action='/ladder/sign'] button[type=submit]");
        assert!(browser.text().contains("signed by clinician"), "{}", browser.text());
        browser.keep_picture(&format!("ladder-signed-{width}"));
    }
    // All cases at a glance: both are there, and one is opened.
    browser.open(&house.at("/caseload"));
    assert!(browser.text().contains("Fern 1280") && browser.text().contains("Fern 390"), "{}", browser.text());
    assert_eq!(findings(&browser, &axe), Vec::<String>::new());
    browser.keep_picture("caseload-two");
    browser.follow("button[aria-label='Open Fern 1280']");
    assert_eq!(browser.run("return document.querySelector('h1').textContent"), "Fern 1280");
    stillroom(house.folder.path(), &["case", "check", "fern-1280"]);
}

#[test]
fn a_clinician_reads_decides_and_prints() {
    let house = House::open("en");
    let browser = Browser::new(&[]);
    browser.open(&house.address);
    for (width, height) in SIZES {
        browser.view(width, height);
        browser.open(&house.at("/practice"));
        assert!(browser.run("return document.querySelectorAll('figure.chart svg').length").as_i64() > Some(0));
        browser.click("details.card summary");
        browser.click("input[name=decision][value=hold]");
        browser.kind_in("#why", "a cold");
        browser.follow("form[action='/practice/decide'] button[type=submit]");
        let kept = browser.run("return [document.activeElement.id, document.getElementById('why').value, document.querySelector('input[name=decision]:checked').value]");
        assert_eq!(kept, serde_json::json!(["by", "a cold", "hold"]));
        browser.kind_in("#by", "clinician");
        browser.follow("form[action='/practice/decide'] button[type=submit]");
        assert!(browser.text().contains("The decision is stored."), "{}", browser.text());
        browser.follow("a[href='/practice/stuck']");
        assert!(browser.text().contains("When to call the clinician"));
        browser.follow("a[href='/papers']");
        let reports = browser.run("return [...document.querySelectorAll('a[href^=\"/report/\"]')].length");
        assert_eq!(reports, 3);
        for report in ["family", "visitor", "clinician"] {
            browser.open(&house.at("/papers"));
            browser.follow(&format!("a[href='/report/{report}']"));
            browser.keep_picture(&format!("report-{report}-{width}"));
            let wide =
                browser.run("return document.documentElement.scrollWidth > document.documentElement.clientWidth + 1");
            assert_eq!(wide, false, "{report} at {width}");
        }
        for form in forms(house.folder.path()) {
            browser.open(&house.at(&format!("/papers/{form}")));
            assert!(browser.text().len() > 100, "{form}");
        }
        browser.open(&house.at("/room/change"));
        browser.follow("main button[type=submit]");
        assert!(browser.text().contains("before") && browser.text().contains("What changed most"));
    }
}

#[test]
fn two_pages_write_at_once_and_no_press_counts_twice() {
    let house = House::open("en");
    let (left, right) = (Browser::new(&[]), Browser::new(&[]));
    left.open(&house.address);
    right.open(&house.address);
    left.open(&house.at("/practice/sitting"));
    left.follow("main button[type=submit]");
    right.open(&house.at("/practice/sitting"));
    bead(&left, "alone");
    // The other page still shows an empty thread: its press was meant for what it shows, and it now sees what is there.
    bead(&right, "wrong");
    assert!(told(&right).contains("1 alone, 0 with help, 0 not right"), "{}", told(&right));
    bead(&right, "wrong");
    bead(&left, "undo");
    assert!(told(&left).contains("1 alone, 0 with help, 1 not right"), "{}", told(&left));
    // Two audits of two lists side by side; both are stored whole.
    for (browser, list) in [(&left, "play-floor"), (&right, "group-room")] {
        browser.open(&house.at("/room"));
        browser.click(&format!("input[name=list][value={list}]"));
        browser.kind_in("#place", list);
        browser.follow("main form[action='/room'] button[type=submit]");
    }
    while left.address().contains("/room/walk/") || right.address().contains("/room/walk/") {
        for browser in [&left, &right] {
            if browser.address().contains("/room/walk/") {
                browser.run(super::walks::ANSWER);
                browser.follow("main form button[type=submit]");
            }
        }
    }
    std::thread::scope(|scope| {
        for browser in [&left, &right] {
            scope.spawn(|| browser.follow("main form button[type=submit]"));
        }
    });
    for (browser, list) in [(&left, "play-floor"), (&right, "group-room")] {
        assert!(browser.address().contains("/room/found/") && browser.text().contains(list), "{}", browser.text());
    }
    stillroom(house.folder.path(), &["case", "check", "demo/case"]);
}

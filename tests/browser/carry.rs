//! The file for a phone, walked as a parent does: the whole visit without a case, and the child's own ladder that a clinician
//! sent; what is handed over is taken in by the terminal.

use std::path::Path;

use super::access::{axe, findings};
use super::house::{file, stillroom};
use super::phone::{Phone, carried_demo, template};

#[test]
fn a_visit_is_done_on_the_phone_and_taken_in_at_the_desk() {
    let folder = tempfile::tempdir().unwrap();
    let phone = Phone::open(Path::new(&template()), &folder.path().join("profile"), &[]);
    phone.browser.keep_picture("carry-new");
    phone.new_case("clover");
    let before = [
        ("#photo", format!("{}\n{}", file("demo/photo-before-1.jpg"), file("demo/photo-before-2.jpg"))),
        ("#sound", file("demo/room-before.flac")),
        ("#voice", file("demo/voice.flac")),
    ];
    phone.look("window table", 9, &before);
    let text = phone.browser.text();
    assert!(text.contains("What to move first") && text.contains("not a validated scale"), "{text}");
    phone.browser.keep_picture("carry-found");
    let after = [
        ("#photo", format!("{}\n{}", file("demo/photo-after-1.jpg"), file("demo/photo-after-2.jpg"))),
        ("#sound", file("demo/room-after.flac")),
        ("#voice", file("demo/voice-after.flac")),
    ];
    phone.look("window table", 0, &after);
    assert!(phone.browser.text().contains("before"), "{}", phone.browser.text());
    phone.go("/room/change");
    let text = phone.browser.text();
    assert!(text.contains("What changed most") && text.to_lowercase().contains("calmer"), "{text}");
    phone.browser.keep_picture("carry-change");

    phone.go("/hand-over");
    phone.follow("main form button[type=submit]");
    assert!(phone.browser.text().contains("It is not sealed"), "{}", phone.browser.text());
    let out = folder.path().join("out");
    std::fs::create_dir(&out).unwrap();
    let saved = phone.saved(&out, "a[download]").display().to_string();
    stillroom(folder.path(), &["case", "new", "desk", "--alias", "clover"]);
    stillroom(folder.path(), &["case", "merge", "desk", &saved]);
    let listed = stillroom(folder.path(), &["case", "list", "desk"]);
    let listed = String::from_utf8(listed.stdout).unwrap();
    assert_eq!(listed.matches("audit").count(), 2, "{listed}");
    stillroom(folder.path(), &["case", "check", "desk"]);
}

#[test]
fn a_photo_and_a_recording_show_what_they_hold() {
    let folder = tempfile::tempdir().unwrap();
    let phone = Phone::open(Path::new(&template()), folder.path(), &[]);
    phone.go("/photo");
    phone.browser.kind_in("#photo", &file("demo/photo-before-1.jpg"));
    phone.follow("main form button[type=submit]");
    assert!(phone.browser.text().contains("The picture is busiest here"), "{}", phone.browser.text());
    phone.browser.keep_picture("carry-photo");
    phone.go("/sound");
    phone.browser.kind_in("#sound", &file("demo/room-before.flac"));
    phone.browser.kind_in("#voice", &file("demo/voice.flac"));
    phone.follow("main form button[type=submit]");
    let text = phone.browser.text();
    assert!(
        text.contains("LAeq") && text.contains("not calibrated") && text.contains("above the background"),
        "{text}"
    );
    phone.browser.keep_picture("carry-sound");
    // A photo that is none is refused in the same words, and the page stays.
    phone.go("/photo");
    phone.browser.kind_in("#photo", &file("tests/oracle/photo/bad-text.jpg"));
    phone.follow("main form button[type=submit]");
    assert!(phone.browser.text().contains("bad-text.jpg"), "{}", phone.browser.text());
}

#[test]
fn the_childs_ladder_is_there_and_a_session_leads_to_a_decision() {
    let folder = tempfile::tempdir().unwrap();
    let page = carried_demo(folder.path());
    let phone = Phone::open(&page, &folder.path().join("profile"), &[]);
    assert!(phone.browser.text().contains("rungs, signed by"), "{}", phone.browser.text());
    phone.browser.keep_picture("carry-home");
    phone.go("/ladder");
    let text = phone.browser.text();
    assert!(text.contains("Set up") && text.contains("Stop for today"), "{text}");
    phone.browser.keep_picture("carry-ladder");
    phone.go("/practice/sitting");
    phone.follow("form[action='/practice/sitting/begin'] button");
    let given =
        |phone: &Phone| phone.browser.run("return document.querySelectorAll('form button[value=alone]').length");
    assert_eq!(given(&phone), 1, "{}", phone.browser.text());
    while phone.browser.address().ends_with("/practice/sitting") || phone.browser.address().contains("?last=") {
        phone.follow("button[value=alone]");
    }
    phone.browser.keep_picture("carry-end");
    phone.browser.run(
        "const first = new Set(); document.querySelectorAll('main form[action=\"/practice/sitting/end\"] input[type=radio]').forEach(one => {
            if (!first.has(one.name)) { first.add(one.name); one.checked = true; } });",
    );
    phone.follow("form[action='/practice/sitting/end'] button[type=submit]");
    let text = phone.browser.text();
    assert!(phone.browser.address().ends_with("#/practice"), "{} {text}", phone.browser.address());
    phone.browser.keep_picture("carry-practice");

    // Sealed, and back into the clinician's own case.
    phone.go("/hand-over");
    phone.browser.kind_in("#passphrase", "heron lantern gravel teapot");
    phone.follow("main form button[type=submit]");
    phone.browser.keep_picture("carry-hand-over");
    let out = folder.path().join("out");
    std::fs::create_dir(&out).unwrap();
    let saved = phone.saved(&out, "a[download]");
    assert!(std::fs::read(&saved).unwrap().starts_with(b"age-encryption.org/v1\n-> scrypt "));
    std::fs::write(folder.path().join("key.txt"), "heron lantern gravel teapot\n").unwrap();
    let words = [
        "case",
        "merge",
        "demo/case",
        &saved.display().to_string(),
        "--passphrase-file",
        "key.txt",
        "--format",
        "json",
    ];
    let merged: serde_json::Value = serde_json::from_slice(&stillroom(folder.path(), &words).stdout).unwrap();
    let added = merged["added"].as_array().unwrap();
    assert!(added.iter().any(|name| name.as_str().unwrap().contains("-session-")), "{merged}");
    assert!(merged["left_out"].as_array().unwrap().is_empty(), "{merged}");
}

#[test]
fn the_file_asks_for_nothing_from_any_network_and_carries_no_more_than_it_says() {
    let folder = tempfile::tempdir().unwrap();
    let page = carried_demo(folder.path());
    let text = std::fs::read_to_string(&page).unwrap();
    assert!(text.len() < 2_500_000, "{} bytes", text.len());
    assert!(text.contains("default-src 'none'") && !text.contains("connect-src"));
    let phone = Phone::open(&page, &folder.path().join("profile"), &[]);
    let fetched = phone.browser.run("return performance.getEntriesByType('resource').map(one => one.name)");
    assert_eq!(fetched, serde_json::json!([]), "nothing is fetched");
    let refused = phone.browser.run_to_end(
        "const done = arguments[arguments.length - 1]; const image = new Image();
        image.onload = () => done('loaded'); image.onerror = () => done('refused'); image.src = 'http://127.0.0.1:9/x.png'",
    );
    assert_eq!(refused, "refused");
}

#[test]
fn axe_finds_nothing_on_the_phone_in_either_language() {
    let folder = tempfile::tempdir().unwrap();
    let page = carried_demo(folder.path());
    let phone = Phone::open(&page, &folder.path().join("profile"), &[]);
    let axe = axe();
    for language in ["en", "es"] {
        for address in [
            "/",
            "/room",
            "/room/change",
            "/sound",
            "/photo",
            "/practice",
            "/practice/sitting",
            "/ladder",
            "/meter",
            "/papers",
            "/hand-over",
        ] {
            phone.go(address);
            let name = format!("carry-{language}{}", address.replace('/', "-"));
            phone.browser.keep_picture(&name);
            assert_eq!(findings(&phone.browser, &axe), Vec::<String>::new(), "{name}");
            let wider = "return document.documentElement.scrollWidth > document.documentElement.clientWidth";
            assert_eq!(phone.browser.run(wider), false, "{name} is wider than its window");
            assert_eq!(phone.browser.run("return document.documentElement.lang"), language);
        }
        phone.go("/");
        phone.follow("form[action='/language'] button");
    }
}

#[test]
fn the_live_meter_listens_through_the_browser() {
    let folder = tempfile::tempdir().unwrap();
    let more = [
        "--use-fake-ui-for-media-stream",
        "--use-fake-device-for-media-stream",
        &format!("--use-file-for-fake-audio-capture={}", file("tests/oracle/sound/tone-1k.wav")),
    ];
    let phone = Phone::open(Path::new(&template()), folder.path(), &more);
    phone.go("/meter");
    phone.browser.run("document.querySelector('#listen').click()");
    let mut level = serde_json::Value::Null;
    for _ in 0..200 {
        std::thread::sleep(std::time::Duration::from_millis(50));
        level = phone.browser.run("const live = document.querySelector('.live'); return live && Number(live.dataset.seconds) > 1 ? live.dataset.laeq : null");
        if !level.is_null() {
            break;
        }
    }
    let level: f64 = level.as_str().unwrap_or_else(|| panic!("no level: {}", phone.browser.text())).parse().unwrap();
    let out = stillroom(folder.path(), &["sound", &file("tests/oracle/sound/tone-1k.wav"), "--format", "json"]);
    let told: serde_json::Value = serde_json::from_slice(&out.stdout).unwrap();
    let wanted = told["levels"]["laeq_db"].as_f64().unwrap();
    // The browser resamples and the tone begins anew at its end.
    assert!((level - wanted).abs() < 0.5, "{level} and {wanted}");
    phone.browser.keep_picture("carry-meter");
    phone.go("/");
    assert!(phone.browser.text().contains("Start"));
}

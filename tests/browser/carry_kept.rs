//! Nothing is lost: a reload, a closed browser, a second window, a full storage, a private window, a browser without storage.
//! Each keeps what was done, or says beforehand that it cannot.

use std::path::Path;

use serde_json::json;

use super::house::file;
use super::phone::{Phone, template};

fn count_photos_field() -> [(&'static str, String); 1] {
    [("#photo", file("demo/photo-after-1.jpg"))]
}

#[test]
fn a_reload_and_a_closed_browser_lose_nothing() {
    let profile = tempfile::tempdir().unwrap();
    let page = template();
    let phone = Phone::open(Path::new(&page), profile.path(), &[]);
    assert!(
        phone.browser.text().contains("kept in this browser on this phone and nowhere else"),
        "{}",
        phone.browser.text()
    );
    phone.new_case("clover");
    // In the middle of a walk, after its first page.
    phone.go("/room");
    phone.browser.kind_in("#place", "window table");
    phone.follow("main form[action='/room'] button[type=submit]");
    phone.browser.run("document.querySelectorAll('input[type=number]').forEach(count => { count.value = 3; })");
    phone.follow("main button[type=submit]");
    phone.reload();
    phone.go("/room");
    phone.follow(".note .button");
    assert_eq!(phone.browser.run("return document.querySelector('input[type=number]').value"), "3");
    phone.look("window table", 3, &count_photos_field());
    assert!(phone.browser.text().contains("What to move first"), "{}", phone.browser.text());
    drop(phone);
    let phone = Phone::open(Path::new(&page), profile.path(), &[]);
    assert!(phone.browser.text().contains("clover") && phone.browser.text().contains("window table"));
}

#[test]
fn a_second_window_sees_what_the_first_has_kept() {
    let profile = tempfile::tempdir().unwrap();
    let phone = Phone::open(Path::new(&template()), profile.path(), &[]);
    let first = phone.browser.run_to_end("arguments[arguments.length - 1](window.name = 'first')");
    assert_eq!(first, "first");
    phone.new_case("fern");
    phone.browser.open_window();
    phone.visit(Path::new(&template()));
    phone.look("second corner", 1, &count_photos_field());
    phone.browser.to_window(0);
    phone.go("/");
    assert!(phone.browser.text().contains("second corner"), "{}", phone.browser.text());
}

#[test]
fn a_full_storage_says_so_and_nothing_counts_as_done() {
    let profile = tempfile::tempdir().unwrap();
    let phone = Phone::open(Path::new(&template()), profile.path(), &[]);
    phone.new_case("moss");
    phone.look("kitchen table", 2, &count_photos_field());
    let full = "const put = IDBObjectStore.prototype.put;
        window.stores = () => { IDBObjectStore.prototype.put = put; };
        IDBObjectStore.prototype.put = function (...what) {
            const asked = put.apply(this, what);
            this.transaction.abort();
            return asked;
        };";
    phone.browser.run(full);
    phone.go("/room");
    phone.browser.kind_in("#place", "floor");
    phone.follow("main form[action='/room'] button[type=submit]");
    let text = phone.browser.text();
    assert!(text.contains("storage of this browser is full") && text.contains("does not count as done"), "{text}");
    assert_eq!(phone.browser.run("return document.querySelector('#place').value"), "floor", "what was typed is kept");
    phone.browser.keep_picture("carry-full");
    // With room again the same press goes through.
    phone.browser.run("window.stores()");
    phone.follow("main form[action='/room'] button[type=submit]");
    assert!(phone.browser.address().contains("/room/walk/"), "{}", phone.browser.address());
    phone.reload();
    phone.go("/");
    assert!(phone.browser.text().contains("kitchen table"));
}

#[test]
fn a_quota_of_the_browser_that_runs_out_is_told() {
    let profile = tempfile::tempdir().unwrap();
    let phone = Phone::open(Path::new(&template()), profile.path(), &[]);
    phone.new_case("reed");
    phone.browser.cdp("Storage.overrideQuotaForOrigin", &json!({"origin": "file://", "quotaSize": 1}));
    phone.go("/room");
    phone.browser.kind_in("#place", "floor");
    phone.follow("main form[action='/room'] button[type=submit]");
    let text = phone.browser.text();
    assert!(text.contains("does not count as done"), "{text}");
}

#[test]
fn a_private_window_is_told_beforehand() {
    let profile = tempfile::tempdir().unwrap();
    let phone = Phone::open(Path::new(&template()), profile.path(), &["--incognito"]);
    let text = phone.browser.text();
    assert!(text.contains("private window") && text.contains("gone when it closes"), "{text}");
    phone.new_case("heath");
    assert!(phone.browser.text().contains("gone when it closes"), "on every page: {}", phone.browser.text());
}

#[test]
fn a_browser_without_storage_is_told_beforehand() {
    let profile = tempfile::tempdir().unwrap();
    let phone = Phone::idle(profile.path(), &[]);
    phone.browser.cdp(
        "Page.addScriptToEvaluateOnNewDocument",
        &json!({"source": "Object.defineProperty(window, 'indexedDB', { get() { throw new DOMException('', 'SecurityError'); } })"}),
    );
    phone.visit(Path::new(&template()));
    let text = phone.browser.text();
    assert!(text.contains("Nothing can be kept here"), "{text}");
    phone.new_case("sage");
    assert!(phone.browser.text().contains("Nothing can be kept here"));
}

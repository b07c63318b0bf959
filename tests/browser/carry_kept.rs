//! Nothing is lost: a reload, a closed browser, a second window, a full storage, a private window, a browser without storage.
//! Each keeps what was done, or says beforehand that it cannot.

use std::path::{Path, PathBuf};
use std::process::Command;

use serde_json::json;

use super::house::file;
use super::phone::{Phone, carried_demo, template};

fn one_photo() -> [(&'static str, String); 1] {
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
    phone.browser.run("document.querySelectorAll('input[inputmode=numeric]').forEach(count => { count.value = 3; })");
    phone.follow("main button[type=submit]");
    phone.reload();
    phone.go("/room");
    phone.follow(".note .button");
    phone.go("/room/walk/home-corner/table");
    assert_eq!(phone.browser.run("return document.querySelector('input[inputmode=numeric]').value"), "3");
    phone.look("window table", 3, &one_photo());
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
    phone.look("second corner", 1, &one_photo());
    phone.browser.to_window(0);
    phone.go("/");
    assert!(phone.browser.text().contains("second corner"), "{}", phone.browser.text());
}

/// A profile on a disk of its own, where that may be made, so that it can be filled to its last byte.
struct SmallDisk {
    folder: tempfile::TempDir,
    own: bool,
}

impl SmallDisk {
    fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let mount = Command::new("mount").args(["-t", "tmpfs", "-o", "size=120m", "tmpfs"]).arg(folder.path()).status();
        Self { own: mount.is_ok_and(|status| status.success()), folder }
    }

    fn filler(&self) -> PathBuf {
        self.folder.path().join("filler")
    }

    /// Leaves no byte free; without a disk of its own, the browser's base is made to say what it says then.
    fn fill(&self, phone: &Phone) {
        if self.own {
            let mut filler = std::fs::File::create(self.filler()).unwrap();
            while std::io::Write::write_all(&mut filler, &[1; 4096]).is_ok() {}
        } else {
            phone.browser.run(
                "window.transaction = IDBDatabase.prototype.transaction;
                IDBDatabase.prototype.transaction = function (...what) {
                    const step = window.transaction.apply(this, what);
                    if (what[1] === 'readwrite') step.abort();
                    return step;
                };",
            );
        }
    }

    fn make_room(&self, phone: &Phone) {
        if self.own {
            std::fs::remove_file(self.filler()).unwrap();
        } else {
            phone.browser.run("IDBDatabase.prototype.transaction = window.transaction");
        }
    }
}

impl Drop for SmallDisk {
    fn drop(&mut self) {
        if self.own {
            let _gone = Command::new("umount").arg("--lazy").arg(self.folder.path()).status();
        }
    }
}

#[test]
fn a_full_storage_says_so_and_nothing_counts_as_done() {
    let disk = SmallDisk::new();
    let phone = Phone::open(Path::new(&template()), &disk.folder.path().join("profile"), &[]);
    phone.new_case("moss");
    phone.look("kitchen table", 2, &one_photo());
    disk.fill(&phone);
    let press = |place: &str| {
        phone.go("/room");
        phone.browser.run("document.querySelector('#place').value = ''");
        phone.browser.kind_in("#place", place);
        phone.follow("main form[action='/room'] button[type=submit]");
    };
    // The last page of the disk may still take one more.
    let refused = (1..6).find(|number| {
        press(&format!("place {number}"));
        phone.browser.text().contains("does not count as done")
    });
    let text = phone.browser.text();
    let refused = refused.unwrap_or_else(|| panic!("everything was kept: {text}"));
    assert!(text.contains("Nothing that was kept before is lost"), "{text}");
    let typed = phone.browser.run("return document.querySelector('#place').value");
    assert_eq!(typed, format!("place {refused}"), "what was typed stays");
    phone.browser.keep_picture("carry-full");
    // What was kept can still be looked at and handed over.
    phone.go("/");
    assert!(phone.browser.text().contains("kitchen table"), "{}", phone.browser.text());
    phone.go("/hand-over");
    phone.follow("main form button[type=submit]");
    assert!(phone.browser.text().contains("The file is ready"), "{}", phone.browser.text());
    // With room again the same press goes through, and is there the next time.
    disk.make_room(&phone);
    press("after all");
    assert!(phone.browser.address().contains("/room/walk/"), "{}", phone.browser.text());
    phone.reload();
    phone.go("/");
    assert!(phone.browser.text().contains("kitchen table"));
    phone.go("/room");
    assert!(phone.browser.text().contains("after all"), "{}", phone.browser.text());
}

#[test]
fn a_private_window_is_told_beforehand() {
    let folder = tempfile::tempdir().unwrap();
    let phone = Phone::open(Path::new(&template()), &folder.path().join("new"), &["--incognito"]);
    let told = "a private window forgets everything when it closes";
    assert!(phone.browser.text().contains(told), "before anything is typed: {}", phone.browser.text());
    // Also where a file brings a case along and asks for none.
    let page = carried_demo(folder.path());
    let phone = Phone::open(&page, &folder.path().join("carried"), &["--incognito"]);
    assert!(phone.browser.text().contains(told), "{}", phone.browser.text());
    phone.go("/practice");
    assert!(phone.browser.text().contains(told), "{}", phone.browser.text());
    phone.browser.keep_picture("carry-first");
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

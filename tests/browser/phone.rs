//! The file for a phone, opened from its folder as a family would.

use std::path::Path;
use std::thread;
use std::time::{Duration, Instant};

use super::driver::Browser;
use super::house::{file, stillroom};

/// Longest wait for a page.
const PATIENCE: Duration = Duration::from_secs(120);

/// The page without records that carry/build makes.
pub(crate) fn template() -> String {
    let built = file("target/carry/stillroom-carry.html");
    assert!(Path::new(&built).exists(), "{built} is not built: carry/build");
    built
}

/// A browser with the file open in it.
pub(crate) struct Phone {
    pub(crate) browser: Browser,
}

impl Phone {
    /// A browser with that profile, the width of a telephone, and the file open.
    pub(crate) fn open(page: &Path, profile: &Path, more: &[&str]) -> Self {
        let phone = Self::idle(profile, more);
        phone.visit(page);
        phone
    }

    /// The same with nothing open.
    pub(crate) fn idle(profile: &Path, more: &[&str]) -> Self {
        let profile = format!("--user-data-dir={}", profile.display());
        let browser = Browser::new(&[&[profile.as_str(), "--lang=en"], more].concat());
        browser.view(390, 800);
        Self { browser }
    }

    /// Opens the file and waits until its first page is there.
    pub(crate) fn visit(&self, page: &Path) {
        self.browser.open(&format!("file://{}", page.display()));
        self.wait(0);
    }

    /// How many pages were shown.
    pub(crate) fn turns(&self) -> u64 {
        let turns = self.browser.run("return Number(document.documentElement.dataset.turn || 0)");
        turns.as_u64().unwrap()
    }

    fn wait(&self, before: u64) {
        let begun = Instant::now();
        while self.turns() <= before {
            assert!(begun.elapsed() < PATIENCE, "no page came: {}", self.browser.text());
            thread::sleep(Duration::from_millis(20));
        }
    }

    /// Does what leads to the next page and waits for it.
    pub(crate) fn go_on(&self, act: impl FnOnce()) {
        let before = self.turns();
        act();
        self.wait(before);
    }

    /// Clicks what leads to the next page.
    pub(crate) fn follow(&self, css: &str) {
        self.go_on(|| self.browser.click(css));
    }

    /// Goes to a page by its address.
    pub(crate) fn go(&self, address: &str) {
        let link = format!(
            "const to = document.createElement('a'); to.href = '{address}'; document.body.append(to); to.click()"
        );
        self.go_on(|| drop(self.browser.run(&link)));
    }

    /// Loads the file again.
    pub(crate) fn reload(&self) {
        self.browser.run("document.documentElement.dataset.turn = '-1'; location.reload()");
        thread::sleep(Duration::from_millis(100));
        self.wait(0);
    }

    /// Waits for a download to be whole, and gives its path.
    pub(crate) fn saved(&self, folder: &Path, css: &str) -> std::path::PathBuf {
        self.browser.cdp(
            "Browser.setDownloadBehavior",
            &serde_json::json!({"behavior": "allow", "downloadPath": folder.display().to_string()}),
        );
        self.browser.click(css);
        let begun = Instant::now();
        loop {
            let found = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
            let whole = found
                .filter(|path| matches!(path.extension().and_then(|ending| ending.to_str()), Some("age" | "tar")))
                .find(|path| std::fs::metadata(path).unwrap().len() > 0);
            if let Some(path) = whole {
                return path;
            }
            assert!(begun.elapsed() < PATIENCE, "nothing was saved");
            thread::sleep(Duration::from_millis(50));
        }
    }

    /// Starts a case under that alias.
    pub(crate) fn new_case(&self, alias: &str) {
        self.browser.kind_in("#alias", alias);
        self.follow("form[action='/case/new'] button");
        assert!(self.browser.text().contains(alias), "{}", self.browser.text());
    }

    /// Looks at a place with photos and sound, to what came out.
    pub(crate) fn look(&self, place: &str, count: u32, files: &[(&str, String)]) {
        self.go("/room");
        self.browser.run("document.querySelector('#place').value = ''");
        self.browser.kind_in("#place", place);
        self.follow("main form[action='/room'] button[type=submit]");
        while self.browser.address().contains("/room/walk/") {
            self.browser.run(&format!(
                "document.querySelectorAll('.question').forEach(question => {{
                const count = question.querySelector('input[inputmode=numeric]');
                if (count) {{ count.value = {count}; }} else {{ question.querySelector('input[type=radio]').checked = true; }} }});"
            ));
            self.follow("main button[type=submit]");
        }
        for (field, files) in files {
            self.browser.kind_in(field, files);
        }
        self.follow("main button[type=submit]");
    }
}

/// The file with the records of the demo's case; the case lies in `demo/case`.
pub(crate) fn carried_demo(folder: &Path) -> std::path::PathBuf {
    stillroom(folder, &["demo", "--into", "demo"]);
    let page = folder.join("clover.html");
    let page_name = page.display().to_string();
    stillroom(folder, &["carry", "--case", "demo/case", "--template", &template(), "--out", &page_name]);
    page
}

//! Everyone can use it: axe-core finds nothing on any page, by day and by night, wide and narrow; the HTML is valid.

use std::path::Path;
use std::process::Command;

use super::driver::Browser;
use super::house::{House, file, stillroom};

/// Every page that is there from the start.
pub(crate) const PAGES: [&str; 14] = [
    "/",
    "/room",
    "/room/change",
    "/where",
    "/sound",
    "/photo",
    "/practice",
    "/practice/sitting",
    "/practice/stuck",
    "/practice/sample",
    "/ladder",
    "/meter",
    "/papers",
    "/caseload",
];

pub(crate) fn axe() -> String {
    let path = file("tests/browser/node_modules/axe-core/axe.min.js");
    std::fs::read_to_string(path).expect("axe-core is not installed: npm ci in tests/browser")
}

/// What axe-core finds, by rule, with the first element of each.
pub(crate) fn findings(browser: &Browser, axe: &str) -> Vec<String> {
    browser.run(axe);
    let script = "const done = arguments[arguments.length - 1];
        axe.run({runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice']}).then(found => done(
            found.violations.map(one => one.id + ': ' + one.nodes[0].html.slice(0, 200))));";
    let found = browser.run_to_end(script);
    found.as_array().unwrap().iter().map(|one| one.as_str().unwrap().to_owned()).collect()
}

#[test]
fn axe_finds_nothing_on_any_page() {
    let axe = axe();
    for language in ["en", "es"] {
        let house = House::open(language);
        let browser = Browser::new(&[]);
        browser.open(&house.address);
        for (width, height) in [(1280, 900), (390, 800)] {
            browser.view(width, height);
            for page in PAGES {
                browser.open(&house.at(page));
                let name = format!("{language}-{width}{}", page.replace('/', "-"));
                browser.keep_picture(&name);
                assert_eq!(findings(&browser, &axe), Vec::<String>::new(), "{name}");
                let wider =
                    browser.run("return document.documentElement.scrollWidth > document.documentElement.clientWidth");
                assert_eq!(wider, false, "{name} is wider than its window");
            }
        }
    }
}

#[test]
fn axe_finds_nothing_on_any_paper_and_report() {
    let axe = axe();
    let house = House::open("en");
    let browser = Browser::new(&[]);
    browser.open(&house.address);
    browser.view(1280, 900);
    let mut pages = vec!["/report/family".to_owned(), "/report/visitor".to_owned(), "/report/clinician".to_owned()];
    pages.extend(forms(house.folder.path()).iter().map(|name| format!("/papers/{name}")));
    for page in pages {
        browser.open(&house.at(&page));
        assert_eq!(findings(&browser, &axe), Vec::<String>::new(), "{page}");
    }
}

#[test]
fn an_error_that_is_planted_is_found() {
    // The check itself is checked: a field without its label is a finding.
    let axe = axe();
    let house = House::open("en");
    let browser = Browser::new(&[]);
    browser.open(&house.address);
    browser.open(&house.at("/room"));
    browser.run("document.querySelector('label[for=place]').remove()");
    assert!(findings(&browser, &axe).iter().any(|one| one.starts_with("label")));
}

/// The names of all sheets.
pub(crate) fn forms(folder: &Path) -> Vec<String> {
    let list = stillroom(folder, &["form", "--list", "--format", "json"]);
    let list: serde_json::Value = serde_json::from_slice(&list.stdout).unwrap();
    list["forms"].as_array().unwrap().iter().map(|form| form["name"].as_str().unwrap().to_owned()).collect()
}

/// What the validator says of the HTML files of a folder; empty when it finds nothing.
fn validated(folder: &Path) -> String {
    let found = Command::new(file("tests/browser/node_modules/.bin/html-validate"))
        .args(["--config", &file("tests/browser/validate.json"), "*.html"])
        .current_dir(folder)
        .output()
        .expect("html-validate is not installed: npm ci in tests/browser");
    let said = [found.stdout, found.stderr].map(|text| String::from_utf8_lossy(&text).into_owned()).concat();
    if found.status.success() { String::new() } else { said }
}

#[test]
fn an_independent_validator_finds_nothing_in_papers_and_reports() {
    let folder = tempfile::tempdir().unwrap();
    stillroom(folder.path(), &["demo", "--into", "demo"]);
    for name in forms(folder.path()) {
        for language in ["en", "es"] {
            let out = format!("{name}-{language}.html");
            stillroom(folder.path(), &["form", &name, "--language", language, "--case", "demo/case", "--out", &out]);
        }
    }
    for page in ["report.html", "family.html", "visit.html"] {
        std::fs::copy(folder.path().join("demo").join(page), folder.path().join(page)).unwrap();
    }
    assert_eq!(validated(folder.path()), "");
    // The check itself is checked.
    std::fs::write(folder.path().join("wrong.html"), "<!DOCTYPE html><html lang=\"en\"><p>a<div></p></html>").unwrap();
    assert!(validated(folder.path()).contains("wrong.html"));
}

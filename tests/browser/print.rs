//! Papers and reports as they come out of a printer: how many pages, and nothing cut.

use std::process::Command;

use super::access::forms;
use super::driver::{Browser, from_base64};
use super::house::{House, stillroom};

/// A4 and US Letter, width and height in centimetres. ISO 216; ANSI/ASME Y14.1.
const PAPERS: [(&str, f64, f64); 2] = [("A4", 21.0, 29.7), ("Letter", 21.59, 27.94)];

/// Prints what is open and gives the number of pages and the words on them.
fn printed(browser: &Browser, width: f64, height: f64) -> (usize, String) {
    let folder = tempfile::tempdir().unwrap();
    let pdf = folder.path().join("print.pdf");
    std::fs::write(&pdf, from_base64(&browser.print(width, height))).unwrap();
    let out = Command::new("pdftotext")
        .args(["-layout", "-enc", "UTF-8"])
        .arg(&pdf)
        .arg("-")
        .output()
        .expect("pdftotext is not installed: apt-get install poppler-utils");
    let text = String::from_utf8_lossy(&out.stdout).into_owned();
    // A form feed ends each page.
    (text.matches('\u{c}').count(), text)
}

/// Letters and digits alone: hyphens, ligatures and breaks differ between a page and its print.
fn letters(text: &str) -> String {
    text.replace('ﬁ', "fi").replace('ﬂ', "fl").chars().filter(|sign| sign.is_alphanumeric()).collect()
}

#[test]
fn every_paper_fits_its_pages_and_loses_no_word() {
    let house = House::open("en");
    let browser = Browser::new(&[]);
    browser.open(&house.address);
    for name in forms(house.folder.path()) {
        for language in ["en", "es"] {
            let out = format!("{name}.html");
            stillroom(house.folder.path(), &["form", &name, "--language", language, "--out", &out]);
            browser.open(&format!("file://{}", house.folder.path().join(&out).display()));
            let words = browser.run(
                "return [...document.querySelectorAll('h1,h2,p,li,dt,th')].map(one => one.textContent).join('\\n')",
            );
            for (paper, width, height) in PAPERS {
                let (pages, text) = printed(&browser, width, height);
                // A sheet that is read back has what belongs to it on a page behind it.
                let most = match name.as_str() {
                    "checklist" => 8,
                    "session-sheet" | "sampling-sheet" | "screen-diary" => 2,
                    _ => 1,
                };
                assert!((1..=most).contains(&pages), "{name} {language} takes {pages} pages of {paper}");
                let there = letters(&text);
                for word in words.as_str().unwrap().split_whitespace().map(letters).filter(|word| word.len() > 3) {
                    assert!(there.contains(&word), "{name} {language} {paper}: `{word}` is not on paper");
                }
            }
        }
    }
}

#[test]
fn the_familys_page_is_one_page() {
    let house = House::open("en");
    let browser = Browser::new(&[]);
    browser.open(&house.address);
    for language in ["en", "es"] {
        stillroom(
            house.folder.path(),
            &["report", "--case", "demo/case", "--for", "family", "--language", language, "--out", "family.html"],
        );
        browser.open(&format!("file://{}", house.folder.path().join("family.html").display()));
        for (paper, width, height) in PAPERS {
            assert_eq!(printed(&browser, width, height).0, 1, "{language} {paper}");
        }
    }
}
